// SPDX-License-Identifier: Apache-2.0
// Crank angle at any time from the times of the teeth, speed per turn, and the true spacing of the
// teeth where it can be told.
//
// Angles in crank degrees, unwrapped, growing with rotation; times in s. Knots strictly increase in
// both. With 2 or 4 teeth per turn no interpolation helps: the speed ripple between the teeth is
// not seen, and the error is a bias of up to ripple_uncertainty(). Sources: signals.md section 5;
// Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "recording/wheel.h"

namespace tautmark {

// x less the multiple of `cycle` that brings it into [-cycle/2, cycle/2).
double wrapped(double degrees, double cycle = 720);
// Angle in [0, cycle) of the summed unit vectors. 0 of none.
double circular_mean(std::span<const double> degrees, double cycle = 720);

enum class Interpolation {
  linear,          // 36 teeth or more and ripple under 5 % only
  three_point,     // exact for constant acceleration; needs no later teeth
  four_point,      // two teeth on each side
  monotone_cubic,  // cannot overshoot: when teeth are doubtful
};

// One piece in which the teeth are counted without a break.
struct Knots {
  std::vector<double> time, angle;
};
// Empty outside the knots: nothing is extrapolated.
std::optional<double> angle_at(const Knots& knots, double time, Interpolation method);
// deg/s at `time`, over the teeth beside it; 0 outside.
double speed_at(const Knots& knots, double time);

struct TurnSpeed {
  double time = 0;        // s, middle of the turn
  double per_minute = 0;  // 60/(t_{i+P} - t_i): free of tooth-spacing errors
};
// Turns follow each other from the first of the wheel's equal zeros on.
std::vector<TurnSpeed> speed_per_turn(const Knots& knots, const Wheel& wheel);

// Standard uncertainty (degrees) of an angle between the teeth of a wheel with fewer than 6 teeth:
// 57.3 r/(q √2) for ripple r = 0.25 of order q = 2 at 250 1/min, r falling as 1/n². 0 from 6 on.
double ripple_uncertainty(int teeth, double per_minute);

// Where each tooth really is. Spacing and speed ripple of whole order cannot be told apart at one
// speed, but ripple falls with speed squared: share of each step = intercept + slope/n², intercept
// kept. Refused: under 10 turns above 1000 1/min, speed spread under 1.3 to 1, speed not steady
// from turn to turn (over 5 %).
struct ToothCorrection {
  double degrees = 0;         // later than nominal: positive
  double standard_error = 0;  // degrees
};
struct LearnedSpacing {
  std::vector<ToothCorrection> teeth;  // as in Wheel::angles; the first is 0
  int turns = 0;
};
Result<LearnedSpacing> learn_spacing(const Wheel& wheel, std::span<const Knots> pieces);

// Shares of a turn (degrees, sum 360) of the `teeth` steps of a wheel of which nothing is known;
// step k follows edge k, k + teeth … Windows centered on the step, so that constant acceleration
// cancels. From cranking alone they are wrong by up to 11 degrees: ripple looks like spacing.
std::vector<double> step_shares(std::span<const std::vector<double>> pieces, int teeth);

}  // namespace tautmark
