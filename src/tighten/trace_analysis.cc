// SPDX-License-Identifier: Apache-2.0
#include "tighten/trace_analysis.h"

#include <fmt/format.h>

#include <cmath>

#include "tighten/trace_signs.h"

namespace tautmark::tighten {
namespace {

constexpr double kBend = 0.01;          // of the gradient: what toe and knee take from it
constexpr double kBendOrigin = 0.5;     // degrees, the same of the origin
constexpr double kRunInNotSeen = 0.05;  // of the end torque: run-in torque that was not recorded
constexpr double kMostNoise = 0.03;     // of the largest torque
constexpr double kMostStickSlip = 0.1;
constexpr double kLeastRunIn = 10;  // degrees of it to judge the thread by

Result<bool> sound(const ExpectedStep& e) {
  if (!e.target && !(e.snug && e.angle)) {
    return refuse("a trace is judged against a target torque, or a snug torque with an angle");
  }
  const auto wrong = [](const auto& given) {
    return given && (!(given->si() > 0) || !std::isfinite(given->si()));
  };
  if (wrong(e.target) || wrong(e.snug) || wrong(e.angle) ||
      (e.slope && (!(e.slope->per_degree.si() > 0) || !(e.slope->expanded >= 0) ||
                   !(e.slope->expanded < 1)))) {
    return refuse("torque, angle and slope of the step must be above zero");
  }
  if (!(e.thread.nominal.si() > 0) || !(e.thread.pitch.si() > 0) || !(e.strength.yield.si() > 0) ||
      !(e.head_mean.si() > 0) || !(e.friction.low > 0) || !(e.friction.high >= e.friction.low) ||
      !(e.wrench_deviation >= 0) || !(e.wrench_deviation < 1)) {
    return refuse("thread, class, friction and ring under the head of the bolt are wanted");
  }
  return true;
}

TraceSpot spot(double angle, double torque) { return {deg(angle), Torque::from_si(torque)}; }

// Of the gradient, k = 2, as a ratio. Points under stick-slip do not err each for itself.
double gradient_off(const TraceFit& fit, const TraceResult& result) {
  double together = 1;
  if (result.stick_slip) {
    const double spacing = (fit.lines[fit.high].angle - fit.lines[fit.low].angle) /
                           static_cast<double>(fit.line.points);
    together = std::max(1.0, in_deg(result.stick_slip->period) / (2 * spacing));
  }
  return std::hypot(2 * std::sqrt(together) * fit.line.slope_error / fit.line.slope, kBend);
}

void describe(const CleanTrace& clean, const TraceFit& fit, TraceResult& r) {
  r.strokes = clean.strokes;
  r.noise = Torque::from_si(fit.noise);
  r.end = spot(fit.lines.back().angle, fit.lines.back().value);
  for (const LocalLine& v : fit.lines) r.curve.push_back(spot(v.angle, v.value));
  if (fit.prevailing) r.prevailing = Torque::from_si(*fit.prevailing);
  if (!fit.straight) return;
  r.stick_slip = stick_slip_of(clean, fit);
  const LocalLine &low = fit.lines[fit.low], &high = fit.lines[fit.high];
  r.snug = spot(low.angle, low.value);
  r.line_low = spot(low.angle, fit.line.at(low.angle));
  r.line_high = spot(high.angle, fit.line.at(high.angle));
  const double off = gradient_off(fit, r);
  r.gradient = Torque::from_si(fit.line.slope);
  r.gradient_expanded = Torque::from_si(off * fit.line.slope);
  r.origin = deg(fit.origin);
  r.origin_expanded = deg(std::hypot(2 * fit.line.level_error / fit.line.slope,
                                     off * (fit.line.middle - fit.origin), kBendOrigin));
  r.clamp_angle = r.end.angle - *r.origin;
  if (fit.yield_angle) {
    r.yield = spot(*fit.yield_angle, *fit.yield_torque);
    r.onset = spot(*fit.onset_angle, *fit.onset_torque);
    r.plastic_angle = r.end.angle - r.yield->angle;
  }
}

void estimate_preload(const TraceFit& fit, const ExpectedStep& e, TraceResult& r) {
  const double torque = r.end.torque.si() - fit.prevailing.value_or(0);
  if (!(torque > 0)) return;
  const PreloadRange range = preload_range(Torque::from_si(torque), e.wrench_deviation, e.thread,
                                           e.head_mean, e.friction, e.strength);
  const double run_in = fit.prevailing ? 0 : kRunInNotSeen;
  r.by_torque = TracePreload{range.low * (1 - run_in), range.high};
  if (!fit.straight || !e.slope) return;
  const double s = e.slope->per_degree.si();
  const double load = s * torque / fit.line.slope;
  const double in_window =
      std::max(1.0, fit.window * static_cast<double>(fit.line.points) /
                        (fit.lines[fit.high].angle - fit.lines[fit.low].angle));
  const double off = std::hypot(std::hypot(e.slope->expanded, gradient_off(fit, r)),
                                4 * fit.noise / std::sqrt(in_window) / torque, run_in);
  r.by_angle = TracePreload{Force::from_si(load * (1 - off)), Force::from_si(load * (1 + off))};
  r.angle_over_torque = 2 * load / (range.low + range.high).si();
  const TorquePerForce one = torque_per_force(e.thread, {1, 1}, e.head_mean);
  r.friction = (fit.line.slope / s - one.pitch.si()) / (one.thread + one.head).si();
}

// Without these nothing can be called unseen.
std::vector<std::string> open_questions(const CleanTrace& clean, const TraceFit& fit,
                                        const ExpectedStep& e, const TraceResult& r) {
  std::vector<std::string> open;
  if (!e.slope) {
    open.emplace_back(
        "the slope of this joint is not given: a wrong bolt, a thread that gives and a bolt on the "
        "ground of its hole may look like this");
  }
  if (!fit.prevailing || fit.origin - clean.angle.front() < kLeastRunIn) {
    open.emplace_back(
        "the record begins too late to show how the thread runs in: it may be cross-threaded");
  }
  if (fit.noise > kMostNoise * fit.most) open.emplace_back("the torque is too noisy to judge by");
  if (r.stick_slip && r.stick_slip->height.si() > kMostStickSlip * fit.most) {
    open.push_back(
        fmt::format("the bolt sticks and slips by {:.2f} N·m: its clamp load is not known "
                    "and a sign may hide in it",
                    r.stick_slip->height.si()));
  }
  if (e.meant_to_yield && fit.straight && !fit.yield_angle) {
    open.emplace_back("the bolt is meant to yield and no yield is seen");
  }
  return open;
}

std::vector<std::string> never_told(const ExpectedStep& e) {
  std::vector<std::string> never = {"a thread that bears now and strips later",
                                    "the length of thread that is engaged",
                                    "a stronger class by one step, within the scatter of bolts"};
  never.emplace_back(
      e.meant_to_yield
          ? "a bolt tightened once before: it yields only a little later"
          : "the class of the bolt, and whether it was used: it was not taken to yield");
  return never;
}

}  // namespace

std::string_view trace_sign_name(TraceSign sign) {
  switch (sign) {
    case TraceSign::stripped:
      return "stripped thread";
    case TraceSign::cross_threaded:
      return "cross-threaded";
    case TraceSign::bottomed:
      return "bottomed";
    case TraceSign::wrong_bolt:
      return "wrong bolt";
    case TraceSign::reused_bolt:
      return "re-used bolt";
    case TraceSign::not_straight:
      return "no straight part";
    case TraceSign::soft:
      return "too soft";
    case TraceSign::interrupted:
      return "interrupted";
    case TraceSign::torque_not_reached:
      return "torque not reached";
    case TraceSign::angle_not_reached:
      return "angle not reached";
    case TraceSign::turned_too_far:
      return "turned too far";
    case TraceSign::snug_too_low:
      return "snug torque too low";
    case TraceSign::yields_unmeant:
      return "yields unmeant";
  }
  return "";
}

Result<TraceResult> analyse_trace(const Trace& trace, const ExpectedStep& expected) {
  if (const Result<bool> checked = sound(expected); !checked) {
    return tl::make_unexpected(checked.error());
  }
  const CleanTrace clean = clean_trace(trace);
  const TraceFit fit = fit_trace(clean);
  if (fit.lines.empty()) {
    return refuse(
        "the record is too short for a line: it wants at least 15 points with growing angle and "
        "torque over some degrees");
  }
  const Allowed allowed = allowed_by(expected);
  TraceResult result;
  describe(clean, fit, result);
  estimate_preload(fit, expected, result);
  result.findings = trace_signs({clean, fit, expected, allowed});
  result.open = open_questions(clean, fit, expected, result);
  result.cannot_be_told = never_told(expected);
  result.answer = !result.findings.empty() ? TraceAnswer::signs_found
                  : !result.open.empty()   ? TraceAnswer::not_decided
                                           : TraceAnswer::nothing_found;
  return result;
}

}  // namespace tautmark::tighten
