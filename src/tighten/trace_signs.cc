// SPDX-License-Identifier: Apache-2.0
#include "tighten/trace_signs.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tautmark::tighten {
namespace {

constexpr double kStrengthScatter = 1.2;  // of bolts above the minimum of their class, assumed
constexpr double kHalfGradient = 0.96;    // of the yield load is borne at the half-gradient point
constexpr double kFall = 0.03;            // of the largest torque
constexpr double kRunIn = 0.04;           // of the torque of the step, where none belongs
constexpr double kRunInRise = 0.015;      // of that torque, over the last
constexpr double kRunInAngle = 90;        // degrees before the toe, which is the larger of
constexpr double kToe = 16;               // degrees and
constexpr double kToeShare = 0.3;         // of the angle from the origin to 80 % of the torque
constexpr double kEarly = 0.06;           // of that torque, reached so long before the line begins:
constexpr double kEarlyAngle = 40;        // degrees
constexpr double kConvex = 1.3;           // upper slope over lower one
constexpr double kLonger = 1.3;           // than the softest joint, and by kLongerBy, under torque
constexpr double kLongerBy = 20;          // degrees
constexpr double kLostAngle = 3;          // degrees of the angle step that close the parts only

class Signs {
 public:
  explicit Signs(const TraceSeen& seen)
      : clean_(seen.clean), fit_(seen.fit), expected_(seen.expected), allowed_(seen.allowed) {}

  std::vector<TraceFinding> all() {
    ask_straight();
    ask_fall();
    ask_run_in();
    ask_way();
    ask_slope();
    ask_yield();
    ask_step();
    ask_strokes();
    std::stable_sort(found_.begin(), found_.end(),
                     [](const auto& a, const auto& b) { return a.sign < b.sign; });
    return found_;
  }

 private:
  void say(TraceSign sign, std::string why, std::string not_told_from) {
    found_.push_back({sign, std::move(why), std::move(not_told_from)});
  }
  [[nodiscard]] double prevailing() const { return fit_.prevailing.value_or(0); }
  // What the step is about: its target, or where the bolt should at least get.
  [[nodiscard]] double reference() const {
    if (expected_.target) return expected_.target->si();
    return std::max(expected_.meant_to_yield ? allowed_.yield_torque_low : 0.0,
                    expected_.snug->si());
  }
  [[nodiscard]] double from_origin(double torque) const { return torque - prevailing(); }

  void ask_fall() {
    double most = 0, fall = 0, at = 0;
    for (const LocalLine& v : fit_.lines) {
      most = std::max(most, v.value);
      if (most - v.value > fall) fall = most - v.value, at = v.angle;
    }
    // Before the joint closes a torque may come and go.
    if (at < fit_.lines[fit_.low].angle || fall <= std::max(kFall * fit_.most, 3 * fit_.noise))
      return;
    say(TraceSign::stripped,
        fmt::format("the torque falls by {:.2f} N·m while the bolt is turned on, to {:.2f} N·m at "
                    "{:.0f}°",
                    fall, value_at(fit_, at), at),
        "a bolt that necks, a washer that slips, a thread that binds and breaks free");
  }

  void ask_run_in() {
    const double reference = this->reference();
    if (fit_.prevailing) {
      const double most = expected_.most_prevailing
                              ? expected_.most_prevailing->si()
                              : std::max(kRunIn * reference, 3 * fit_.prevailing_sd);
      if (*fit_.prevailing > most) {
        cross(
            fmt::format("{:.2f} N·m are needed before the joint closes; at most {:.2f} N·m belong "
                        "there",
                        *fit_.prevailing, most));
      }
    }
    if (!(fit_.line.slope > 0)) return;
    const double closing = run_in_end_ - under_torque_from();
    if (closing > kEarlyAngle) {
      cross(fmt::format("the torque grows over {:.0f}° before the straight part begins", closing));
    }
    // Short of where the parts begin to close, which a stiff joint does late.
    const double rises = fit_.lines[reaches(fit_, 0.8 * fit_.most)].angle - run_in_end_;
    const double end = run_in_end_ - std::max(kToe, kToeShare * rises);
    const double begin = std::max(clean_.angle.front(), end - kRunInAngle);
    const Line run = fitted_line(clean_, begin, end);
    const double rise = run.slope * (end - begin);
    const double sure = 3 * run.slope_error * (end - begin);
    if (run.points >= 5 && rise > kRunInRise * reference + sure) {
      cross(fmt::format("the torque grows by {:.2f} N·m while the thread only runs in", rise));
    }
  }

  [[nodiscard]] double under_torque_from() const {
    const double early = prevailing() + std::max(kEarly * reference(), 4 * fit_.noise);
    return fit_.lines[reaches(fit_, std::min(early, fit_.most))].angle;
  }

