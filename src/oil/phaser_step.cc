// SPDX-License-Identifier: Apache-2.0
#include "oil/phaser_step.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>

#include "base/student.h"
#include "oil/estimated.h"

namespace tautmark::oil {
namespace {

constexpr double kMostSamples = 1e6;
// Steps of the dead time and of 1/K: the trapezoid then stays below 1e-4 of the way.
constexpr double kStepsInDead = 128;
constexpr double kStepsInGain = 128;
constexpr double kLowPart = 0.2;
constexpr double kHighPart = 0.8;
constexpr std::size_t kLeastSamples = 3;
// A recording that lasts so many times the predicted way to kLowPart and shows less is of a phaser
// that is stuck.
constexpr double kPatience = 3;

Result<void> check_loop(const ClosedLoop& loop) {
  if (!is_positive(loop.gain)) return refuse("the gain of the phaser loop is above 0");
  if (!is_not_negative(loop.dead.si())) return refuse("a dead time is not below 0");
  if (!is_positive(loop.advance_slew.si()) || !is_positive(loop.retard_slew.si()))
    return refuse("a phaser that cannot move its own way has no step to predict");
  return {};
}

// Without dead time: straight while the error asks for more than the slew, then falling off.
double closed_form(double gain, double slew, double way, double t) {
  const double bend = slew / gain;
  const double sign = way < 0 ? -1 : 1, size = std::abs(way);
  const double straight = std::max((size - bend) / slew, 0.0);
  if (t <= straight) return sign * slew * t;
  const double left = size - slew * straight;
  return sign * (size - left * std::exp(-gain * (t - straight)));
}

// With dead time the rate depends on what is known already, so the trapezoid needs no solving.
std::vector<double> stepped(const ClosedLoop& loop, double way, double dt, std::size_t dead,
                            std::size_t count) {
  std::vector<double> moved(count + 1, 0.0);
  const auto rate = [&](std::size_t i) {
    if (i < dead) return 0.0;
    return std::clamp(loop.gain * (way - moved[i - dead]), -loop.retard_slew.si(),
                      loop.advance_slew.si());
  };
  // The rate jumps where the dead time ends; a trapezoid across the jump would smear it.
  for (std::size_t i = 1; i <= count; ++i)
    moved[i] = moved[i - 1] + (i <= dead ? 0 : dt * (rate(i - 1) + rate(i)) / 2);
  return moved;
}

struct Line {
  double slope = 0;
  double u = 0;  // standard, by the scatter
  double squares = 0;
};

Line line_through(std::span<const PhaseSample> samples) {
  const auto n = static_cast<double>(samples.size());
  double t = 0, y = 0, tt = 0, ty = 0, rest = 0;
  for (const PhaseSample& one : samples) {
    t += one.at.si() / n;
    y += one.angle.si() / n;
  }
  for (const PhaseSample& one : samples) {
    tt += std::pow(one.at.si() - t, 2);
    ty += (one.at.si() - t) * (one.angle.si() - y);
  }
  const double slope = ty / tt;
  for (const PhaseSample& one : samples)
    rest += std::pow(one.angle.si() - y - slope * (one.at.si() - t), 2);
  return {slope, n > 2 ? std::sqrt(rest / (n - 2) / tt) : 0, tt};
}

// From the first sample past `low` to the last before the first past `high`; parts of the way.
std::span<const PhaseSample> between(std::span<const PhaseSample> samples, double from, double way,
                                     double low, double high) {
  const auto past = [&](double part) {
    return std::find_if(samples.begin(), samples.end(), [&](const PhaseSample& one) {
      return (one.angle.si() - from) / way >= part;
    });
  };
  const auto first = past(low), last = past(high);
  return samples.subspan(static_cast<std::size_t>(first - samples.begin()),
                         static_cast<std::size_t>(std::max<std::ptrdiff_t>(last - first, 0)));
}

StepSpeed told(double log_ratio, double U) {
  if (log_ratio + U < 0) return StepSpeed::slower;
  return log_ratio - U > 0 ? StepSpeed::faster : StepSpeed::not_told_apart;
}

Result<std::vector<PhaseSample>> after_command(const StepRecording& recording) {
  std::vector<PhaseSample> out;
  for (std::size_t i = 0; i < recording.samples.size(); ++i) {
    const PhaseSample& one = recording.samples[i];
    if (!std::isfinite(one.at.si()) || !std::isfinite(one.angle.si()))
      return refuse(fmt::format("sample {} of the recorded step is no number", i + 1));
    if (i > 0 && !(one.at > recording.samples[i - 1].at))
      return refuse(
          fmt::format("sample {} of the recorded step is not after the one before", i + 1));
    if (one.at >= recording.commanded) out.push_back(one);
  }
  if (out.empty()) return refuse("the recording ends before the step was commanded");
  return out;
}

}  // namespace

double stable_below(Time dead) {
  return dead.si() > 0 ? std::numbers::pi / (2 * dead.si())
                       : std::numeric_limits<double>::infinity();
}

Result<StepPrediction> predicted_step(const ClosedLoop& loop, CamAngle from, CamAngle to,
                                      Time until, Time every) {
  if (const auto fine = check_loop(loop); !fine) return tl::make_unexpected(fine.error());
  if (!is_positive(until.si()) || !is_positive(every.si()))
    return refuse("a prediction needs a duration and a time between samples above 0");
  if (!std::isfinite(from.si()) || !std::isfinite(to.si()))
    return refuse("the step needs an angle before and after");
  const double way = (to - from).si(), dead = loop.dead.si();
  const double coarse = std::min(
      {every.si(), dead > 0 ? dead / kStepsInDead : every.si(), 1 / (loop.gain * kStepsInGain)});
  if (until.si() / (dead > 0 ? coarse : every.si()) > kMostSamples)
    return refuse("the prediction would take more than a million samples: make it shorter");
  const auto outputs = static_cast<std::size_t>(std::floor(until / every * (1 + 1e-12)));
  StepPrediction out;
  out.stable = loop.gain < stable_below(loop.dead);
  std::vector<double> moved;
  double dt = 0;
  if (dead > 0) {
    const auto steps = static_cast<std::size_t>(std::ceil(dead / coarse));
    dt = dead / static_cast<double>(steps);
    moved = stepped(loop, way, dt, steps, static_cast<std::size_t>(until.si() / dt) + 2);
  }
  const double slew = way < 0 ? loop.retard_slew.si() : loop.advance_slew.si();
  for (std::size_t i = 0; i <= outputs; ++i) {
    const double t = every.si() * static_cast<double>(i);
    double by = 0;
    if (dead > 0) {
      const double place = t / dt;
      const auto below = std::min(static_cast<std::size_t>(place), moved.size() - 2);
      by = std::lerp(moved[below], moved[below + 1], place - static_cast<double>(below));
    } else {
      by = closed_form(loop.gain, slew, way, t);
    }
    out.curve.push_back({Time::from_si(t), from + CamAngle::from_si(by)});
  }
  return out;
}

Result<StepComparison> compared_step(const StepRecording& recording, const ClosedLoop& loop,
                                     double predicted_U) {
  if (const auto fine = check_loop(loop); !fine) return tl::make_unexpected(fine.error());
  if (!is_stated(predicted_U) || !is_not_negative(recording.angle_u.si()))
    return refuse("prediction and angle each need an uncertainty");
  const double from = recording.from.si(), way = (recording.to - recording.from).si();
  if (!(std::abs(way) >= kLeastStep.si()))
    return refuse(fmt::format("a step below {:.0f}° of the camshaft says nothing of the slew",
                              in_cam_deg(kLeastStep)));
  const auto samples = after_command(recording);
  if (!samples) return tl::make_unexpected(samples.error());

  const double slew = way < 0 ? loop.retard_slew.si() : loop.advance_slew.si();
  const double lasts = loop.dead.si() + std::abs(way) / slew + 10 / loop.gain;
  const auto prediction = predicted_step(loop, recording.from, recording.to, Time::from_si(lasts),
                                         Time::from_si(lasts / 4000));
  if (!prediction) return tl::make_unexpected(prediction.error());
  const std::span<const PhaseSample> ideal = prediction->curve;

  double reached = 0;
  for (const PhaseSample& one : *samples)
    reached = std::max(reached, (one.angle.si() - from) / way);
  StepComparison out;
  out.predicted_U = predicted_U;
  const double part = std::min(reached, 1.0);
  const bool little = part < kLowPart;
  const double low = kLowPart * (little ? 1 : part), high = kHighPart * (little ? 1 : part);
  const auto ideal_part = between(ideal, from, way, low, high);
  if (ideal_part.size() < kLeastSamples)
    return refuse("the prediction itself does not make this step");
  const double sign = way < 0 ? -1 : 1;
  out.predicted = CamAngle::from_si(sign * line_through(ideal_part).slope);
  if (little) {
    if ((samples->back().at - recording.commanded) < kPatience * ideal_part.front().at)
      return refuse("the recording ends before the phaser could have moved");
    out.speed = StepSpeed::stuck;
    return out;
  }
  const auto moving = between(*samples, from, way, low, high);
  if (moving.size() < kLeastSamples)
    return refuse(fmt::format(
        "too few samples while the phaser moves ({}): record more often, or make a larger step",
        moving.size()));
  const Line line = line_through(moving);
  const double promised = 2 * recording.angle_u.si() / std::sqrt(line.squares);
  const double scatter = coverage_factor_95(static_cast<double>(moving.size()) - 2) * line.u;
  out.samples = static_cast<int>(moving.size());
  out.seen = CamAngle::from_si(sign * line.slope);
  out.seen_U = CamAngle::from_si(std::max(promised, scatter));
  if (!(out.seen.si() > 0))
    return refuse("the recorded angle does not run toward the wanted one in its middle part");
  out.ratio = out.seen / out.predicted;
  out.ratio_U = std::hypot(out.seen_U / out.seen, predicted_U);
  out.speed = told(std::log(*out.ratio), out.ratio_U);
  return out;
}

SlewDiagnosis slew_diagnosis(const std::optional<StepComparison>& advance,
                             const std::optional<StepComparison>& retard, Travel against) {
  if (!advance || !retard) return {};
  const StepComparison& up = against == Travel::advance ? *advance : *retard;
  const StepComparison& down = against == Travel::advance ? *retard : *advance;
  const auto slow = [](const StepComparison& one) {
    return one.speed == StepSpeed::stuck || one.speed == StepSpeed::slower;
  };
  const auto clearly_slower = [](const StepComparison& one, const StepComparison& other) {
    if (!one.ratio || !other.ratio) return !one.ratio && other.ratio.has_value();
    return std::log(*one.ratio / *other.ratio) + std::hypot(one.ratio_U, other.ratio_U) < 0;
  };
  if (slow(up) && slow(down)) return {SlewPattern::slow_both_ways, clearly_slower(up, down)};
  if (slow(up))
    return {clearly_slower(up, down) ? SlewPattern::slow_against_load : SlewPattern::cannot_tell};
  if (slow(down))
    return {clearly_slower(down, up) ? SlewPattern::slow_with_load : SlewPattern::cannot_tell};
  return {SlewPattern::not_shown_slow};
}

std::string_view meaning(SlewPattern pattern) {
  switch (pattern) {
    case SlewPattern::not_shown_slow:
      return "not shown to be slow either way; that does not prove the phaser good";
    case SlewPattern::slow_against_load:
      return "slow against the load, not with it: oil leaks between the chambers or to the edge of "
             "the journal, or the pressure at the head is low";
    case SlewPattern::slow_with_load:
      return "slow with the load, not against it: no known cause; repeat the step both ways";
    case SlewPattern::slow_both_ways:
      return "slow both ways: valve, screen or oil that is too thick";
    case SlewPattern::cannot_tell:
      break;
  }
  return "cannot tell: record a step both ways, hot, as large as the engine lets you";
}

}  // namespace tautmark::oil
