// SPDX-License-Identifier: Apache-2.0
#include "recording/compare_recordings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "recording/hypotheses.h"
#include "recording/phase_motion.h"
#include "recording/phaser_behaviour.h"
#include "recording/phaser_quiet.h"
#include "recording/slots.h"

namespace tautmark {
namespace {

constexpr double kRunning = 400;  // 1/min: slower is cranking
constexpr double kSameSpeed = 1.2;
constexpr double kWheel = 0.1;      // degrees, of one place against another (signals.md 5, R01)
constexpr double kDelay = 30e-6;    // s, difference of the sensors' delays (signals.md 6, R04)
constexpr double kCancelled = 0.1;  // of the ripple's bias, at equal speed
constexpr double kScatterChance = 0.001;
constexpr std::size_t kFewestCycles = 8;

double median_speed(const CamPhase& phase) {
  std::vector<double> speeds;
  for (const CyclePhase& c : phase.cycles) speeds.push_back(c.per_minute);
  return lower_median(std::move(speeds));
}

std::vector<double> psi_of(const CamPhase& phase) {
  std::vector<double> psi;
  for (const CyclePhase& c : phase.cycles) psi.push_back(c.psi);
  return psi;
}

// Standard uncertainty of the mean. From 16 cycles on from 8 blocks: wander is no white noise.
double mean_uncertainty(std::span<const double> psi) {
  const double n = static_cast<double>(psi.size());
  if (psi.size() < 2) return 0;
  const double white = phase_statistics(psi).sd / std::sqrt(n);
  constexpr std::size_t kBlocks = 8;
  if (psi.size() < 2 * kBlocks) return white;
  std::vector<double> means;
  for (std::size_t b = 0; b < kBlocks; ++b) {
    const std::size_t from = b * psi.size() / kBlocks, to = (b + 1) * psi.size() / kBlocks;
    means.push_back(phase_statistics(psi.subspan(from, to - from)).mean);
  }
  return std::max(white, phase_statistics(means).sd / std::sqrt(static_cast<double>(kBlocks)));
}

std::string cam_name(const SignalTrains& trains, int channel, const CompareOptions& options) {
  if (const auto told = options.cams.find(channel); told != options.cams.end()) return told->second;
  for (const SignalTrain& train : trains.channels)
    if (train.channel == channel && !train.name.empty()) return train.name;
  return fmt::format("channel {}", channel);
}

std::string scatter_words(const CamChange& c) {
  if (c.scatter_chance > kScatterChance) return "; scatter as before";
  return fmt::format("; jitter {:.2f}° instead of {:.2f}°, {:.1f} times", c.after.jitter,
                     c.before.jitter, c.scatter_ratio);
}

std::string teeth_words(const CamChange& c, int sprocket) {
  if (!c.teeth) return "";
  if (*c.teeth == 0) return fmt::format("; no whole tooth of {}", sprocket);
  return fmt::format("; that is {} {} {} ({:.1f}°) of {} and {} beside", std::abs(*c.teeth),
                     std::abs(*c.teeth) == 1 ? "tooth" : "teeth", *c.teeth > 0 ? "early" : "late",
                     std::abs(*c.teeth) * tooth_in_crank_degrees(sprocket), sprocket,
                     std::abs(c.remainder) < 0.05 ? "nothing" : phase_words(c.remainder));
}

// What lies before the first motion, at one speed; all of it where nothing moves.
struct BasePhase {
  CamPhase phase;
  bool moves = false;
};

BasePhase at_base(const CamPhase& whole) {
  PhaserInput in;
  in.phase = whole;
  const std::vector<PhaseMotion> motions = phaser_behaviour(in).motions;
  if (motions.empty()) return {whole, false};
  // The way from 10 to 90 % has begun before.
  const PhaseMotion& first = motions.front();
  const double until = first.begin_time - 0.25 * (first.end_time - first.begin_time);
  std::erase_if(in.phase.cycles, [&](const CyclePhase& c) { return c.time >= until; });
  const recording::Stretch quiet = recording::quiet_stretch(in, {});
  const auto begin = in.phase.cycles.begin();
  in.phase.cycles = {begin + static_cast<std::ptrdiff_t>(quiet.begin),
                     begin + static_cast<std::ptrdiff_t>(quiet.end)};
  return {std::move(in.phase), true};
}

CamChange change_of(const CamPhase& before, const CamPhase& after, double sampling) {
  CamChange c;
  c.channel = after.channel;
  c.polarity = after.polarity;
  const std::vector<double> first = psi_of(before), second = psi_of(after);
  c.before = phase_statistics(first);
  c.after = phase_statistics(second);
  c.change = c.after.mean - c.before.mean;
  const double speed_before = median_speed(before), speed_after = median_speed(after);
  const double apart = std::max(speed_before, speed_after) / std::min(speed_before, speed_after);
  const double systematic =
      std::hypot(before.systematic, after.systematic) * (apart < kSameSpeed ? kCancelled : 1);
  const double delay = 6 * kDelay * std::abs(speed_after - speed_before);
  c.uncertainty = std::hypot(std::hypot(mean_uncertainty(first), mean_uncertainty(second), kWheel),
                             std::hypot(systematic, delay, sampling));
  if (c.before.jitter > 0 && c.after.jitter > 0) {
    c.scatter_ratio = c.after.jitter / c.before.jitter;
    // Successive differences: 2/3 of the degrees of freedom; both sides.
    const double f = c.scatter_ratio * c.scatter_ratio;
    const double own = 2.0 * (c.after.count - 1) / 3, other = 2.0 * (c.before.count - 1) / 3;
    c.scatter_chance =
        std::min(1.0, 2 * std::min(f_above(f, own, other), f_above(1 / f, other, own)));
  }
  return c;
}

// The change before the first motion where there are enough cycles of it.
CamChange change_at_base(const CamPhase& before, const CamPhase& after, double sampling) {
  const BasePhase was = at_base(before), is = at_base(after);
  if ((!was.moves && !is.moves) || was.phase.cycles.size() < kFewestCycles ||
      is.phase.cycles.size() < kFewestCycles)
    return change_of(before, after, sampling);
  CamChange change = change_of(was.phase, is.phase, sampling);
  change.is_before_motion = true;
  return change;
}

const std::string* name_of(const SignalTrains& trains, int channel) {
  for (const SignalTrain& train : trains.channels)
    if (train.channel == channel && !train.name.empty()) return &train.name;
  return nullptr;
}

// Two names that stand in each other's column.
std::optional<std::string> exchanged_names(const SignalTrains& before, const SignalTrains& after) {
  for (const SignalTrain& a : before.channels)
    for (const SignalTrain& b : before.channels) {
      if (a.channel >= b.channel || a.name.empty() || b.name.empty() || a.name == b.name) continue;
      const std::string *now_a = name_of(after, a.channel), *now_b = name_of(after, b.channel);
      if (now_a != nullptr && now_b != nullptr && *now_a == b.name && *now_b == a.name)
        return fmt::format("{} is channel {} before and {} after, {} the other way round", a.name,
                           a.channel, b.channel, b.name);
    }
  return std::nullopt;
}

std::vector<double> steps_of(const DecodedCam& cam, double cycle) {
  std::vector<double> steps;
  const std::vector<double>& places = cam.places.angles;
  for (std::size_t i = 0; i < places.size(); ++i)
    steps.push_back((i + 1 < places.size() ? places[i + 1] : places[0] + cycle) - places[i]);
  return steps;
}

// Largest difference of the steps between edges, turned so that it is least: where the cam stands
// does not count. Infinite with another number of edges, or none.
double unlike(const Decoded& first, int channel, const Decoded& second, int other_channel) {
  double worst = INFINITY;
  for (const DecodedCam& cam : first.cams)
    for (const DecodedCam& other : second.cams) {
      if (cam.channel != channel || other.channel != other_channel ||
          cam.polarity != other.polarity)
        continue;
      const std::vector<double> a = steps_of(cam, first.cycle), b = steps_of(other, second.cycle);
      double least = INFINITY;
      for (std::size_t turn = 0; turn < a.size() && a.size() == b.size(); ++turn) {
        double most = 0;
        for (std::size_t i = 0; i < a.size(); ++i)
          most = std::max(most, std::abs(a[i] - b[(i + turn) % b.size()]));
        least = std::min(least, most);
      }
      worst = std::isinf(worst) ? least : std::max(worst, least);
    }
  return worst;
}

std::optional<std::string> exchanged_patterns(const Decoded& first, const Decoded& second) {
  constexpr double kAlike = 3, kUnlike = 6;  // degrees between two edges of one wheel
  for (const DecodedCam& a : first.cams)
    for (const DecodedCam& b : first.cams)
      if (a.channel < b.channel && unlike(first, a.channel, second, b.channel) < kAlike &&
          unlike(first, b.channel, second, a.channel) < kAlike &&
          unlike(first, a.channel, second, a.channel) > kUnlike &&
          unlike(first, b.channel, second, b.channel) > kUnlike)
        return fmt::format(
            "channel {} has after the edges that channel {} had before, and the other "
            "way round",
            a.channel, b.channel);
  return std::nullopt;
}

Comparison of_exchanged(const std::string& how) {
  Comparison c;
  c.why = "not comparable: channels seem exchanged: " + how;
  c.notes.push_back("channels seem exchanged: " + how);
  return c;
}

// Why the two are no measurement of a change; empty: they are.
std::string not_comparable(const Comparison& c, std::size_t fewest) {
  if (c.before_wheel != c.after_wheel)
    return fmt::format(
        "not comparable: the crank wheel is {} before and {} after: another wheel, "
        "another channel or a tooth that is gone",
        c.before_wheel, c.after_wheel);
  if (c.cams.empty()) return "not comparable: no cam is in both recordings";
  if (fewest < kFewestCycles)
    return fmt::format("not comparable: {} cycles in one of them, at least 8 are needed", fewest);
  const bool was_running = c.before_per_minute >= kRunning,
             is_running = c.after_per_minute >= kRunning;
  if (was_running != is_running)
    return fmt::format(
        "not comparable: {} at {:.0f} 1/min before, {} at {:.0f} 1/min after: a cranked engine has "
        "other chain tension, oil pressure and speed ripple",
        was_running ? "running" : "cranking", c.before_per_minute,
        is_running ? "running" : "cranking", c.after_per_minute);
  return {};
}

void add_notes(Comparison& c, const Decoded& first, const Decoded& second) {
  const double apart = std::max(c.before_per_minute, c.after_per_minute) /
                       std::min(c.before_per_minute, c.after_per_minute);
  if (apart > kSameSpeed)
    c.notes.push_back(
        fmt::format("conditions differ: {:.0f} 1/min before, {:.0f} 1/min after, over "
                    "20 % apart; sensor delay, tensioner and phaser may explain a part",
                    c.before_per_minute, c.after_per_minute));
  if (first.reference_channel != second.reference_channel ||
      first.reference_polarity != second.reference_polarity)
    c.notes.emplace_back("the cam that sets the zero is another one in the second recording");
  const double cycle_zeros = first.cycle_resolved && second.cycle_resolved ? 720 : 360;
  const int symmetry = std::max(1, first.crank.wheel.symmetry);
  c.notes.push_back(
      fmt::format("an equal move of all cams by {:.4g}° or a multiple{} is invisible, and so is a "
                  "slipped crank "
                  "wheel that a jumped chain makes up for",
                  360.0 / symmetry,
                  symmetry > 1 ? fmt::format(" (the crank wheel has {} equal zeros)", symmetry)
                               : fmt::format(" (angles are known within {:.0f}°)", cycle_zeros)));
}

const DecodedCam* partner(const Decoded& decoded, const DecodedCam& cam) {
  for (const DecodedCam& other : decoded.cams)
    if (other.channel == cam.channel && other.polarity == cam.polarity &&
        other.places.angles.size() == cam.places.angles.size())
      return &other;
  return nullptr;
}

}  // namespace

Result<Comparison> compare_recordings(const SignalTrains& before, const SignalTrains& after,
                                      const CompareOptions& options) {
  const auto refused = [](const char* which, const std::string& why) {
    return tl::unexpected<Refusal>(Refusal{fmt::format("{}: {}", which, why)});
  };
  const auto first = decode_recording(before, options.decode);
  if (!first) return refused("before", first.error().why);
  if (first->cams.empty()) return refused("before", "no cam signal");
  if (const auto how = exchanged_names(before, after)) return of_exchanged(*how);
  DecodeOptions as_first = options.decode;
  as_first.crank_channel = first->crank.channel;
  as_first.crank_polarity = first->crank.polarity;
  const auto second = decode_recording(after, as_first);
  if (!second) return refused("after", second.error().why);
  if (second->cams.empty()) return refused("after", "no cam signal");
  if (const auto how = exchanged_patterns(*first, *second)) return of_exchanged(*how);

  Comparison result;
  result.before_wheel = first->crank.wheel.name;
  result.after_wheel = second->crank.wheel.name;
  const std::vector<CamReference> references = references_of(*first);
  result.zero = zero_in_reference(*second, references);
  std::size_t fewest = SIZE_MAX;
  std::vector<std::string> alone;
  for (const DecodedCam& cam : first->cams) {
    const DecodedCam* other = partner(*second, cam);
    const std::string name = cam_name(before, cam.channel, options);
    if (other == nullptr) {
      alone.push_back(
          fmt::format("{}, {} edges: not in the second recording, or with another "
                      "number of edges",
                      name, cam.polarity > 0 ? "rising" : "falling"));
      continue;
    }
    const auto reference =
        std::find_if(references.begin(), references.end(), [&](const CamReference& r) {
          return r.channel == cam.channel && r.polarity == cam.polarity;
        });
    const auto was = cam_phase(*first, cam, reference->angles);
    const auto is = cam_phase(*second, *other, reference->angles, result.zero);
    if (!was || !is || was->cycles.empty() || is->cycles.empty()) continue;
    if (result.cams.empty()) {
      result.before_per_minute = median_speed(*was);
      result.after_per_minute = median_speed(*is);
    }
    fewest = std::min({fewest, was->cycles.size(), is->cycles.size()});
    // Rounding up to the sample shifts cam and crank alike, up to one sample between them.
    const double sampling = 6 * std::hypot(result.before_per_minute * cam.time_uncertainty,
                                           result.after_per_minute * other->time_uncertainty);
    CamChange change = change_at_base(*was, *is, sampling);
    change.name = name;
    std::string teeth;
    if (const auto told = options.teeth.find(cam.channel);
        told != options.teeth.end() && told->second > 0) {
      const double tooth = tooth_in_crank_degrees(told->second);
      change.teeth = static_cast<int>(std::lround(change.change / tooth));
      change.remainder = change.change - *change.teeth * tooth;
      teeth = teeth_words(change, told->second);
    }
    const bool moved = std::abs(change.change) > 2 * change.uncertainty;
    change.words = fmt::format(
        "{}: {}, ± {:.1f}°{}{}{}", name,
        moved ? change_words(change.change) + " than before" : "no change that can be told",
        2 * change.uncertainty, teeth, scatter_words(change),
        change.is_before_motion ? "; where it stands before its first motion" : "");
    result.cams.push_back(std::move(change));
  }
  result.why = not_comparable(result, fewest);
  result.is_comparable = result.why.empty();
  if (!result.is_comparable) result.cams.clear();
  add_notes(result, *first, *second);
  for (std::string& words : alone) result.notes.push_back(std::move(words));
  return result;
}

}  // namespace tautmark