  // Turned under torque for longer than the softest joint would need.
  void ask_way() {
    if (!(allowed_.gradient_low > 0)) return;
    const LocalLine& to = fit_.lines[reaches(fit_, std::min(0.9 * reference(), 0.8 * fit_.most))];
    const double turned = to.angle - under_torque_from();
    const double most = kLonger * from_origin(to.value) / allowed_.gradient_low + kLongerBy;
    if (turned > most) {
      cross(
          fmt::format("{:.0f}° are turned under torque up to {:.2f} N·m, where this joint needs "
                      "at most {:.0f}°",
                      turned, to.value, most));
    }
  }

  void cross(std::string why) {
    for (TraceFinding& f : found_) {
      if (f.sign != TraceSign::cross_threaded) continue;
      f.why += "; " + why;
      return;
    }
    say(TraceSign::cross_threaded, std::move(why),
        "dirt or damage in the thread, a locking nut or patch, a part that is pulled into "
        "place or closes slowly");
  }

  void ask_straight() {
    if (!fit_.straight) {
      say(TraceSign::not_straight, "no straight part of the torque was found",
          "cross-threaded, bottomed, stick-slip, a gasket, or a record that is too short");
    }
    const auto line = [&](double low, double high) {
      return fitted_line(clean_, fit_.lines[reaches(fit_, low * fit_.most)].angle,
                         fit_.lines[reaches(fit_, high * fit_.most)].angle);
    };
    const Line lower = line(0.25, 0.45), upper = line(0.6, 0.85);
    run_in_end_ = fit_.origin;
    if (lower.points >= 5 && lower.slope > 0) {
      run_in_end_ = std::min(run_in_end_, (prevailing() - lower.at_zero) / lower.slope);
    }
    if (lower.points < 5 || upper.points < 5 || !(lower.slope > 0)) return;
    const double sure = upper.slope - 2 * upper.slope_error;
    if (sure > kConvex * (lower.slope + 2 * lower.slope_error)) {
      say(TraceSign::bottomed,
          fmt::format("from {:.2f} N·m on the torque grows {:.1f} times as steeply",
                      0.5 * fit_.most, upper.slope / lower.slope),
          "parts that closed late: paint, gasket, a bent flange");
    }
  }

  void ask_slope() {
    if (!fit_.straight || !expected_.slope) return;
    const double s = fit_.line.slope;
    const std::string seen =
        fmt::format("the torque grows by {:.3g} N·m per degree, where {:.3g} to {:.3g} belong", s,
                    allowed_.gradient_low, allowed_.gradient_high);
    if (s < allowed_.gradient_low) {
      say(TraceSign::soft, seen,
          "a longer or thinner bolt, a soft part in the joint, friction below its class, a thread "
          "that gives, a bolt that already yields");
    }
    if (s > allowed_.gradient_high) {
      say(TraceSign::bottomed, seen,
          "a shorter bolt, friction above its class, a thread that binds");
    }
  }

  void ask_yield() {
    if (!fit_.straight) return;
    if (!fit_.yield_angle) {
      if (expected_.meant_to_yield) ask_missing_yield();
      return;
    }
    if (!expected_.meant_to_yield) {
      say(TraceSign::yields_unmeant,
          fmt::format("the bolt yields at {:.2f} N·m in a step that should stay elastic",
                      *fit_.yield_torque),
          "friction below its class, a weaker bolt, a thread that gives");
    }
    const double torque = from_origin(*fit_.yield_torque);
    ask_yield_torque(torque);
    if (expected_.slope) ask_yield_load(torque);
  }

  void ask_yield_torque(double torque) {
    const std::string range = fmt::format(
        "{:.2f} N·m above the run-in torque; this bolt at this "
        "friction: {:.2f} to {:.2f} N·m",
        torque, allowed_.yield_torque_low, allowed_.yield_torque_high);
    if (torque < allowed_.yield_torque_low) {
      say(TraceSign::wrong_bolt, "yields at " + range,
          "a weaker class, a thread that strips, friction below its class");
    }
    if (torque > allowed_.yield_torque_high) {
      say(TraceSign::reused_bolt, "yields at " + range,
          "a stronger class, friction above its class");
    }
  }

  void ask_yield_load(double torque) {
    const double load = expected_.slope->per_degree.si() * torque / fit_.line.slope;
    const std::string range = fmt::format(
        "after {:.1f}° of clamp angle, {:.1f} kN by the expected slope; this bolt: "
        "{:.1f} to {:.1f} kN",
        torque / fit_.line.slope, load / 1e3, allowed_.yield_load_low / 1e3,
        allowed_.yield_load_high / 1e3);
    if (load < allowed_.yield_load_low) {
      say(TraceSign::wrong_bolt, "yields " + range,
          "a weaker class, a shorter bolt, a thread that strips, a bolt on the ground of its hole");
    }
    if (load > allowed_.yield_load_high) {
      const bool torque_fits = torque <= allowed_.yield_torque_high;
      say(torque_fits ? TraceSign::wrong_bolt : TraceSign::reused_bolt, "yields " + range,
          "a longer bolt, a stronger class, a bolt hardened by an earlier tightening");
    }
  }

