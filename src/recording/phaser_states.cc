// SPDX-License-Identifier: Apache-2.0
#include "recording/phaser_states.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "recording/hypotheses.h"
#include "recording/phaser_quiet.h"

namespace tautmark::recording {
namespace {

constexpr double kTime90 = 1.0;  // s
constexpr double kOffBase = 2.0;
constexpr double kStuck = 0.2;         // of the command
constexpr double kBaseCommand = 0.5;   // degrees from the base that still count as base
constexpr double kOutside = 1.5;       // degrees outside the travel that are no phaser
constexpr double kFastestPhaser = 60;  // deg/s; the fastest seen is 55 (signals.md 8)
constexpr double kWheel = 0.2;         // degrees: another place of the crank wheel, its teeth
constexpr double kMixed = 0.05;        // of a jump, from its levels: a cycle in the middle of it
constexpr double kSmallestTooth = 10;  // degrees: a tooth of any sprocket up to 72
constexpr double kAnswerTime = 2;      // s, in which a motion belongs to a command

const char* kOil = "oil pressure at the head and oil temperature; the control valve's duty";
const char* kCommandLog = "a log of the commanded angle and the engine speed beside the recording";

std::string step_words(const CommandStep& s) {
  return fmt::format("command {} at {:.2f} s", change_words(s.to - s.from), s.time);
}

std::string response_words(const CommandResponse& r) {
  std::string words = step_words(r.step) + ": moved " + change_words(r.way);
  if (!r.response) return words + ", too few cycles before the next command for its times";
  const StepResponse& s = *r.response;
  if (s.dead_time)
    words += fmt::format(", dead time {:.2f} ± {:.2f} s", *s.dead_time, 2 * r.time_uncertainty);
  if (s.slew) words += fmt::format(", {:.0f}°/s between 20 and 80 %", std::abs(*s.slew));
  words += s.time_90 ? fmt::format(", 90 % after {:.2f} s", *s.time_90) : ", 90 % not reached";
  if (s.overshoot > 0.02) words += fmt::format(", overshoot {:.0f} %", 100 * s.overshoot);
  if (s.settling) words += fmt::format(", settled after {:.2f} s", *s.settling);
  return words + ", left over: " +
         (std::abs(s.steady_error) < 0.05 ? "nothing" : phase_words(s.steady_error));
}

PhaserFinding without_command(PhaserState state, const PhaserInput& in) {
  PhaserFinding f;
  f.state = state;
  f.words = in.command != nullptr ? "no command of 4° or more with enough cycles on both sides"
            : in.told_at_base     ? "told to be at its base: nothing was commanded"
                                  : "the command is not known";
  f.judged_by = "nothing to judge by";
  f.next = in.command == nullptr ? kCommandLog : "command a step of 10° or more, wait 3 s, back";
  return f;
}

PhaserFinding stuck(const PhaserInput& in, const PhaserBehaviour& out) {
  if (out.responses.empty()) return without_command(PhaserState::stuck, in);
  PhaserFinding f;
  f.state = PhaserState::stuck;
  f.judged_by = "under 20 % of a command of 4° or more (program default: never a pass)";
  const auto stuck_steps = std::count_if(out.responses.begin(), out.responses.end(), is_stuck);
  const CommandResponse& worst = *std::min_element(
      out.responses.begin(), out.responses.end(),
      [](const CommandResponse& a, const CommandResponse& b) {
        return a.way / (a.step.to - a.step.from) < b.way / (b.step.to - b.step.from);
      });
  const double step = worst.step.to - worst.step.from;
  f.value = worst.way / step;
  f.uncertainty = worst.way_uncertainty / std::abs(step);
  f.unit = "of the command";
  f.seen = stuck_steps > 0                        ? Seen::seen
           : f.value - 2 * f.uncertainty > kStuck ? Seen::not_seen
                                                  : Seen::cannot_tell;
  f.words = fmt::format("{} of {} commands without an answer; {}: moved {}", stuck_steps,
                        out.responses.size(), step_words(worst.step), change_words(worst.way));
  if (f.seen != Seen::not_seen) f.next = kOil;
  return f;
}

PhaserFinding slow(const PhaserInput& in, const PhaserBehaviour& out) {
  const BehaviourLimit slew = in.slew.value_or(BehaviourLimit{kLeastSlew}),
                       time = in.time_90.value_or(BehaviourLimit{kTime90});
  const CommandResponse* worst = nullptr;
  bool is_slow = false, doubt = false;
  for (const CommandResponse& r : out.responses) {
    if (!r.response || is_stuck(r)) continue;
    const StepResponse& s = *r.response;
    const double t90 = s.time_90.value_or(INFINITY);
    const bool late = t90 - 2 * r.time_uncertainty > time.value;
    const bool low = s.slew && std::abs(*s.slew) < slew.value;
    is_slow = is_slow || late || low;
    doubt = doubt || (t90 + 2 * r.time_uncertainty > time.value);
    if (worst == nullptr || t90 >= worst->response->time_90.value_or(INFINITY)) worst = &r;
  }
  if (worst == nullptr) return without_command(PhaserState::slow, in);
  PhaserFinding f;
  f.state = PhaserState::slow;
  const StepResponse& s = *worst->response;
  f.value = s.time_90.value_or(0);
  f.uncertainty = worst->time_uncertainty;
  f.unit = "s";
  f.seen = is_slow ? Seen::seen : doubt ? Seen::cannot_tell : Seen::not_seen;
  f.words = response_words(*worst);
  f.judged_by =
      limit_words("slew", slew, "°/s", true) + "; " + limit_words("time to 90 %", time, "s");
  f.can_pass =
      f.seen == Seen::not_seen && can_carry_pass(slew.origin) && can_carry_pass(time.origin);
  if (f.seen != Seen::not_seen) f.next = kOil;
  return f;
}

std::string motion_words(const PhaseMotion& m) {
  return fmt::format("{} from {:.2f} to {:.2f} s, at most {:.0f}°/s", change_words(m.to - m.from),
                     m.begin_time, m.end_time, std::abs(m.greatest_rate));
}

bool is_answer(const PhaserInput& in, const PhaseMotion& m) {
  if (in.command == nullptr) return false;
  for (const CommandStep& s : command_steps(*in.command, 1)) {
    const double at = s.time + in.clock.offset - log_period(*in.command);
    if (m.begin_time > at - 0.5 && m.begin_time < at + kAnswerTime &&
        (s.to - s.from) * (m.to - m.from) > 0)
      return true;
  }
  return false;
}

// Means of up to 8 cycles on both sides, without the mixed one: single cycles are no levels.
struct Levels {
  double before = 0, after = 0;
  std::size_t count_before = 0, count_after = 0;
};

Levels levels_of(std::span<const double> psi, const PhaseMotion& m) {
  Levels l;
  l.count_before = std::min<std::size_t>(8, m.begin + 1);
  l.count_after = std::min<std::size_t>(8, psi.size() - m.end);
  l.before = phase_statistics(psi.subspan(m.begin + 1 - l.count_before, l.count_before)).mean;
  l.after = phase_statistics(psi.subspan(m.end, l.count_after)).mean;
  return l;
}

// A phaser comes back to where it was, a chain does not: a level before is met again after. Not
// where the way is longer than the phaser's.
bool returns(const PhaserInput& in, const PhaserBehaviour& out, const PhaseMotion& m,
             double jitter) {
  if (in.travel_from && in.travel_to &&
      std::abs(m.to - m.from) > std::abs(*in.travel_to - *in.travel_from) + kOutside)
    return false;
  const double near = std::max(kOutside, 5 * jitter);
  return std::any_of(out.motions.begin(), out.motions.end(), [&](const PhaseMotion& other) {
    return other.begin >= m.end ? std::abs(other.to - m.from) < near
                                : other.end <= m.begin && std::abs(other.from - m.to) < near;
  });
}

// From one cycle to the next with one mixed cycle between at most, and it stays.
bool may_be_jump(const PhaserInput& in, const PhaserBehaviour& out, std::span<const double> psi,
                 const PhaseMotion& m, double jitter) {
  if (m.end - m.begin > 2 || returns(in, out, m, jitter)) return false;
  const Levels l = levels_of(psi, m);
  const double near = std::max(5 * jitter, kMixed * std::abs(l.after - l.before));
  int mixed = 0;
  for (std::size_t i = m.begin > 0 ? m.begin - 1 : 0; i < std::min(m.end + 2, psi.size()); ++i)
    if (std::abs(psi[i] - l.before) > near && std::abs(psi[i] - l.after) > near) ++mixed;
  return mixed <= 1;
}
bool outruns_phaser(const PhaseMotion& m) { return std::abs(m.greatest_rate) > kFastestPhaser; }

std::vector<double> psi_of(const PhaserInput& in) {
  std::vector<double> psi;
  for (const CyclePhase& c : in.phase.cycles) psi.push_back(c.psi);
  return psi;
}

PhaserFinding moves(const PhaserInput& in, const PhaserBehaviour& out) {
  PhaserFinding f;
  f.state = PhaserState::moves;
  f.unit = "°";
  f.judged_by = "a way over 2°, 8 times the jitter and what the wheel cannot see (program default)";
  std::vector<std::string> ways;
  double fastest_early = 0, fastest_late = 0;
  const std::vector<double> psi = psi_of(in);
  const double jitter = robust_jitter(psi);
  for (const PhaseMotion& m : out.motions) {
    if (is_answer(in, m)) continue;
    if (outruns_phaser(m) && may_be_jump(in, out, psi, m, jitter)) continue;
    if (std::abs(m.to - m.from) > std::abs(f.value)) f.value = m.to - m.from;
    (m.greatest_rate > 0 ? fastest_early : fastest_late) =
        std::max(m.greatest_rate > 0 ? fastest_early : fastest_late, std::abs(m.greatest_rate));
    ways.push_back(motion_words(m));
  }
  f.seen = ways.empty() ? Seen::not_seen : Seen::seen;
  if (ways.empty()) {
    f.words = "no motion beside what was commanded";
    return f;
  }
  f.uncertainty = std::hypot(out.quiet.jitter * std::numbers::sqrt2, in.phase.systematic);
  const std::size_t shown = std::min<std::size_t>(ways.size(), 6);
  f.words = fmt::format("moved {} time{} {}: ", ways.size(), ways.size() == 1 ? "" : "s",
                        in.command != nullptr ? "without a command"
                        : in.told_at_base     ? "(told to be at its base)"
                                              : "(the command is not known)");
  for (std::size_t i = 0; i < shown; ++i) f.words += (i > 0 ? "; then " : "") + ways[i];
  if (shown < ways.size()) f.words += fmt::format("; and {} more", ways.size() - shown);
  f.words += fmt::format(". Greatest rates: {:.0f}°/s earlier, {:.0f}°/s later (crank)",
                         fastest_early, fastest_late);
  f.next = in.command == nullptr ? kCommandLog : kOil;
  return f;
}

PhaserFinding jump(const PhaserInput& in, const PhaserBehaviour& out) {
  PhaserFinding f;
  f.state = PhaserState::jump;
  f.unit = "°";
  f.judged_by = "a change from one cycle to the next over 5 times the jitter";
  const std::vector<double> psi = psi_of(in);
  const double jitter = robust_jitter(psi);
  for (const PhaseMotion& m : out.motions) {
    if (is_answer(in, m) || !may_be_jump(in, out, psi, m, jitter)) continue;
    const Levels levels = levels_of(psi, m);
    const double change = levels.after - levels.before;
    const double uncertainty =
        std::hypot(kWheel, jitter * std::sqrt(1.0 / static_cast<double>(levels.count_before) +
                                              1.0 / static_cast<double>(levels.count_after)));
    const int teeth =
        in.cam_teeth > 0 ? jump_of_step(change, jitter, uncertainty, in.cam_teeth) : 0;
    if (std::abs(change) < std::max(5 * jitter, std::abs(f.value))) continue;
    const bool may_be_tooth =
        teeth != 0 || (in.cam_teeth == 0 && std::abs(change) > kSmallestTooth);
    if (!outruns_phaser(m) && !may_be_tooth) continue;
    f.value = change;
    f.uncertainty = uncertainty;
    f.seen =
        outruns_phaser(m) && (teeth != 0 || in.cam_teeth == 0) ? Seen::seen : Seen::cannot_tell;
    f.words = fmt::format("{} at {:.2f} s, within one cycle", change_words(change), m.end_time);
    if (teeth != 0)
      f.words +=
          fmt::format(": {} {} {} of {}", std::abs(teeth), std::abs(teeth) == 1 ? "tooth" : "teeth",
                      teeth > 0 ? "early" : "late", in.cam_teeth);
    else if (in.cam_teeth > 0)
      f.words += fmt::format(": no whole tooth of {}: a slipped sensor wheel or a very fast phaser",
                             in.cam_teeth);
    if (!outruns_phaser(m)) f.words += ", or a phaser: one could move so far in that time";
    f.next = "marks and link counts at the chain; the sensor wheel's seat, if only this cam moved";
  }
  if (!f.words.empty()) return f;
  f.seen = Seen::not_seen;
  f.words = "no sudden change";
  return f;
}

// Whole teeth in an offset that is nothing else within three uncertainties; 0: none.
int whole_teeth(double offset, double uncertainty, int cam_teeth) {
  if (cam_teeth <= 0) return 0;
  const double tooth = tooth_in_crank_degrees(cam_teeth);
  const double teeth = std::round(offset / tooth);
  return std::abs(offset - teeth * tooth) <= 3 * uncertainty ? static_cast<int>(teeth) : 0;
}

PhaserFinding off_base(const PhaserInput& in, bool has_jumped) {
  PhaserFinding f;
  f.state = PhaserState::off_base;
  f.unit = "°";
  const BehaviourLimit limit = in.off_base.value_or(BehaviourLimit{kOffBase});
  f.judged_by = limit_words("off base", limit, "°");
  f.next = "a reference: a recording of an engine known good with its phaser at base";
  if (!in.has_reference) {
    f.words = "no reference: where the base is cannot be told";
    return f;
  }
  std::vector<double> psi;
  for (const CyclePhase& c : in.phase.cycles) {
    if (in.command == nullptr) {
      if (in.told_at_base) psi.push_back(c.psi);
      continue;
    }
    // At base for a second before, so that the way back is over.
    bool at_base = true;
    for (const double before : {0.0, 0.25, 0.5, 0.75, 1.0}) {
      const auto command = commanded_at(*in.command, c.time - in.clock.offset - before);
      at_base = at_base && command && std::abs(*command - in.base_command) <= kBaseCommand;
    }
    if (at_base) psi.push_back(c.psi);
  }
  if (psi.size() < kFewestCycles) {
    f.words = in.command == nullptr && !in.told_at_base
                  ? "whether the phaser was commanded to its base is not known"
                  : fmt::format("{} cycles at base command: too few", psi.size());
    f.next = in.command == nullptr ? kCommandLog : "a recording at base command: hot idle";
    return f;
  }
  const PhaseStatistics s = phase_statistics(psi);
  f.value = s.mean;
  f.uncertainty =
      std::hypot(s.sd / std::sqrt(s.count), in.reference_tolerance, in.phase.systematic);
  f.words = fmt::format("{} {}, ± {:.1f}°, sd {:.2f}°, {} cycles", phase_words(s.mean),
                        in.command == nullptr ? "while told to be at its base" : "at base command",
                        2 * f.uncertainty, s.sd, s.count);
  f.chance = std::erfc(std::abs(s.mean) / f.uncertainty / std::numbers::sqrt2);
  f.next = "does it return when commanded away and back; lock pin; " + std::string(kOil);
  const double off = std::abs(s.mean), margin = 1.645 * f.uncertainty;
  const int teeth = whole_teeth(s.mean, f.uncertainty, in.cam_teeth);
  if (teeth != 0 || has_jumped) {
    f.words += has_jumped ? ": it jumped meanwhile, so the base is not judged"
                          : fmt::format(": {} {} of {} would be the same", std::abs(teeth),
                                        std::abs(teeth) == 1 ? "tooth" : "teeth", in.cam_teeth);
    f.next = "marks and link counts at the chain";
    return f;
  }
  if (in.travel_from && in.travel_to) {
    const auto [low, high] = std::minmax(*in.travel_from, *in.travel_to);
    if (s.mean < low - kOutside - margin || s.mean > high + kOutside + margin) {
      f.words += ": outside the phaser's travel, so chain, sprocket or sensor wheel, not the base";
      f.next = "marks and link counts at the chain";
      return f;
    }
    if (s.mean < low - kOutside || s.mean > high + kOutside) return f;
  } else {
    f.words += "; its travel is not given, so wear or a jump is not told from it";
  }
  f.seen = off - margin > limit.value   ? Seen::seen
           : off + margin < limit.value ? Seen::not_seen
                                        : Seen::cannot_tell;
  if (f.seen == Seen::not_seen) f.next.clear();
  f.can_pass = f.seen == Seen::not_seen && can_carry_pass(limit.origin);
  return f;
}

}  // namespace

std::string limit_words(std::string_view what, const BehaviourLimit& limit, std::string_view unit,
                        bool is_least) {
  std::string words = fmt::format("{} at {} {:.4g} {} ({}", what, is_least ? "least" : "most",
                                  limit.value, unit, origin_text(limit.origin));
  if (!limit.source.empty()) words += ", " + limit.source;
  return words + (can_carry_pass(limit.origin) ? ")" : ": never a pass)");
}

void add_motion_states(const PhaserInput& in, PhaserBehaviour& out) {
  out.findings.push_back(stuck(in, out));
  out.findings.push_back(slow(in, out));
  out.findings.push_back(moves(in, out));
  out.findings.push_back(jump(in, out));
  const bool has_jumped = out.findings.back().seen == Seen::seen;
  out.findings.push_back(off_base(in, has_jumped));
}

}  // namespace tautmark::recording

namespace tautmark {

bool is_stuck(const CommandResponse& response) {
  const double step = response.step.to - response.step.from;
  return (response.way + 2 * response.way_uncertainty * (step < 0 ? -1 : 1)) / step <
         recording::kStuck;
}

}  // namespace tautmark
