// SPDX-License-Identifier: Apache-2.0
// M1.20 to M1.25: own arithmetic, r0 = 12.5 mm, a = 6 µm, long axis at 20°.
#include "measure/roundness.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace tautmark {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

// Two-point diameter of r0 + a cos(n(t - p)) from the two radii, not from a formula for diameters.
Length diameter(double direction_deg, int lobes, double axis_deg) {
  const auto radius = [&](double t_deg) {
    return 12.5 + 6e-3 * std::cos(lobes * (t_deg - axis_deg) * kRadiansPerDegree);
  };
  return mm(radius(direction_deg) + radius(direction_deg + 180));
}

std::vector<DiameterReading> oval(const std::vector<double>& directions, double axis_deg = 20) {
  std::vector<DiameterReading> result;
  result.reserve(directions.size());
  for (const double t : directions) result.push_back({deg(t), diameter(t, 2, axis_deg)});
  return result;
}

double plain_range_um(const std::vector<DiameterReading>& readings) {
  std::vector<Length> diameters;
  diameters.reserve(readings.size());
  for (const DiameterReading& reading : readings) diameters.push_back(reading.diameter);
  return in_mm(diameter_summary(diameters)->out_of_round_difference) * 1e3;
}

// M1.20, M1.21.
TEST(DiameterSummary, CatchesOnlyPartOfAnOval) {
  const auto readings = oval({0, 60, 120});
  EXPECT_NEAR(in_mm(readings[0].diameter), 25.00919253, 1e-8);
  EXPECT_NEAR(in_mm(readings[1].diameter), 25.00208378, 1e-8);
  EXPECT_NEAR(in_mm(readings[2].diameter), 24.98872369, 1e-8);
  EXPECT_NEAR(plain_range_um(readings), 20.46884477, 1e-7);
}

// M1.22: the fit catches all of it.
TEST(OvalFit, CatchesAllOfAnOval) {
  const auto fit = oval_fit(oval({0, 60, 120}));
  ASSERT_TRUE(fit) << fit.error().why;
  EXPECT_NEAR(in_mm(fit->mean_diameter), 25, 1e-9);
  EXPECT_NEAR(in_mm(fit->amplitude) * 1e3, 12, 1e-7);
  EXPECT_NEAR(in_mm(fit->out_of_round_difference) * 1e3, 24, 1e-7);
  EXPECT_NEAR(in_mm(fit->out_of_round_radial) * 1e3, 12, 1e-7);
  EXPECT_NEAR(in_deg(fit->long_axis.value()), 20, 1e-6);
  EXPECT_FALSE(fit->residual_sd);
  // Three directions 60° apart: u(D0) = u/√3, u(R) = u √(2/3).
  EXPECT_NEAR(fit->mean_u_factor, 1 / std::sqrt(3.0), 1e-12);
  EXPECT_NEAR(fit->amplitude_u_factor, std::sqrt(2.0 / 3), 1e-12);
}

// M1.23, M1.24: two diameters at right angles.
TEST(DiameterSummary, TwoDiametersAtRightAnglesMayCatchNothing) {
  EXPECT_NEAR(plain_range_um(oval({0, 90})), 18.38506663, 1e-7);
  EXPECT_NEAR(plain_range_um(oval({0, 90}, 45)), 0, 1e-9);
}

// M1.25: three lobes have one diameter in every direction.
TEST(DiameterSummary, IsBlindToThreeLobes) {
  for (double t = 0; t < 180; t += 7.5) EXPECT_NEAR(in_mm(diameter(t, 3, 20)), 25, 1e-9);
}

TEST(DiameterSummary, HasBothConventions) {
  const auto s = diameter_summary(std::vector<Length>{mm(24.98), mm(25.00), mm(24.96)});
  ASSERT_TRUE(s);
  EXPECT_EQ(s->n, 3);
  EXPECT_NEAR(in_mm(s->mean), 24.98, 1e-12);
  EXPECT_NEAR(in_mm(s->min), 24.96, 1e-12);
  EXPECT_NEAR(in_mm(s->max), 25.00, 1e-12);
  EXPECT_NEAR(in_mm(s->out_of_round_difference), 0.04, 1e-12);
  EXPECT_NEAR(in_mm(s->out_of_round_radial), 0.02, 1e-12);
}

TEST(OvalFit, FindsTheAxisInEveryDirection) {
  for (double axis = 1; axis < 180; axis += 11) {
    const auto fit = oval_fit(oval({10, 50, 100, 140, 190}, axis));
    ASSERT_TRUE(fit) << fit.error().why;
    EXPECT_NEAR(in_deg(fit->long_axis.value()), axis, 1e-6);
    EXPECT_NEAR(in_mm(fit->amplitude) * 1e3, 12, 1e-7);
    EXPECT_NEAR(in_mm(fit->residual_sd.value()), 0, 1e-11);
  }
}