  // Turned so far that the strongest bolt of the class would have yielded.
  void ask_missing_yield() {
    if (!expected_.slope) return;
    const double s = expected_.slope->per_degree.si() * (1 - expected_.slope->expanded);
    const double latest = fit_.origin + allowed_.yield_load_high / s + fit_.window;
    const double end = clean_.angle.back();
    if (end < latest) return;
    say(TraceSign::reused_bolt,
        fmt::format("no yield up to {:.0f}°; it had to be seen by {:.0f}°", end, latest),
        "a stronger class, a longer bolt, a softer joint");
  }

  void ask_step() {
    if (expected_.target) {
      const double target = expected_.target->si();
      const double reached = fit_.most + fit_.noise;
      if (reached < target * (1 - expected_.wrench_deviation)) {
        say(TraceSign::torque_not_reached, fmt::format("{:.2f} of {:.2f} N·m", fit_.most, target),
            "a record that ends early");
      }
      if (fit_.most > target * (1 + expected_.wrench_deviation) + 3 * fit_.noise) {
        say(TraceSign::turned_too_far, fmt::format("{:.2f} of {:.2f} N·m", fit_.most, target),
            "a target typed wrongly, or its unit");
      }
    }
    if (expected_.snug && expected_.angle) ask_angle();
  }

  void ask_angle() {
    const double snug = expected_.snug->si();
    const std::size_t at = reaches(fit_, snug);
    if (at == fit_.lines.size()) {
      say(TraceSign::torque_not_reached,
          fmt::format("the snug torque of {:.2f} N·m was never there", snug),
          "a record that ends early");
      return;
    }
    const double from = fit_.lines[at].angle;
    const double turned = clean_.angle.back() - from;
    const double wanted = in_deg(*expected_.angle), near = in_deg(expected_.angle_deviation);
    const std::string seen =
        fmt::format("{:.0f}° after {:.2f} N·m, {:.0f}° wanted", turned, snug, wanted);
    if (turned < wanted - near) {
      say(TraceSign::angle_not_reached, seen, "an angle lost between two strokes");
    }
    if (turned > wanted + near) {
      say(TraceSign::turned_too_far, seen, "an angle that was counted from elsewhere");
    }
    if (!fit_.straight) return;
    const double lost = (snug - fit_.line.at_zero) / fit_.line.slope - from;
    if (lost > std::max(kLostAngle, 0.05 * wanted)) {
      say(TraceSign::snug_too_low,
          fmt::format("at {:.2f} N·m the parts were not closed: {:.0f}° of the angle only closed "
                      "them",
                      snug, lost),
          "a soft part in the joint, a thread that binds");
    }
  }

  void ask_strokes() {
    if (clean_.lost_angle) {
      say(TraceSign::interrupted,
          "after a stop the torque before it was not reached again: the angle between is not known",
          "a bolt that was loosened, a wrench that slipped");
    } else if (clean_.widest_gap > fit_.window) {
      say(TraceSign::interrupted,
          fmt::format("nothing is recorded over {:.0f}°", clean_.widest_gap),
          "a sensor that lost its count");
    }
  }

  const CleanTrace& clean_;
  const TraceFit& fit_;
  const ExpectedStep& expected_;
  const Allowed& allowed_;
  double run_in_end_ = 0;  // where the lower part of the rise begins
  std::vector<TraceFinding> found_;
};

}  // namespace

Allowed allowed_by(const ExpectedStep& e) {
  const auto per_force = [&](double mu) {
    return torque_per_force(e.thread, {mu, mu}, e.head_mean).all().si();
  };
  const auto yields = [&](double mu) { return preload_at(e.thread, mu, e.strength.yield).si(); };
  const double low = e.friction.low, high = e.friction.high, wrench = e.wrench_deviation;
  const double slope = e.slope ? e.slope->per_degree.si() : 0;
  const double off = e.slope ? e.slope->expanded : 0;
  return {.gradient_low = slope * (1 - off) * per_force(low) * (1 - wrench),
          .gradient_high = slope * (1 + off) * per_force(high) * (1 + wrench),
          .yield_load_low = kHalfGradient * yields(high) * (1 - off),
          .yield_load_high = kStrengthScatter * yields(low) * (1 + off),
          .yield_torque_low = kHalfGradient * yields(low) * per_force(low) * (1 - wrench),
          .yield_torque_high = kStrengthScatter * yields(high) * per_force(high) * (1 + wrench)};
}

std::vector<TraceFinding> trace_signs(const TraceSeen& seen) { return Signs(seen).all(); }

}  // namespace tautmark::tighten
