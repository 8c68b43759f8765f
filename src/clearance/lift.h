// SPDX-License-Identifier: Apache-2.0
// Lift of one valve along its own axis, against crank angle, over a whole cycle of 720 crank deg.
//
// The angle is that of the cycle: 0 is the top dead center of firing of the cylinder, 360 crank deg
// that of gas exchange (overlap). Advance `eps` (positive: earlier) moves it: L(theta + eps).
// Lift of the valve = max(0, ratio * lift of the cam - lash). Sources: geometry.md 6.1, 6.2.
#pragma once

#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::clearance {

// Named laws s(u), u in [0,1], s(0) = 0, s(1) = 1: L = h s(1 - |x|/B), x from the lobe center.
//   harmonic         (1 - cos πu)/2, which is h cos²(90° x/B) of the lobe
//   cycloidal        u - sin(2πu)/(2π)
//   polynomial_345   10u³ - 15u⁴ + 6u⁵
//   polynomial_4567  35u⁴ - 84u⁵ + 70u⁶ - 20u⁷
enum class LiftLaw { harmonic, cycloidal, polynomial_345, polynomial_4567 };
double law_lift(LiftLaw law, double u);   // s(u); 0 below, 1 above
double law_slope(LiftLaw law, double u);  // s'(u); 0 outside

struct LiftSample {
  CrankAngle at{};  // of the cycle, or from any zero of the table's own
  Length lift{};
};

// What a lift curve is made from. `ratio` and `lash` turn cam lift into valve lift (1 and 0 where
// the table is of the valve).
struct LawLobe {
  LiftLaw law = LiftLaw::polynomial_4567;
  Length height{};
  CrankAngle half_duration{};  // seat to nose, crank deg; more than 0, at most 360
  CrankAngle center{};         // of the cycle
};

// Ready to be asked for: periodic over 720 crank deg. `points` are ratio * lift of the cam - lash
// in m at equal steps over the cycle, the first at 0, with their slopes (m per rad crank); below 0
// the valve is shut, and lift() says 0. Between them a cubic: what lift() adds to the error of the
// curve itself stays below 1e-5 mm (lift_test.cc, StaysWithinStatedAccuracy).
// Made by lift_curve() only; an empty one must not be asked.
struct LiftCurve {
  struct Point {
    double lift = 0;
    double slope = 0;
  };
  std::vector<Point> points{};
  Length highest{};
  CrankAngle nose{};  // middle of the two angles 0.5 % below the highest: sharp on a flat nose too
};

LiftCurve lift_curve(const LawLobe& lobe, double ratio = 1, Length lash = {});

// A table over the whole cycle, or of the lobe alone: then it begins and ends shut (at most
// kShutLift), and so it is taken to be over the rest. Between the readings a periodic cubic spline
// whose slope is 0 at the readings of no lift: no ripples on the base circle.
// Refuses fewer samples than make a lobe, angles not rising, a table that does not close, steps
// coarser than 10 crank deg (5 cam deg) while the valve is open, negative lifts.
inline constexpr Length kShutLift = mm(0.02);
Result<LiftCurve> lift_curve(const std::vector<LiftSample>& table, double ratio = 1,
                             Length lash = {});

// Of any number of cycles. An angle that is not finite has no lift: NaN.
Length lift(const LiftCurve& curve, CrankAngle of_cycle);
double lift_slope(const LiftCurve& curve, CrankAngle of_cycle);  // m per rad crank; 0 while shut

}  // namespace tautmark::clearance