TEST(OvalFit, GivesNoAxisToARoundPart) {
  std::vector<DiameterReading> readings;
  for (const double t : {0.0, 60.0, 120.0}) readings.push_back({deg(t), mm(25)});
  const auto fit = oval_fit(readings);
  ASSERT_TRUE(fit);
  EXPECT_FALSE(fit->long_axis);
  EXPECT_EQ(fit->amplitude, mm(0));
}

TEST(OvalFit, RefusesWhatCannotShowAnOval) {
  EXPECT_FALSE(oval_fit({}));
  EXPECT_FALSE(oval_fit(oval({0, 90})));
  EXPECT_FALSE(oval_fit(oval({0, 90, 180})));  // 180° is 0° again
  EXPECT_FALSE(oval_fit(oval({0, 90, 92})));
  EXPECT_FALSE(oval_fit(oval({0, 6, 12})));
  EXPECT_FALSE(oval_fit(oval({0, 60, kNan})));
  EXPECT_FALSE(oval_fit(
      std::vector<DiameterReading>{{deg(0), mm(25)}, {deg(60), mm(kNan)}, {deg(120), mm(25)}}));
  EXPECT_FALSE(diameter_summary({}));
  EXPECT_FALSE(diameter_summary(std::vector<Length>{mm(25), mm(0)}));
  EXPECT_FALSE(diameter_summary(std::vector<Length>{mm(25), mm(kNan)}));
}

TEST(Taper, IsOnDiameter) {
  const auto t = taper(mm(25.02), mm(25.00), mm(20));
  ASSERT_TRUE(t);
  EXPECT_NEAR(in_mm(t->difference), 0.02, 1e-9);
  EXPECT_NEAR(t->on_diameter.si(), 0.001, 1e-9);
  EXPECT_NEAR(t->wall_angle.si(), 0.0005, 1e-9);
  EXPECT_LT(taper(mm(25.00), mm(25.02), mm(20))->difference, mm(0));
  EXPECT_FALSE(taper(mm(25), mm(25), mm(0)));
  EXPECT_FALSE(taper(mm(kNan), mm(25), mm(20)));
}

// Section 1.2 of the note: 75 %, 70.7 %, 86.6 % at least; 86.6 %, 100 %, 100 % at best.
TEST(CapturedPart, HasTheValuesOfTheNote) {
  EXPECT_NEAR(captured_part(2)->least, 0, 1e-12);
  EXPECT_EQ(captured_part(2)->most, 1);
  EXPECT_NEAR(captured_part(3)->least, 0.75, 1e-12);
  EXPECT_NEAR(captured_part(3)->most, 0.8660254, 1e-7);
  EXPECT_NEAR(captured_part(4)->least, 0.7071068, 1e-7);
  EXPECT_NEAR(captured_part(6)->least, 0.8660254, 1e-7);
  EXPECT_EQ(captured_part(6)->most, 1);
  EXPECT_FALSE(captured_part(1));
}

// The closed forms against a sweep of the long axis.
TEST(CapturedPart, HoldsForEveryPositionOfTheAxis) {
  for (int k = 2; k <= 9; ++k) {
    std::vector<double> directions;
    directions.reserve(9);
    for (int i = 0; i < k; ++i) directions.push_back(180.0 * i / k);
    double least = 1;
    double most = 0;
    for (double axis = 0; axis < 180; axis += 0.25) {
      const double caught = plain_range_um(oval(directions, axis)) / 24;
      least = std::min(least, caught);
      most = std::max(most, caught);
    }
    EXPECT_NEAR(least, captured_part(k)->least, 0.01) << k;
    EXPECT_NEAR(most, captured_part(k)->most, 0.01) << k;
  }
}

// Table of section 1.2, same structure as ISO 4292:1985; tolerance of the note 2e-4.
TEST(LobeFactors, HaveTheTabulatedValues) {
  struct Row {
    double angle;
    double f[6];
  };
  for (const Row& row : {Row{60, {0, 3, 0, 0, 3, 0}}, Row{90, {1, 2, 0.4142, 2, 1, 0}},
                         Row{108, {1.3820, 1.3820, 0, 2.2361, 0, 1.3820}},
                         Row{120, {1.5774, 1, 0.4226, 2, 0.1547, 2}}}) {
    for (int n = 2; n <= 7; ++n) {
      EXPECT_NEAR(three_point_factor(deg(row.angle), n).value(), row.f[n - 2], 2e-4)
          << row.angle << " n " << n;
    }
  }
  for (int n = 2; n <= 7; ++n) EXPECT_EQ(two_point_factor(n).value(), n % 2 == 0 ? 2 : 0);
  EXPECT_FALSE(two_point_factor(1));
  EXPECT_FALSE(three_point_factor(deg(90), 1));
  EXPECT_FALSE(three_point_factor(deg(10), 3));
  EXPECT_FALSE(three_point_factor(deg(kNan), 3));
}

}  // namespace
}  // namespace tautmark
