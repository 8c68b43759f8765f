// SPDX-License-Identifier: Apache-2.0
#include "clearance/lift.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>
#include <vector>

#include "clearance/lift_table.h"

namespace tautmark::clearance {
namespace {

using ::testing::HasSubstr;
using enum LiftLaw;

constexpr double kPi = std::numbers::pi;
constexpr LiftLaw kLaws[] = {harmonic, cycloidal, polynomial_345, polynomial_4567};

// The invented intake lobe of geometry.md 6.3.
constexpr LawLobe kIntake{.law = polynomial_4567,
                          .height = mm(9.5),
                          .half_duration = crank_deg(155),
                          .center = crank_deg(470)};

double law_lobe(const LawLobe& lobe, double crank_degrees) {
  const double x = std::remainder(crank_degrees - in_crank_deg(lobe.center), 720.0);
  return in_mm(lobe.height) *
         law_lift(lobe.law, 1 - std::abs(x) / in_crank_deg(lobe.half_duration));
}

// Source: geometry.md 6.1.
TEST(LiftLaws, AreThoseOfTheNote) {
  EXPECT_NEAR(law_lift(harmonic, 0.1), 0.024471742, 1e-9);
  EXPECT_NEAR(law_lift(harmonic, 0.25), 0.146446609, 1e-9);
  EXPECT_NEAR(law_lift(cycloidal, 0.1), 0.006451072, 1e-9);
  EXPECT_NEAR(law_lift(cycloidal, 0.25), 0.090845057, 1e-9);
  EXPECT_NEAR(law_lift(polynomial_345, 0.1), 0.008560, 1e-12);
  EXPECT_NEAR(law_lift(polynomial_345, 0.25), 0.103515625, 1e-12);
  EXPECT_NEAR(law_lift(polynomial_4567, 0.1), 0.002728, 1e-12);
  EXPECT_NEAR(law_lift(polynomial_4567, 0.25), 0.070556641, 1e-9);
  const double steepest[] = {kPi / 2, 2, 1.875, 2.1875};
  const double bend[] = {4.934802, 6.283185, 5.773503, 7.513188};
  for (std::size_t i = 0; i < 4; ++i) {
    const LiftLaw law = kLaws[i];
    EXPECT_DOUBLE_EQ(law_lift(law, 0.5), 0.5);
    EXPECT_NEAR(law_slope(law, 0.5), steepest[i], 1e-12);
    EXPECT_EQ(law_lift(law, -0.1), 0);
    EXPECT_EQ(law_lift(law, 1.1), 1);
    double most = 0;
    for (double u = 0.001; u < 0.999; u += 1e-4)
      most = std::max(most, (law_slope(law, u + 1e-5) - law_slope(law, u - 1e-5)) / 2e-5);
    EXPECT_NEAR(most, bend[i], 1e-4) << i;
  }
}

// Source: geometry.md 6.1, the integral of s'² for 4-5-6-7 is 700/429 (midpoint rule, 1e4 steps).
TEST(LiftLaws, SquaredSlopeOf4567) {
  double sum = 0;
  for (int i = 0; i < 10000; ++i) {
    const double slope = law_slope(polynomial_4567, (i + 0.5) / 10000);
    sum += slope * slope / 10000;
  }
  EXPECT_NEAR(sum, 700.0 / 429, 1e-9);
}

// Source: trade.md 6.B writes the lift as h cos²(90° u), u = x / half duration.
TEST(LiftLaws, TheHarmonicOneIsTheSquaredCosine) {
  for (double u = -1; u <= 1; u += 0.01)
    EXPECT_NEAR(law_lift(harmonic, 1 - std::abs(u)), std::pow(std::cos(kPi / 2 * u), 2), 1e-15);
}

TEST(LiftCurve, StaysWithinStatedAccuracy) {
  for (const LiftLaw law : kLaws)
    for (const auto& [height, half] : {std::pair{9.5, 155.0}, {14.0, 100.3}, {8.0, 125.1}}) {
      const LawLobe lobe{law, mm(height), crank_deg(half), crank_deg(470.1)};
      const LiftCurve curve = lift_curve(lobe);
      double worst = 0;
      for (double at = -100; at < 900; at += 0.0137)
        worst = std::max(worst, std::abs(in_mm(lift(curve, crank_deg(at))) - law_lobe(lobe, at)));
      EXPECT_LT(worst, 1e-5) << static_cast<int>(law) << " " << height;
      EXPECT_NEAR(in_mm(curve.highest), height, 1e-12);
      EXPECT_NEAR(in_crank_deg(curve.nose), 470.1, 1e-9);
    }
}

// Source: geometry.md 6.3: 0.071762 mm per crank deg at 1.00 mm, 0.082091 at 1.27 mm.
TEST(LiftSlope, OfTheIntakeLobeOfTheNote) {
  const LiftCurve curve = lift_curve(kIntake);
  const double per_degree = kRadiansPerDegree * 1e3;
  EXPECT_NEAR(lift_slope(curve, crank_deg(360 - 1.109591)) * per_degree, 0.071762, 1e-6);
  EXPECT_NEAR(lift_slope(curve, crank_deg(540 + 41.109591)) * per_degree, -0.071762, 1e-6);
  EXPECT_NEAR(lift_slope(curve, crank_deg(360 + 2.399459)) * per_degree, 0.082091, 1e-6);
  EXPECT_EQ(lift_slope(curve, crank_deg(100)), 0);
}

TEST(LiftCurve, TakesRatioAndLashAndIsClippedAtTheSeat) {
  const LiftCurve curve = lift_curve(kIntake, 1.5, mm(0.25));
  for (double at = 0; at < 720; at += 0.0731) {
    const double expected = std::max(0.0, 1.5 * law_lobe(kIntake, at) - 0.25);
    ASSERT_NEAR(in_mm(lift(curve, crank_deg(at))), expected, 1e-5) << at;
  }
  EXPECT_NEAR(in_mm(curve.highest), 14, 1e-12);
  EXPECT_TRUE(
      std::isnan(lift(curve, CrankAngle::from_si(std::numeric_limits<double>::infinity())).si()));
}

std::vector<LiftSample> table_of(const LawLobe& lobe, double step, double from = 0,
                                 double to = 719.999) {
  std::vector<LiftSample> table;
  for (int i = 0; from + i * step <= to; ++i)
    table.push_back({crank_deg(from + i * step), mm(law_lobe(lobe, from + i * step))});
  return table;
}

// Source: geometry.md 6.2: half duration 77.5 cam deg, whole circle, steps in cam deg, "compare
// within 10 %". Steps that do not divide the lobe's place evenly make the knots fall anywhere; the
// note's own lie at multiples of the step from the nose.
TEST(LiftTable, SplineErrorsAreThoseOfTheNote) {
  struct Row {
    double step, most, least;
  };
  const LawLobe lobe{polynomial_4567, mm(9.5), crank_deg(155), crank_deg(360)};
  for (const Row& row : {Row{1, 5.8e-7, -3.2e-7}, Row{2, 1.3e-5, -1.3e-5}, Row{5, 3.1e-4, -2.6e-4},
                         Row{10, 7.8e-3, -7.6e-3}}) {
    std::vector<TableReading> table;
    for (const LiftSample& sample : table_of(lobe, 2 * row.step))
      table.push_back({in_crank_deg(sample.at), in_mm(sample.lift)});
    const auto slopes = periodic_spline_slopes(table, 720);
    double most = 0, least = 0;
    for (double at = 0; at < 720; at += 0.01) {
      const double here = between(table, slopes, 720, at).lift;
      most = std::max(most, std::abs(here - law_lobe(lobe, at)));
      least = std::min(least, here);
    }
    EXPECT_NEAR(most / row.most, 1, 0.1) << row.step;
    EXPECT_NEAR(least / row.least, 1, 0.1) << row.step;
  }
}

// The guard must not cost accuracy, and must leave no lift where there is none.
TEST(LiftTable, IsAsGoodAsItsSplineAndShutOnTheBaseCircle) {
  for (const auto& [step, most] : {std::pair{2.0, 1e-6}, {4.0, 1.5e-5}, {10.0, 3.5e-4}}) {
    const auto curve = lift_curve(table_of(kIntake, step));
    ASSERT_TRUE(curve) << curve.error().why;
    double worst = 0;
    for (double at = 0; at < 720; at += 0.0371) {
      const double here = in_mm(lift(*curve, crank_deg(at)));
      worst = std::max(worst, std::abs(here - law_lobe(kIntake, at)));
      ASSERT_TRUE(here == 0 || (at > 314.9 - step && at < 625.1 + step)) << at;
    }
    EXPECT_LT(worst, most) << step;
    EXPECT_NEAR(in_crank_deg(curve->nose), 470, 0.1);
    EXPECT_NEAR(in_mm(curve->highest), 9.5, 2e-4);
  }
}

// A cubic spline is exact for nothing periodic, but uneven steps must do no harm, nor where the
// table begins: the same readings from another zero are the same curve, turned.
TEST(LiftTable, OfUnevenStepsAndAnyBeginning) {
  std::vector<LiftSample> table;
  double at = 480;  // in the middle of the lobe
  for (int i = 0; at < 1199; ++i) {
    table.push_back({crank_deg(at), mm(law_lobe(kIntake, at))});
    at += 1 + 0.37 * (i % 6);
  }
  const auto curve = lift_curve(table);
  ASSERT_TRUE(curve) << curve.error().why;
  for (at = 0; at < 720; at += 0.173)
    EXPECT_NEAR(in_mm(lift(*curve, crank_deg(at))), law_lobe(kIntake, at), 3e-5) << at;
}

TEST(LiftTable, OfTheLobeAloneIsShutOverTheRest) {
  const auto whole = lift_curve(table_of(kIntake, 5));
  const auto alone = lift_curve(table_of(kIntake, 5, 315, 625));
  ASSERT_TRUE(whole && alone);
  for (double at = 0; at < 720; at += 0.9)
    EXPECT_NEAR(in_mm(lift(*whole, crank_deg(at))), in_mm(lift(*alone, crank_deg(at))), 1e-5);
  auto closed = table_of(kIntake, 5);
  closed.push_back({crank_deg(720), mm(law_lobe(kIntake, 720))});
  EXPECT_TRUE(lift_curve(closed));
}

TEST(LiftTable, RefusesWhatIsNoTable) {
  const auto why = [](const std::vector<LiftSample>& table, double ratio = 1, double lash = 0) {
    const auto curve = lift_curve(table, ratio, mm(lash));
    return curve ? std::string("taken") : curve.error().why;
  };
  const auto good = table_of(kIntake, 5);
  EXPECT_EQ(why(good), "taken");
  EXPECT_THAT(why({}), HasSubstr("8 readings"));
  EXPECT_THAT(why(table_of(kIntake, 20)), HasSubstr("too far while the valve is open"));
  EXPECT_THAT(why(table_of(kIntake, 5, 340, 625)), HasSubstr("does not close"));
  EXPECT_THAT(why(table_of(kIntake, 5, 350, 600)), HasSubstr("base circle"));
  auto bad = good;
  std::swap(bad[60], bad[61]);
  EXPECT_THAT(why(bad), HasSubstr("the angles must rise: 300° follows 305°"));
  bad = good;
  bad[3].lift = mm(-0.01);
  EXPECT_THAT(why(bad), HasSubstr("negative"));
  bad = good;
  bad[3].lift = mm(std::numeric_limits<double>::quiet_NaN());
  EXPECT_THAT(why(bad), HasSubstr("not a number"));
  bad = good;
  bad.push_back({crank_deg(720), mm(1)});
  EXPECT_THAT(why(bad), HasSubstr("does not close"));
  bad.back() = {crank_deg(721), mm(0)};
  EXPECT_THAT(why(bad), HasSubstr("longer than one cycle"));
  EXPECT_THAT(why(good, 0), HasSubstr("ratio"));
  EXPECT_THAT(why(good, 1, -0.1), HasSubstr("lash"));
  EXPECT_THAT(why(good, 1, 10), HasSubstr("never opens"));
}

}  // namespace
}  // namespace tautmark::clearance
