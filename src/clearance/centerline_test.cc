// SPDX-License-Identifier: Apache-2.0
#include "clearance/centerline.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "base/student.h"

namespace tautmark::clearance {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

EqualLiftPair pair(double lift, double opening, double closing) {
  return {mm(lift), crank_deg(opening), crank_deg(closing)};
}

// Source: trade.md 6.B: three pairs at 6.00 mm, 122.50, 122.45, 122.55 -> 122.5, 0.5 late of 122.0.
// Standard deviation of the three 0.05, of the mean 0.05/√3; t(0.975, 2) = 4.302653 (scipy 1.10,
// scipy.stats.t.ppf(0.975, 2)).
TEST(Centerline, OfTheTrade) {
  const auto line =
      centerline({.pairs = {pair(6, 70.6, 174.4), pair(6, 70.4, 174.5), pair(6, 70.7, 174.4)}});
  ASSERT_TRUE(line) << line.error().why;
  EXPECT_NEAR(in_crank_deg(line->of_pair[0]), 122.50, 1e-9);
  EXPECT_NEAR(in_crank_deg(line->of_pair[1]), 122.45, 1e-9);
  EXPECT_NEAR(in_crank_deg(line->of_pair[2]), 122.55, 1e-9);
  EXPECT_NEAR(in_crank_deg(line->center), 122.5, 1e-9);
  EXPECT_NEAR(in_crank_deg(line->u), 0.05 / std::sqrt(3), 1e-9);
  EXPECT_NEAR(in_crank_deg(line->U), 4.302653 * 0.05 / std::sqrt(3), 1e-6);
  EXPECT_THAT(line->warnings, IsEmpty());
  EXPECT_NEAR(in_crank_deg(early_by(crank_deg(122), line->center)), -0.5, 1e-9);
  EXPECT_NEAR(in_crank_deg(early_by(crank_deg(122 + 720), line->center)), -0.5, 1e-9);
}

TEST(Centerline, TakesTheTopDeadCenterOneToOne) {
  const auto line = centerline(
      {.pairs = {pair(6, 70, 174)}, .reading_u = crank_deg(0.2), .top_u = crank_deg(0.3)});
  ASSERT_TRUE(line);
  EXPECT_NEAR(in_crank_deg(line->u), std::sqrt(0.02 + 0.09), 1e-9);
  EXPECT_NEAR(in_crank_deg(line->U), 1.959964 * std::sqrt(0.02 + 0.09), 1e-6);
  EXPECT_THAT(line->warnings, ElementsAre(HasSubstr("one pair only")));
}

// Source: Welch and Satterthwaite, closed form: middles 122.1 and 122.0, so the mean has 0.05 with
// nu = 1; top 0.1. u² = 0.0025 + 0.01, nu = u⁴/0.05⁴ = 25; t(0.975, 25) = 2.059539 (scipy 1.10).
TEST(Centerline, CountsTheDegreesOfFreedom) {
  const auto line =
      centerline({.pairs = {pair(6, 70, 174.2), pair(6, 70, 174.0)}, .top_u = crank_deg(0.1)});
  ASSERT_TRUE(line);
  EXPECT_NEAR(in_crank_deg(line->u), std::sqrt(0.0025 + 0.01), 1e-9);
  EXPECT_NEAR(line->nu, 25, 1e-6);
  EXPECT_NEAR(in_crank_deg(line->U), 2.059539 * std::sqrt(0.0125), 1e-6);
}

// Pairs at one lift that differ are badly read, whatever the lobe is like.
TEST(Centerline, WarnsOfPairsThatDiffer) {
  const auto line =
      centerline({.pairs = {pair(6, 70, 174), pair(6, 72, 176)}, .reading_u = crank_deg(0.2)});
  ASSERT_TRUE(line);
  EXPECT_THAT(line->warnings, ElementsAre(HasSubstr("differ by more than the wheel can be read")));
}

TEST(Centerline, WarnsOfALobeThatIsNotSymmetric) {
  const auto line =
      centerline({.pairs = {pair(2, 40, 204), pair(6, 72, 175)}, .reading_u = crank_deg(0.2)});
  ASSERT_TRUE(line);
  EXPECT_THAT(line->warnings, Contains(HasSubstr("moves by 1.5° between 2.00 and 6.00 mm")));
}

TEST(Centerline, RefusesWhatIsNoPair) {
  EXPECT_FALSE(centerline({}));
  EXPECT_FALSE(centerline({.pairs = {pair(6, 174, 70)}}));
  EXPECT_FALSE(centerline({.pairs = {pair(0, 70, 174)}}));
  EXPECT_FALSE(centerline({.pairs = {pair(6, NAN, 174)}}));
  EXPECT_FALSE(centerline({.pairs = {pair(6, 70, 174)}, .reading_u = crank_deg(-1)}));
}

// Source: nu = 1 closed form, tan(0.475 π); the others scipy 1.10, scipy.stats.t.ppf(0.975, nu),
// which itself is good to 1e-9.
TEST(CoverageFactor, IsStudents) {
  EXPECT_NEAR(coverage_factor_95(1), 12.706204736174698, 1e-9);
  EXPECT_NEAR(coverage_factor_95(66), 1.99656442, 1e-8);
  EXPECT_NEAR(coverage_factor_95(kManyReadings), 1.959963984540054, 1e-15);
}

}  // namespace
}  // namespace tautmark::clearance
