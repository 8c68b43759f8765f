// SPDX-License-Identifier: Apache-2.0
#include "clearance/valve_pair.h"

#include <gtest/gtest.h>

#include <cmath>

namespace tautmark::clearance {
namespace {

constexpr ValveHead kIntake{mm(18), mm(0), mm(0), deg(20), mm(16.5), mm(1.5)};
constexpr ValveHead kExhaust{mm(-16), mm(0), mm(0.5), deg(-22), mm(14), mm(1.2)};
constexpr ValveHead kIntakeAside{mm(18), mm(9), mm(0), deg(20), mm(16.5), mm(1.5)};
constexpr ValveHead kExhaustAside{mm(-16), mm(-6), mm(0.5), deg(-22), mm(14), mm(1.2)};

// Expected: scipy 1.10 minimize(SLSQP, ftol 1e-16), |p - q|² over six coordinates, each point held
// to 1e-7 mm in its cylinder by three inequalities (above the face, below the thickness, within the
// radius), best of 12 starts; the first four in the plane also as the distance of two rectangles.
TEST(HeadDistance, IsWhatScipyFinds) {
  struct Case {
    double lift_in, lift_ex, in_plane, aside;
  };
  constexpr Case kCases[] = {{0, 0, 5.515426, 8.368262}, {2, 1, 4.578665, 7.456786},
                             {4, 4, 2.652304, 5.719981}, {9.5, 0, 8.104720, 9.271615},
                             {0, 9, 7.587540, 8.786076}, {1.08, 0.88, 4.824805, 7.724630},
                             {5, 2, 3.884659, 6.682062}};
  for (const Case& c : kCases) {
    EXPECT_NEAR(in_mm(head_distance(kIntake, mm(c.lift_in), kExhaust, mm(c.lift_ex))), c.in_plane,
                5e-6);
    EXPECT_NEAR(in_mm(head_distance(kIntakeAside, mm(c.lift_in), kExhaustAside, mm(c.lift_ex))),
                c.aside, 5e-6);
    EXPECT_NEAR(in_mm(head_distance(kExhaust, mm(c.lift_ex), kIntake, mm(c.lift_in))), c.in_plane,
                5e-6);
  }
}

// Closed forms: discs side by side, one above the other, corner to corner, and through one another.
TEST(HeadDistance, OfUprightHeadsIsPythagoras) {
  const auto at = [](double x, double z, double radius) {
    return ValveHead{mm(x), mm(0), mm(z), deg(0), mm(radius), mm(2)};
  };
  const auto distance = [&](double x, double z) {
    return in_mm(head_distance(at(0, 0, 10), mm(0), at(x, z, 5), mm(0)));
  };
  EXPECT_NEAR(distance(18, 0), 3, 1e-6);
  EXPECT_NEAR(distance(3, 7), 5, 1e-6);
  EXPECT_NEAR(distance(18, -6), 5, 1e-6);
  EXPECT_EQ(distance(14, 1), 0);
  EXPECT_NEAR(in_mm(head_distance(at(0, 0, 10), mm(9), at(3, 0, 5), mm(0))), 7, 1e-6);
}

// Against the plain scan of every 0.02 crank deg.
TEST(LeastHeadDistance, IsTheLeastOfAFineScan) {
  const LiftCurve in =
      lift_curve(LawLobe{LiftLaw::polynomial_4567, mm(9.5), crank_deg(155), crank_deg(470)});
  const LiftCurve ex =
      lift_curve(LawLobe{LiftLaw::polynomial_4567, mm(9.0), crank_deg(152), crank_deg(250)});
  for (const double early : {0.0, 30.0}) {
    const CrankAngle early_in = crank_deg(early), early_ex = crank_deg(-early / 2);
    double least = 1e9;
    for (double at = 300; at < 420; at += 0.02)
      least = std::min(least, in_mm(head_distance(kIntake, lift(in, crank_deg(at) + early_in),
                                                  kExhaust, lift(ex, crank_deg(at) + early_ex))));
    const PairGap found = least_head_distance({kIntake, kExhaust}, in, early_in, ex, early_ex);
    EXPECT_LE(in_mm(found.least), least);
    EXPECT_NEAR(in_mm(found.least), least, 1.1e-3);
    EXPECT_GT(in_crank_deg(found.at), 300);
    EXPECT_LT(in_crank_deg(found.at), 420);
  }
}

}  // namespace
}  // namespace tautmark::clearance
