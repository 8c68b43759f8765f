// SPDX-License-Identifier: Apache-2.0
#include "recording/signal_health.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "recording/health_parts.h"
#include "recording/phase_statistics.h"
#include "recording/slots.h"

namespace tautmark {
namespace recording {
namespace {

constexpr double kGlitchesBad = 0.05, kUnknownBad = 0.01;  // of the pulses, of the samples
constexpr int kFewGlitches = 5;
constexpr double kCoarse = 0.3;  // degrees, standard, of one edge: note; three times: bad
constexpr double kCulprit = 0.001;
constexpr double kSilent = 2;  // cycles

double usual_speed(const Decoded& decoded) {
  std::vector<double> speeds;
  for (const TurnSpeed& turn : decoded.speed) speeds.push_back(turn.per_minute);
  return lower_median(std::move(speeds));
}

void add_sample_findings(const SignalTrains& trains, const SignalTrain& train, double per_minute,
                         Findings& out) {
  const std::string who = channel_words(trains, train.channel);
  if (train.glitches > 0) {
    const double part = static_cast<double>(train.glitches) /
                        std::max(1.0, static_cast<double>(train.edges.size()) / 2);
    out.push_back({HealthKind::glitches,
                   part > kGlitchesBad && train.glitches >= kFewGlitches ? HealthSeverity::bad
                                                                         : HealthSeverity::note,
                   train.channel,
                   0,
                   static_cast<double>(train.glitches),
                   "pulses",
                   {},
                   fmt::format("{}: {} short pulses left out, {:.1f} % of all: bounce, ignition "
                               "noise or a bad shield",
                               who, train.glitches, 100 * part)});
  }
  if (train.unknown_samples > 0) {
    const double part = static_cast<double>(train.unknown_samples) /
                        std::max(1.0, static_cast<double>(trains.samples));
    out.push_back({HealthKind::unknown_samples,
                   part > kUnknownBad ? HealthSeverity::bad : HealthSeverity::note,
                   train.channel,
                   0,
                   static_cast<double>(train.unknown_samples),
                   "samples",
                   {},
                   fmt::format("{}: {} samples are no number or over range: choose a larger range, "
                               "check the connection",
                               who, train.unknown_samples)});
  }
  const double degrees = 6 * per_minute * train.time_uncertainty;
  if (!train.edges.empty() && degrees > kCoarse)
    out.push_back({HealthKind::coarse_sampling,
                   degrees > 3 * kCoarse ? HealthSeverity::bad : HealthSeverity::note,
                   train.channel,
                   0,
                   degrees,
                   "°",
                   {},
                   fmt::format("{}: the time of one edge is known to {:.2f}° (crank, standard) at "
                               "{:.0f} 1/min: sample faster",
                               who, degrees, per_minute)});
}

// A cam that is silent for whole cycles while the crank turns.
void add_silent_cam(const SignalTrains& trains, const Decoded& decoded, const DecodedCam& cam,
                    Findings& out) {
  struct Mark {
    double angle, time;
  };
  double longest = 0, from = 0, to = 0;
  for (std::size_t p = 0; p < decoded.crank.pieces.size(); ++p) {
    const Knots& knots = decoded.crank.pieces[p];
    std::vector<Mark> marks{{knots.angle.front(), knots.time.front()}};
    for (const CamEdge& edge : cam.edges)
      if (edge.piece == p) marks.push_back({edge.angle, edge.time});
    marks.push_back({knots.angle.back(), knots.time.back()});
    for (std::size_t i = 1; i < marks.size(); ++i) {
      const double cycles = (marks[i].angle - marks[i - 1].angle) / decoded.cycle;
      if (cycles <= longest) continue;
      longest = cycles;
      from = marks[i - 1].time;
      to = marks[i].time;
    }
  }
  if (longest < kSilent) return;
  out.push_back({HealthKind::silent,
                 HealthSeverity::bad,
                 cam.channel,
                 0,
                 to - from,
                 "s",
                 {},
                 fmt::format("{}: silent from {:.2f} to {:.2f} s, {:.1f} cycles, while the crank "
                             "turns: loose contact or a failing sensor",
                             channel_words(trains, cam.channel), from, to, longest)});
}

// Between two pieces of the crank a whole cycle of cam edges: the crank signal failed.
void add_silent_crank(const SignalTrains& trains, const Decoded& decoded, Findings& out) {
  const std::vector<Knots>& pieces = decoded.crank.pieces;
  for (std::size_t p = 0; p <= pieces.size(); ++p) {
    const double from = p == 0 ? trains.first_time : pieces[p - 1].time.back();
    const double to = p == pieces.size() ? trains.last_time : pieces[p].time.front();
    for (const DecodedCam& cam : decoded.cams) {
      const SignalTrain* train = train_of(trains, cam.channel);
      if (train == nullptr) continue;
      std::size_t inside = 0;
      for (const double time : times_of(*train, cam.polarity))
        if (time > from && time < to) ++inside;
      if (inside <= cam.places.angles.size() + 1) continue;
      out.push_back({HealthKind::silent,
                     HealthSeverity::bad,
                     decoded.crank.channel,
                     0,
                     to - from,
                     "s",
                     {},
                     fmt::format("{}: silent or not to be counted from {:.2f} to {:.2f} s while {} "
                                 "goes on: loose contact or a failing crank sensor",
                                 channel_words(trains, decoded.crank.channel), from, to,
                                 channel_words(trains, cam.channel))});
      break;
    }
  }
}

}  // namespace

std::string channel_words(const SignalTrains& trains, int channel) {
  const SignalTrain* train = train_of(trains, channel);
  return train == nullptr || train->name.empty()
             ? fmt::format("channel {}", channel)
             : fmt::format("channel {} (\"{}\")", channel, train->name);
}

std::optional<Culprit> culprit_of(const std::vector<int>& faults) {
  if (faults.size() < 2) return std::nullopt;
  const auto most = std::max_element(faults.begin(), faults.end());
  int all = 0;
  for (const int count : faults) all += count;
  const auto teeth = static_cast<double>(faults.size());
  Culprit culprit{static_cast<std::size_t>(most - faults.begin()),
                  std::min(1.0, teeth * binomial_at_least(*most, all, 1 / teeth))};
  if (*most < 3 || culprit.chance > kCulprit) return std::nullopt;
  return culprit;
}

}  // namespace recording

double binomial_at_least(int k, int n, double p) {
  if (k <= 0) return 1;
  if (k > n || !(p > 0)) return 0;
  // The incomplete beta function, as the tail of an F distribution.
  const double nu_1 = 2.0 * (n - k + 1), nu_2 = 2.0 * k;
  return f_above((1 - p) * nu_2 / (p * nu_1), nu_1, nu_2);
}

std::vector<HealthFinding> signal_health(const SignalTrains& trains, const Decoded& decoded,
                                         const HealthOptions& options) {
  std::vector<HealthFinding> out;
  recording::add_tooth_findings(trains, decoded, options, out);
  recording::add_place_findings(trains, decoded, options, out);
  const double speed = recording::usual_speed(decoded);
  bool has_edges_only = false;
  for (const SignalTrain& train : trains.channels) {
    recording::add_sample_findings(trains, train, speed, out);
    has_edges_only = has_edges_only || train.kind == SignalKind::logic;
  }
  int last = 0;
  for (const DecodedCam& cam : decoded.cams) {
    if (cam.channel != last) recording::add_silent_cam(trains, decoded, cam, out);
    last = cam.channel;
  }
  recording::add_silent_crank(trains, decoded, out);
  for (const RejectedChannel& channel : decoded.rejected) {
    const SignalTrain* train = train_of(trains, channel.channel);
    const bool is_dead = train != nullptr && train->edges.empty();
    out.push_back({HealthKind::not_used,
                   is_dead ? HealthSeverity::bad : HealthSeverity::note,
                   channel.channel,
                   0,
                   0,
                   "",
                   {},
                   fmt::format("{}: not used: {}",
                               recording::channel_words(trains, channel.channel), channel.why)});
  }
  if (has_edges_only)
    out.push_back({HealthKind::no_amplitude,
                   HealthSeverity::note,
                   0,
                   0,
                   0,
                   "",
                   {},
                   "only edges are recorded: amplitude, offset and noise of the sensors are not "
                   "known; record the voltage to see them"});
  std::stable_sort(out.begin(), out.end(), [](const HealthFinding& a, const HealthFinding& b) {
    return a.severity == HealthSeverity::bad && b.severity != HealthSeverity::bad;
  });
  return out;
}

}  // namespace tautmark
