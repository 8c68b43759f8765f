// SPDX-License-Identifier: Apache-2.0
// Decoding of any edge trains: a refusal with its reason, or angles that are finite and grow.
// One record is three bytes: channel and polarity, and an interval on a logarithmic scale with its
// mantissa. A first byte of 0xFF repeats what its channel has had so far, as wheels do.
#include <array>
#include <cmath>

#include "recording/cam_phase.h"
#include "recording/decode.h"
#include "recording_check.h"

namespace tautmark::fuzz {
namespace {

constexpr std::size_t kMostDecodedEdges = 512;  // of a channel: a target must be quick

void repeat(SignalTrain& train) {
  const std::vector<SignalEdge> edges = train.edges;
  if (edges.size() < 2) return;
  const double last = edges.back().time;
  const double span = last - edges.front().time;
  for (std::size_t i = 1; i < edges.size() && train.edges.size() < kMostDecodedEdges; ++i) {
    const double time = std::max(train.edges.back().time, edges[i].time + span);
    train.edges.push_back({time, edges[i].polarity});
  }
}

SignalTrains trains_of_bytes(const std::uint8_t* data, std::size_t size) {
  SignalTrains trains;
  trains.channels.resize(1 + (size > 0 ? data[0] % 5U : 0U));
  for (std::size_t c = 0; c < trains.channels.size(); ++c)
    trains.channels[c].channel = static_cast<int>(c) + 1;
  for (std::size_t i = 1; i + 2 < size; i += 3) {
    SignalTrain& train = trains.channels[(data[i] >> 1U) % trains.channels.size()];
    if (data[i] >= 0xF0) {
      repeat(train);
      continue;
    }
    if (train.edges.size() >= kMostDecodedEdges) continue;
    // 1 µs to 17 min, and no time at all.
    const double since =
        data[i + 1] == 0 ? 0 : 1e-6 * std::exp2(data[i + 1] % 30) * (1 + data[i + 2] / 256.0);
    const double last = train.edges.empty() ? 0 : train.edges.back().time;
    train.edges.push_back({last + since, static_cast<std::int8_t>((data[i] & 1U) != 0 ? 1 : -1)});
    train.time_uncertainty = 1e-6 * data[i + 2];
  }
  for (SignalTrain& train : trains.channels) {
    if (train.edges.empty())
      train.kind = SignalKind::dead;
    else
      trains.last_time = std::max(trains.last_time, train.edges.back().time);
  }
  trains.samples = 1;
  return trains;
}

void check_decoded(const Decoded& decoded) {
  require(decoded.cycle == 360 || decoded.cycle == 720, "a cycle of its own");
  for (const std::string& note : decoded.notes) check_text(note);
  for (const Knots& piece : decoded.crank.pieces) {
    require(piece.time.size() == piece.angle.size(), "knots");
    for (std::size_t i = 1; i < piece.time.size(); ++i) {
      require(piece.time[i] > piece.time[i - 1], "time that does not grow");
      require(piece.angle[i] > piece.angle[i - 1], "an angle that does not grow");
    }
  }
  for (const TurnSpeed& turn : decoded.speed)
    require(std::isfinite(turn.per_minute), "a speed that is no number");
  for (const DecodedCam& cam : decoded.cams) {
    for (const CamEdge& edge : cam.edges)
      require(std::isfinite(edge.angle + edge.residual), "an edge without an angle");
    if (const auto phase = cam_phase(decoded, cam))
      for (const CyclePhase& cycle : phase->cycles)
        require(std::isfinite(cycle.psi + cycle.sigma), "a phase that is no number");
  }
}

}  // namespace
}  // namespace tautmark::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace tautmark;
  const SignalTrains trains = fuzz::trains_of_bytes(data, size);
  for (const int crank : {0, 1}) {
    DecodeOptions options;
    options.crank_channel = crank;
    const auto decoded = decode_recording(trains, options);
    if (decoded)
      fuzz::check_decoded(*decoded);
    else
      fuzz::require(!decoded.error().why.empty(), "refused without a reason");
  }
  return 0;
}
