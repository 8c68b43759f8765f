// SPDX-License-Identifier: Apache-2.0
// Bare packed logic samples, of which only the caller knows what they are.
#include <fmt/format.h>

#include <algorithm>

#include "recording/formats/formats.h"
#include "recording/logic_scan.h"
#include "recording/samples.h"

namespace tautmark {
namespace {

constexpr std::size_t kPiece = 16 << 20;  // bytes between looks at the number of edges

}  // namespace

Parsed<SignalTrains> read_packed_logic(const RecordingFile& file, const RecordingOptions& options) {
  const auto refuse = [&](std::string why) {
    return tl::unexpected(recording_error(file.name, std::move(why)));
  };
  const int channels = *options.packed_logic_channels;
  if (channels < 1 || channels > static_cast<int>(kMostChannels))
    return refuse(fmt::format("{} channels; 1 to {}", channels, kMostChannels));
  if (!options.sample_rate) return refuse("packed samples need a sample rate: state the rate");
  const std::size_t unit = static_cast<std::size_t>(channels + 7) / 8;
  const double step = 1 / *options.sample_rate;
  if (file.tap != nullptr) {
    SampleSource source = bit_source("packed logic samples", static_cast<std::size_t>(channels));
    source.scan = [&](Extent, const SampleVisit& visit) {
      BitRows rows(unit, static_cast<std::size_t>(file.tap->channel - 1), step);
      auto done = rows.feed(file.bytes, visit);
      return done ? rows.finish(visit) : done;
    };
    return trains_or_tap(file, source);
  }
  SignalTrains trains;
  trains.format = "packed logic samples";
  trains.channels = logic_trains(static_cast<std::size_t>(channels), step);
  LogicScan scan(unit, step, trains.channels);
  for (std::size_t at = 0; at < file.bytes.size(); at += kPiece) {
    scan.feed(file.bytes.substr(at, kPiece));
    if (scan.edges() > kMostEdges)
      return refuse(fmt::format("more than {} edges: noise, not a sensor", kMostEdges));
  }
  if (scan.samples() == 0) return refuse("no samples");
  if (scan.ends_within_sample()) trains.notes.emplace_back("the file ends within a sample");
  finish_logic_trains(trains.channels);
  trains.samples = scan.samples();
  trains.last_time = static_cast<double>(trains.samples - 1) / *options.sample_rate;
  return trains;
}

}  // namespace tautmark
