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
enum class LiftLaw { harmonic, cycloidal, polynomial_345, polynomial_4567 };
double law_lift(LiftLaw law, double u);   // s(u)
double law_slope(LiftLaw law, double u);  // s'(u)

struct LiftSample {
  CrankAngle at{};  // of the cycle, or from any zero of the table's own
  Length lift{};
};

// What a lift curve is made from. `ratio` and `lash` turn cam lift into valve lift (1 and 0 where
// the table is of the valve).
struct LawLobe {
  LiftLaw law = LiftLaw::polynomial_4567;
  Length height{};
  CrankAngle half_duration{};  // seat to nose, crank deg
  CrankAngle center{};         // of the cycle
};

// Ready to be asked for: periodic over 720 crank deg, never negative. `points` are lifts of the
// valve in m at equal steps over the cycle with their slopes (m per rad crank); how finely is the
// module's own affair.
struct LiftCurve {
  struct Point {
    double lift = 0;
    double slope = 0;
  };
  std::vector<Point> points{};
  Length highest{};
  CrankAngle nose{};  // where it is highest
};

LiftCurve lift_curve(const LawLobe& lobe, double ratio = 1, Length lash = {});

// Refuses fewer samples than make a lobe, angles not rising, a table that does not close, steps
// coarser than 10 crank deg (5 cam deg), negative lifts.
Result<LiftCurve> lift_curve(const std::vector<LiftSample>& table, double ratio = 1,
                             Length lash = {});

Length lift(const LiftCurve& curve, CrankAngle of_cycle);
double lift_slope(const LiftCurve& curve, CrankAngle of_cycle);  // m per rad crank

}  // namespace tautmark::clearance
