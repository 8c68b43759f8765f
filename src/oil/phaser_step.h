// SPDX-License-Identifier: Apache-2.0
// A step of the wanted cam angle: how a phaser should follow it, and how a recorded one did.
//
//   θ'(t) = K (θ_ref - θ)(t - T_d), held between the slews of both ways
//
// K gain of the closed loop, 1/s; T_d dead time of oil, valve and sensing; θ cam angle, advance
// positive. Stable only for K < π / (2 T_d) (pure integrator with dead time); 63 % after 1/K
// without dead time or limit. Source: oil.md 5.4; what slow one way and slow both ways mean, 5.3.
//
// Seen and predicted slew are the slope of a straight line through the same part of the way, so
// what the line does not fit counts against neither. Slower or faster is said only where the two
// intervals part; where they do not, nothing is shown, which is no pass.
#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "oil/phaser.h"

namespace tautmark::oil {

struct ClosedLoop {
  double gain = 0;          // K, 1/s
  Time dead{};              // T_d, 0 or more
  CamAngle advance_slew{};  // most, in a second, above 0
  CamAngle retard_slew{};   // as much the other way, above 0
};
// Infinite without dead time.
double stable_below(Time dead);

struct PhaseSample {
  Time at{};
  CamAngle angle{};
};
struct StepPrediction {
  std::vector<PhaseSample> curve{};  // from the command at 0 on
  bool stable = true;                // false: the loop swings ever wider, up to the slew limits
};
// Error of the curve: none without dead time, else below 1e-4 of the step within ten dead times
// while stable. Refuses gains, slews or times that are not above 0, a dead time below 0, and more
// than a million samples.
Result<StepPrediction> predicted_step(const ClosedLoop& loop, CamAngle from, CamAngle to,
                                      Time until, Time every);

enum class StepSpeed { stuck, slower, not_told_apart, faster };

struct StepRecording {
  std::span<const PhaseSample> samples{};  // in order of time
  Time commanded{};
  CamAngle from{};  // wanted before and after
  CamAngle to{};
  CamAngle angle_u{};  // of one sample, standard
};
struct StepComparison {
  StepSpeed speed = StepSpeed::not_told_apart;
  CamAngle seen{};    // slew, in a second, toward the wanted angle
  CamAngle seen_U{};  // 95 %
  CamAngle predicted{};
  double predicted_U = 0;         // relative, 95 %
  std::optional<double> ratio{};  // seen to predicted; absent where stuck
  double ratio_U = 0;             // of its logarithm
  int samples = 0;                // the seen slew rests on
};
// `predicted_U`: relative, of the slew of the loop. Refuses steps below kLeastStep, samples out of
// order, recordings that end before anything can be said, fewer than three samples while it moves.
Result<StepComparison> compared_step(const StepRecording& recording, const ClosedLoop& loop,
                                     double predicted_U);
inline constexpr CamAngle kLeastStep = cam_deg(3);

enum class SlewPattern {
  cannot_tell,
  not_shown_slow,     // neither way; no pass
  slow_against_load,  // leak or low pressure
  slow_with_load,     // no meaning known
  slow_both_ways,     // valve, screen or thick oil
};
struct SlewDiagnosis {
  SlewPattern pattern = SlewPattern::cannot_tell;
  bool uneven = false;  // slow both ways, against the load clearly more: look for a leak besides
};
// `against`: the way the load resists. One way slow is said only where the other is clearly less
// so.
SlewDiagnosis slew_diagnosis(const std::optional<StepComparison>& advance,
                             const std::optional<StepComparison>& retard, Travel against);
std::string_view meaning(SlewPattern pattern);

}  // namespace tautmark::oil
