// SPDX-License-Identifier: Apache-2.0
#include "recording/phaser_behaviour.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "recording/hypotheses.h"
#include "recording/phaser_quiet.h"
#include "recording/phaser_states.h"

namespace tautmark {
namespace {

using recording::kFewestCycles;
using recording::Stretch;

constexpr double kRunning = 400;  // 1/min: slower is cranking
constexpr double kJitter = 1.0;
constexpr double kPeakToPeak = 3.0;
constexpr double kSure = 0.05;      // chance under which a limit is exceeded, over 1 - it is kept
constexpr double kExplained = 0.5;  // of the scatter, by a hunting sine
constexpr double kLeastDrift = 1;   // degrees over the stretch
constexpr double kDriftChance = 0.001;

const char* kLonger = "a longer recording: 30 s at one speed, oil hot";
const char* kHotIdle =
    "the same at hot idle and at 2000 1/min, with the commanded angle logged; oil "
    "pressure at the head";

struct Quiet {
  Stretch stretch;
  std::vector<double> time, psi;
  double per_minute = 0;
};

Quiet quiet_of(const PhaserInput& in, const std::vector<PhaseMotion>& motions) {
  Quiet q;
  q.stretch = recording::quiet_stretch(in, motions);
  for (std::size_t i = q.stretch.begin; i < q.stretch.end; ++i) {
    const CyclePhase& c = in.phase.cycles[i];
    q.time.push_back(c.time);
    q.psi.push_back(c.psi);
    q.per_minute += c.per_minute / static_cast<double>(q.stretch.size());
  }
  return q;
}

std::string stretch_words(const Quiet& q) {
  if (q.psi.empty()) return "no cycle";
  return fmt::format("{} cycles from {:.2f} to {:.2f} s at {:.0f} 1/min", q.psi.size(),
                     q.time.front(), q.time.back(), q.per_minute);
}

PhaserFinding too_few(const PhaserInput& in) {
  PhaserFinding f;
  f.state = PhaserState::too_few;
  f.value = static_cast<double>(in.phase.cycles.size());
  f.unit = "cycles";
  f.seen = in.phase.cycles.size() < kFewestCycles ? Seen::seen : Seen::not_seen;
  f.words = fmt::format("{} cycles", in.phase.cycles.size());
  f.judged_by = "at least 8 cycles (program default)";
  if (f.seen == Seen::seen) f.next = kLonger;
  return f;
}

// Chance of a scatter so large, were the true one at the limit.
double chance_at_limit(double sd, double limit, double freedom) {
  return chi_squared_above(freedom * sd * sd / (limit * limit), freedom);
}
Seen seen_of(double chance) {
  return chance < kSure ? Seen::seen : chance > 1 - kSure ? Seen::not_seen : Seen::cannot_tell;
}

PhaserFinding unstable(const PhaserInput& in, const Quiet& q, const PhaseStatistics& s) {
  PhaserFinding f;
  f.state = PhaserState::unstable;
  f.unit = "°";
  const BehaviourLimit jitter = in.jitter.value_or(BehaviourLimit{kJitter});
  f.value = s.jitter;
  f.judged_by = recording::limit_words("jitter", jitter, "°");
  if (in.sd) f.judged_by += "; " + recording::limit_words("sd", *in.sd, "°");
  f.words =
      fmt::format("jitter {:.2f}°, sd {:.2f}° (crank) over {}", s.jitter, s.sd, stretch_words(q));
  f.next = kHotIdle;
  if (q.psi.size() < kFewestCycles) {
    f.words += ": too few in steady running to judge";
    f.next = kLonger;
    return f;
  }
  if (q.per_minute < kRunning) {
    f.words += ": the engine is cranked, not running";
    f.next = "a recording with the engine running, warm, at one speed";
    return f;
  }
  const double freedom = s.count - 1;
  f.uncertainty = s.jitter / std::sqrt(2 * 2 * freedom / 3);
  f.chance = chance_at_limit(s.jitter, jitter.value, 2 * freedom / 3);
  f.seen = seen_of(*f.chance);
  f.can_pass = can_carry_pass(jitter.origin);
  if (in.sd) {
    const double chance = chance_at_limit(s.sd, in.sd->value, freedom);
    const Seen by_sd = seen_of(chance);
    if (by_sd == Seen::seen || (by_sd == Seen::cannot_tell && f.seen == Seen::not_seen)) {
      f.seen = by_sd;
      f.chance = chance;
      f.value = s.sd;
      f.uncertainty = s.sd / std::sqrt(2 * freedom);
    }
    f.can_pass = f.can_pass && can_carry_pass(in.sd->origin);
  }
  if (f.seen == Seen::cannot_tell) f.words += ": too close to the limit to call", f.next = kLonger;
  if (f.seen == Seen::seen && in.phase.systematic > 0.3 * f.value)
    f.words += fmt::format("; the crank wheel has few teeth, which alone adds up to {:.1f}°",
                           in.phase.systematic);
  f.can_pass = f.can_pass && f.seen == Seen::not_seen;
  return f;
}

std::vector<double> without_line(const Quiet& q) {
  const LineFit line = line_fit(q.time, q.psi);
  std::vector<double> rest;
  for (std::size_t i = 0; i < q.psi.size(); ++i)
    rest.push_back(q.psi[i] - line.at_zero - line.slope * q.time[i]);
  return rest;
}

// The sine goes on: about as large in both halves.
bool goes_on(const Quiet& q, std::span<const double> rest, double frequency) {
  const std::size_t half = rest.size() / 2;
  const std::span time(q.time);
  const auto first = fit_sine(time.first(half), rest.first(half), frequency);
  const auto second = fit_sine(time.subspan(half), rest.subspan(half), frequency);
  return first && second && first->amplitude < 2 * second->amplitude &&
         second->amplitude < 2 * first->amplitude;
}

PhaserFinding hunting(const PhaserInput& in, const Quiet& q, PhaserBehaviour& out) {
  PhaserFinding f;
  f.state = PhaserState::hunting;
  f.unit = "°";
  const BehaviourLimit limit = in.peak_to_peak.value_or(BehaviourLimit{kPeakToPeak});
  f.judged_by = recording::limit_words("peak to peak", limit, "°") +
                "; a peak anywhere by chance under 0.001, half of the scatter explained";
  f.next = kHotIdle;
  const std::vector<double> rest = without_line(q);
  const auto found = q.psi.empty() ? tl::unexpected<Refusal>(Refusal{"no steady running"})
                                   : find_hunting(q.time, rest);
  if (!found) {
    f.words = "not looked for: " + found.error().why;
    f.next = kLonger;
    return f;
  }
  out.hunting = *found;
  const SineFit& sine = found->sine;
  const double ratio = 2 * sine.f_statistic / (static_cast<double>(rest.size()) - 3);
  const bool explains = ratio / (1 + ratio) > kExplained;
  f.value = 2 * sine.amplitude;
  f.uncertainty = sine.f_statistic > 0 ? f.value / std::sqrt(2 * sine.f_statistic) : 0;
  f.chance = found->chance;
  const bool is_peak =
      found->found && explains && goes_on(q, rest, sine.frequency) && !out.levels.found;
  if (!is_peak) {
    f.seen = Seen::not_seen;
    f.words = fmt::format(
        "no narrow peak in {}; the best sine, {:.1f}° peak to peak at {:.2f} Hz, "
        "explains {:.0f} % of the scatter",
        stretch_words(q), f.value, sine.frequency, 100 * ratio / (1 + ratio));
    f.can_pass = can_carry_pass(limit.origin) && out.quiet.peak_to_peak < limit.value;
    f.next.clear();
    return f;
  }
  f.words = fmt::format("swings {:.1f}° peak to peak (crank), {:.1f}° cam, at {:.2f} Hz in {}",
                        f.value, f.value / 2, sine.frequency, stretch_words(q));
  const double margin = 2 * f.uncertainty;
  f.seen = f.value - margin > limit.value   ? Seen::seen
           : f.value + margin < limit.value ? Seen::not_seen
                                            : Seen::cannot_tell;
  if (f.seen == Seen::not_seen) f.words += ", within the limit";
  if (f.seen == Seen::cannot_tell) f.words += ", too close to the limit to call";
  f.can_pass = f.seen == Seen::not_seen && can_carry_pass(limit.origin);
  return f;
}

PhaserFinding chatter(const PhaserInput& in, const Quiet& q, const TwoLevels& levels) {
  PhaserFinding f;
  f.state = PhaserState::chatter;
  f.unit = "°";
  f.judged_by =
      "4 changes or more between two levels 1 to 10° and 5 times their scatter apart "
      "(program default)";
  if (q.psi.size() < kFewestCycles) {
    f.words = "too few cycles without a motion";
    f.next = kLonger;
    return f;
  }
  if (!levels.found) {
    f.seen = Seen::not_seen;
    f.words = "no jumping between two levels";
    return f;
  }
  f.seen = Seen::seen;
  f.value = levels.high - levels.low;
  f.uncertainty = levels.scatter * std::sqrt(1.0 / levels.at_low + 1.0 / levels.at_high);
  // Parked: the level nearer the base, or where it stays longer.
  const bool parked_low = in.has_reference ? std::abs(levels.low) <= std::abs(levels.high)
                                           : levels.at_low >= levels.at_high;
  const auto skew = skewness(q.psi);
  const double off = parked_low ? f.value : -f.value;
  f.words = fmt::format("jumps {} times between {} and {} ({} and {} of {})", levels.changes,
                        in.has_reference && std::abs(parked_low ? levels.low : levels.high) < 1.5
                            ? "the parked place"
                            : "where it stands longer",
                        change_words(off), parked_low ? levels.at_low : levels.at_high,
                        parked_low ? levels.at_high : levels.at_low, stretch_words(q));
  if (skew) {
    f.chance = skew->chance;
    f.words += fmt::format("; a hard stop on one side: skewness {:.1f} (chance {:.2g})",
                           std::abs(skew->value), skew->chance);
    if (skew->chance > kSure) f.words += ", not proven";
  }
  f.next = "lock pin and its bore, oil pressure at the head while it starts; the same hot";
  return f;
}

PhaserFinding drift(const Quiet& q) {
  PhaserFinding f;
  f.state = PhaserState::drift;
  f.unit = "°";
  f.judged_by = "1° over the stretch (program default), chance under 0.001";
  constexpr std::size_t kBlocks = 8;
  if (q.psi.size() < 2 * kBlocks) {
    f.words = "not looked for: fewer than 16 cycles without a motion";
    f.next = kLonger;
    return f;
  }
  std::vector<double> time, psi;
  for (std::size_t b = 0; b < kBlocks; ++b) {
    const std::size_t from = b * q.psi.size() / kBlocks, to = (b + 1) * q.psi.size() / kBlocks;
    time.push_back(phase_statistics(std::span(q.time).subspan(from, to - from)).mean);
    psi.push_back(phase_statistics(std::span(q.psi).subspan(from, to - from)).mean);
  }
  const LineFit line = line_fit(time, psi);
  const double span = q.time.back() - q.time.front();
  f.value = line.slope * span;
  f.uncertainty = line.slope_error * span;
  f.chance = line.slope_error > 0 ? f_above(std::pow(line.slope / line.slope_error, 2), 1, 6)
                                  : (line.slope == 0 ? 1.0 : 0.0);
  f.words =
      fmt::format("{} over {:.1f} s, {:.2f}°/s", change_words(f.value), span, std::abs(line.slope));
  const bool clear = *f.chance < kDriftChance;
  f.seen = clear && std::abs(f.value) >= kLeastDrift             ? Seen::seen
           : std::abs(f.value) + 2 * f.uncertainty < kLeastDrift ? Seen::not_seen
                                                                 : Seen::cannot_tell;
  if (f.seen != Seen::not_seen) f.next = kLonger;
  return f;
}

PhaserFinding steady(const PhaserInput& in, const Quiet& q, const PhaserBehaviour& out) {
  PhaserFinding f;
  f.state = PhaserState::steady;
  f.unit = "°";
  f.value = out.quiet.sd;
  f.judged_by = "8 cycles or more without any of the other states";
  f.words = fmt::format("stands within {:.2f}° (sd, crank), jitter {:.2f}°, over {}", out.quiet.sd,
                        out.quiet.jitter, stretch_words(q));
  if (q.psi.size() < kFewestCycles) {
    f.next = kLonger;
    return f;
  }
  f.uncertainty = out.quiet.sd / std::sqrt(2.0 * (out.quiet.count - 1));
  bool any = false, doubt = false;
  for (const PhaserState state :
       {PhaserState::unstable, PhaserState::hunting, PhaserState::chatter, PhaserState::drift}) {
    const PhaserFinding* other = finding_of(out, state);
    any = any || other->seen == Seen::seen;
    doubt = doubt || (other->seen == Seen::cannot_tell && state == PhaserState::unstable);
  }
  f.seen = any ? Seen::not_seen : doubt ? Seen::cannot_tell : Seen::seen;
  if (in.command == nullptr && in.told_at_base)
    f.words += "; told to be at its base";
  else if (in.command == nullptr)
    f.words += "; what was commanded is not known", f.next = "the commanded angle logged beside it";
  return f;
}

}  // namespace

std::string_view phaser_state_name(PhaserState state) {
  constexpr std::string_view kNames[] = {"too-few", "steady", "unstable", "hunting",
                                         "chatter", "slow",   "stuck",    "off-base",
                                         "moves",   "drift",  "jump"};
  return kNames[static_cast<std::size_t>(state)];
}

const PhaserFinding* finding_of(const PhaserBehaviour& behaviour, PhaserState state) {
  for (const PhaserFinding& f : behaviour.findings)
    if (f.state == state) return &f;
  return nullptr;
}

PhaserBehaviour phaser_behaviour(const PhaserInput& in) {
  PhaserBehaviour out;
  out.findings.push_back(too_few(in));
  if (in.phase.cycles.size() < kFewestCycles) return out;
  // Hunting and chatter are motions too, in one place: looked for before those are taken out.
  Quiet q = quiet_of(in, {});
  const std::vector<PhaseMotion> all = phase_motions(in.phase);
  const auto stands = [&] {
    out.quiet = phase_statistics(q.psi);
    out.levels = two_levels(q.psi);
    if (out.levels.found) return true;
    const std::vector<double> rest = without_line(q);
    const auto found = find_hunting(q.time, rest);
    if (!found || !found->found) return false;
    const double ratio = 2 * found->sine.f_statistic / (static_cast<double>(rest.size()) - 3);
    return ratio / (1 + ratio) > kExplained && goes_on(q, rest, found->sine.frequency);
  };
  bool is_swinging = q.psi.size() >= kFewestCycles && stands();
  if (!is_swinging) {
    q = quiet_of(in, all);
    is_swinging = q.psi.size() >= kFewestCycles && stands();
    out.quiet = phase_statistics(q.psi);
  }
  for (const PhaseMotion& m : all) {
    const bool inside =
        is_swinging && m.begin_time >= q.time.front() - 1e-9 && m.end_time <= q.time.back() + 1e-9;
    if (!inside) out.motions.push_back(m);
  }
  if (!q.psi.empty()) out.quiet_from = q.time.front(), out.quiet_to = q.time.back();
  out.quiet_per_minute = q.per_minute;
  out.responses = recording::command_responses(in);
  out.findings.push_back(unstable(in, q, out.quiet));
  out.findings.push_back(chatter(in, q, out.levels));
  out.findings.push_back(hunting(in, q, out));
  for (PhaserFinding& f : out.findings)  // one motion, two states: said beside the number
    if (f.state == PhaserState::unstable && f.seen == Seen::seen) {
      if (out.levels.found) f.words += "; the chatter is part of it";
      if (finding_of(out, PhaserState::hunting)->seen == Seen::seen)
        f.words += "; the hunting is part of it";
    }
  out.findings.push_back(drift(q));
  out.findings.push_back(steady(in, q, out));
  recording::add_motion_states(in, out);
  std::stable_sort(out.findings.begin(), out.findings.end(),
                   [](const PhaserFinding& a, const PhaserFinding& b) {
                     const auto rank = [](Seen seen) {
                       return seen == Seen::seen ? 0 : seen == Seen::cannot_tell ? 1 : 2;
                     };
                     return rank(a.seen) < rank(b.seen);
                   });
  if (in.phase.systematic > 1)
    out.notes.push_back(fmt::format(
        "few teeth on the crank wheel: angles carry up to {:.1f}° (standard) that changes with the "
        "speed; compare equal speeds only",
        in.phase.systematic));
  return out;
}

}  // namespace tautmark
