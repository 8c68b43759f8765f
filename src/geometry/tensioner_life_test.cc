// SPDX-License-Identifier: Apache-2.0
#include "geometry/tensioner_life.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "geometry/test_drives.h"

namespace tautmark {
namespace {

using ::testing::HasSubstr;

// Source: geometry.md 3.4: elongation table, and "a plunger with 20 mm of travel runs out at
// e = 0.567498 %".
TEST(TensionerLife, StrokeOfTheWorkedBank) {
  const StrokeInputs in{worked_bank(), mm(20)};
  const Ratio elongations[] = {Ratio{}, Ratio::from_si(0.002), Ratio::from_si(0.01)};
  const auto rows = stroke_at(in, elongations);
  ASSERT_TRUE(rows) << rows.error().why;
  EXPECT_NEAR(in_mm((*rows)[0].used), 6.417879, 1e-6);
  EXPECT_NEAR(in_mm((*rows)[1].used), 12.382093, 1e-6);
  EXPECT_NEAR(in_mm((*rows)[1].left), 20 - 12.382093, 1e-6);
  EXPECT_LT((*rows)[2].left.si(), 0);
  const auto end = elongation_at_end(in);
  ASSERT_TRUE(end) << end.error().why;
  ASSERT_TRUE(*end);
  EXPECT_NEAR((*end)->si() * 100, 0.567498, 1e-6);
}

// Source: geometry.md 3.4, guide wear table: 1 mm of guide wear moves the plunger from 6.417879 to
// 6.642655 mm, so a stroke of 6.642655 mm ends there.
TEST(TensionerLife, WearOfAGuideOrTheShoe) {
  const auto end = wear_at_end({worked_bank(), mm(6.642655)}, 3);
  ASSERT_TRUE(end) << end.error().why;
  ASSERT_TRUE(*end);
  EXPECT_NEAR(in_mm(**end), 1, 1e-5);
  // Worn clear of the chain the guide moves the plunger no more: 20 mm are never used up.
  const auto never = wear_at_end({worked_bank(), mm(20)}, 3);
  ASSERT_TRUE(never) << never.error().why;
  EXPECT_FALSE(*never);
  // The shoe of the arm is the end of the arm: its wear uses the stroke.
  const auto shoe = wear_at_end({worked_bank(), mm(10)}, 1);
  ASSERT_TRUE(shoe) << shoe.error().why;
  ASSERT_TRUE(*shoe);
  PathInputs worn = worked_bank();
  worn.elements[1].wear = **shoe;
  EXPECT_NEAR(in_mm(*solve_path(worn)->stroke), 10, 1e-6);
}

TEST(TensionerLife, Refusals) {
  PathInputs bare = worked_bank();
  bare.plunger.reset();
  const auto none = elongation_at_end({bare, mm(20)});
  ASSERT_FALSE(none);
  EXPECT_THAT(none.error().why, HasSubstr("no plunger"));
  EXPECT_FALSE(elongation_at_end({worked_bank(), Length{}}));
  const auto past = elongation_at_end({worked_bank(), mm(5)});
  ASSERT_FALSE(past);
  EXPECT_THAT(past.error().why, HasSubstr("1.4 mm past"));
  EXPECT_FALSE(wear_at_end({worked_bank(), mm(20)}, 0));
  EXPECT_FALSE(wear_at_end({worked_bank(), mm(20)}, 9));
}

// Two points: closed form. 0.1 % at 50 and 0.3 % at 150, ±0.01 %: 0.002 % per unit, 0.5 % at 250.
TEST(WearTrend, TwoPointsClosedForm) {
  const auto trend = trend_to_limit({{{50, 0.001, 1e-4}, {150, 0.003, 1e-4}}, 0.005});
  ASSERT_TRUE(trend) << trend.error().why;
  EXPECT_NEAR(trend->per_used, 2e-5, 1e-15);
  EXPECT_NEAR(trend->per_used_uncertainty, std::sqrt(2) * 1e-4 / 100, 1e-15);
  EXPECT_NEAR(trend->reached, 250, 1e-9);
  ASSERT_TRUE(trend->latest);
  EXPECT_LT(trend->earliest, 250);
  EXPECT_GT(*trend->latest - 250, 250 - trend->earliest);
  // Both ends: the line there is off the limit by k standard uncertainties of the line.
  for (const double x : {trend->earliest, *trend->latest}) {
    const double off = 2e-5 * (x - 250);
    const double u = std::sqrt(1e-8 / 2 + std::pow((x - 100) * trend->per_used_uncertainty, 2));
    EXPECT_NEAR(std::abs(off), 2 * u, 1e-12);
  }
}

// Direct simulation: of 20 000 sets of readings drawn about a true line, the interval holds the
// true end in 95.45 % (k = 2, normal); Monte Carlo error 0.15 %.
TEST(WearTrend, IntervalHoldsTheTruthAsOftenAsItSays) {
  std::mt19937_64 engine(7);
  std::normal_distribution<double> error(0, 1);
  constexpr int kRuns = 20'000;
  int held = 0;
  int said = 0;
  for (int run = 0; run < kRuns; ++run) {
    TrendInputs in{.limit = 0.005};
    for (const double used : {40.0, 90.0}) {
      in.points.push_back({used, 3e-5 * used + 5e-5 * error(engine), 5e-5});
    }
    const auto trend = trend_to_limit(in);
    if (!trend) continue;
    ++said;
    if (trend->earliest <= 0.005 / 3e-5 && 0.005 / 3e-5 <= trend->latest.value_or(INFINITY)) ++held;
  }
  EXPECT_EQ(said, kRuns);
  EXPECT_NEAR(static_cast<double>(held) / kRuns, 0.9545, 0.006);
}

// Source: numpy.polyfit(x, y, 1, w=1/u, cov="unscaled") with these points: slope 1.994e-05, square
// root of its variance 6.32455532e-07. They scatter less than their uncertainties say.
TEST(WearTrend, FivePointsAsALeastSquaresProgram) {
  const auto trend = trend_to_limit({{{0, 0.00001, 1e-4},
                                      {50, 0.00102, 1e-4},
                                      {100, 0.00197, 1e-4},
                                      {150, 0.00305, 1e-4},
                                      {200, 0.00398, 1e-4}},
                                     0.006});
  ASSERT_TRUE(trend) << trend.error().why;
  EXPECT_NEAR(trend->per_used, 1.994e-5, 1e-12);
  EXPECT_NEAR(trend->per_used_uncertainty, 6.32455532e-07, 1e-15);
}

TEST(WearTrend, Refusals) {
  const auto one = trend_to_limit({{{50, 0.001, 1e-4}}, 0.005});
  ASSERT_FALSE(one);
  EXPECT_THAT(one.error().why, HasSubstr("one reading has no trend"));
  EXPECT_FALSE(trend_to_limit({{{50, 0.001, 1e-4}, {50, 0.002, 1e-4}}, 0.005}));
  const auto flat = trend_to_limit({{{50, 0.001, 1e-4}, {60, 0.0011, 1e-4}}, 0.005});
  ASSERT_FALSE(flat);
  EXPECT_THAT(flat.error().why, HasSubstr("less than their doubt"));
  EXPECT_FALSE(trend_to_limit({{{50, 0.003, 1e-4}, {150, 0.001, 1e-4}}, 0.005}));  // shrinking
  const auto far = trend_to_limit({{{0, 0, 1e-5}, {10, 0.0002, 1e-5}}, 0.005});
  ASSERT_FALSE(far);
  EXPECT_THAT(far.error().why, HasSubstr("so far ahead"));
  EXPECT_FALSE(trend_to_limit({{{50, 0.001, 0}, {150, 0.003, 1e-4}}, 0.005}));
  EXPECT_FALSE(trend_to_limit({{{50, std::nan(""), 1e-4}, {150, 0.003, 1e-4}}, 0.005}));
}

}  // namespace
}  // namespace tautmark
