// SPDX-License-Identifier: Apache-2.0
// M3.20 to M3.28. 25 H7/f6: bore 0 / +21, shaft -20 / -33, micrometers.
#include "measure/stack.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "measure/random.h"

namespace tautmark {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

std::vector<StackPart> fit_25_h7_f6() {
  return {{.sensitivity = 1, .nominal = 10.5, .tolerance = 10.5},
          {.sensitivity = -1, .nominal = -26.5, .tolerance = 6.5}};
}

// M3.20 to M3.22.
TEST(Stack, WorstCaseRootSumSquareAndRectangular) {
  const auto parts = fit_25_h7_f6();
  EXPECT_DOUBLE_EQ(worst_case_stack(parts)->mean, 37);
  EXPECT_DOUBLE_EQ(worst_case_stack(parts)->half_width, 17);
  EXPECT_NEAR(root_sum_square_stack(parts)->half_width, 12.349089035228468, 1e-10);
  EXPECT_NEAR(37 - root_sum_square_stack(parts)->half_width, 24.650911, 1e-6);
  EXPECT_NEAR(rectangular_stack_sd(parts).value(), 7.129750, 1e-6);
}

// M3.23, M3.24: exact trapezoid.
TEST(TwoRectangular, HasTheExactHalfWidths) {
  EXPECT_NEAR(two_rectangular_half_width(10.5, 6.5, 0.95).value(), 13.305409359617766, 1e-10);
  EXPECT_NEAR(two_rectangular_half_width(6.5, 10.5, 0.95).value(), 13.305409359617766, 1e-10);
  EXPECT_NEAR(two_rectangular_half_width(10.5, 6.5, 0.9973).value(), 16.14145471872475, 1e-10);
}

// M3.25: the normal approximation is 5 % too wide.
TEST(TwoRectangular, NormalApproximationIsTooWide) {
  EXPECT_NEAR(1.959963985 * rectangular_stack_sd(fit_25_h7_f6()).value(), 13.974053, 1e-6);
}

// M3.26: coverage of the root-sum-square band for rectangular parts.
TEST(TwoRectangular, HasTheExactCoverage) {
  EXPECT_NEAR(two_rectangular_coverage(10.5, 6.5, 12.349089035228468).value(), 0.920766, 1e-6);
  EXPECT_EQ(two_rectangular_coverage(10.5, 6.5, 17).value(), 1);
  // On the flat top: 2 of 10.5.
  EXPECT_DOUBLE_EQ(two_rectangular_coverage(10.5, 6.5, 2).value(), 2 / 10.5);
}

TEST(TwoRectangular, HalfWidthAndCoverageAreInverses) {
  for (double p = 0.01; p < 1; p += 0.01) {
    const double q = two_rectangular_half_width(10.5, 6.5, p).value();
    EXPECT_NEAR(two_rectangular_coverage(10.5, 6.5, q).value(), p, 1e-12);
  }
}

// M3.27: Monte Carlo with 1e6 draws; tolerance of the note 0.03.
TEST(MonteCarloStack, AgreesWithTheExactTrapezoid) {
  const auto m = monte_carlo_stack(fit_25_h7_f6(), {.draws = 1'000'000, .p = 0.95, .seed = 7});
  ASSERT_TRUE(m);
  EXPECT_NEAR(m->mean, 37, 0.03);
  EXPECT_NEAR(m->sd, 7.129750, 0.03);
  EXPECT_NEAR(m->lower, 23.694591, 0.03);
  EXPECT_NEAR(m->upper, 50.305409, 0.03);
  // Density at the 97.5 % point is 3.694591 / 273 = 0.01353: sqrt(0.025 · 0.975 / 1e6) over it.
  EXPECT_NEAR(m->upper_standard_error, 0.01154, 0.002);
  EXPECT_LT(std::abs(m->upper - 50.305409), 4 * m->upper_standard_error);
}

// M3.28: JCGM 101:2008, 9.2.3, four rectangular parts of unit sd: exact ±3.879407 (tail e⁴/24 of
// the sum of four uniform numbers), published Monte Carlo ±3.88.
TEST(MonteCarloStack, AgreesWithJcgm101) {
  const std::vector<StackPart> parts(4, {.nominal = 0, .tolerance = std::sqrt(3.0)});
  const double exact = 2 * std::sqrt(3.0) * (2 - std::pow(24 * 0.025, 0.25));
  EXPECT_NEAR(exact, 3.879406741347904, 1e-12);
  const auto m = monte_carlo_stack(parts, {.draws = 1'000'000, .p = 0.95, .seed = 1});
  ASSERT_TRUE(m);
  EXPECT_NEAR(m->upper, exact, 0.015);
  EXPECT_NEAR(m->lower, -exact, 0.015);
  // The normal approximation of the guide: ±3.92.
  EXPECT_NEAR(1.959963985 * 2 * rectangular_stack_sd(parts).value() / 2, 3.919928, 1e-6);
}

TEST(MonteCarloStack, GivesTheSameNumbersForTheSameSeed) {
  const auto first = monte_carlo_stack(fit_25_h7_f6(), {.seed = 3});
  const auto again = monte_carlo_stack(fit_25_h7_f6(), {.seed = 3});
  const auto other = monte_carlo_stack(fit_25_h7_f6(), {.seed = 4});
  ASSERT_TRUE(first && again && other);
  EXPECT_EQ(first->lower, again->lower);
  EXPECT_EQ(first->sd, again->sd);
  EXPECT_NE(first->lower, other->lower);
}

// sd of the shapes: t/√3, t/√6, t/3.
TEST(MonteCarloStack, KnowsTheShapes) {
  const auto sd = [](PartShape shape) {
    const std::vector<StackPart> one = {{.nominal = 5, .tolerance = 3, .shape = shape}};
    return monte_carlo_stack(one)->sd;
  };
  EXPECT_NEAR(sd(PartShape::rectangular), 3 / std::sqrt(3.0), 0.01);
  EXPECT_NEAR(sd(PartShape::triangular), 3 / std::sqrt(6.0), 0.01);
  EXPECT_NEAR(sd(PartShape::normal), 1, 0.01);
}

// xoshiro256** seeded with 0 through splitmix64: first outputs as several independent public test
// suites (C, Swift, Rust) list them.
TEST(RandomGenerator, KeepsItsNumbers) {
  RandomGenerator random(0);
  for (const std::uint64_t expected :
       {11091344671253066420u, 13793997310169335082u, 1900383378846508768u, 7684712102626143532u,
        13521403990117723737u}) {
    EXPECT_EQ(random.bits(), expected);
  }
  RandomGenerator uniform(42);
  double sum = 0;
  for (int i = 0; i < 100'000; ++i) {
    const double x = uniform.uniform();
    ASSERT_TRUE(x >= 0 && x < 1);
    sum += x;
  }
  EXPECT_NEAR(sum / 100'000, 0.5, 0.004);
}

TEST(Stack, RefusesImpossibleInput) {
  EXPECT_FALSE(worst_case_stack({}));
  EXPECT_FALSE(root_sum_square_stack(std::vector<StackPart>{{.tolerance = -1}}));
  EXPECT_FALSE(rectangular_stack_sd(std::vector<StackPart>{{.nominal = kNan}}));
  EXPECT_FALSE(
      worst_case_stack(std::vector<StackPart>{{.sensitivity = 1e300, .tolerance = 1e300}}));
  EXPECT_FALSE(two_rectangular_half_width(0, 1, 0.95));
  EXPECT_FALSE(two_rectangular_half_width(1, 1, 1));
  EXPECT_FALSE(two_rectangular_half_width(1, kNan, 0.95));
  EXPECT_FALSE(two_rectangular_coverage(1, 1, -1));
  EXPECT_FALSE(monte_carlo_stack({}));
  EXPECT_FALSE(monte_carlo_stack(fit_25_h7_f6(), {.draws = 1000}));
  EXPECT_FALSE(monte_carlo_stack(fit_25_h7_f6(), {.draws = 200'000, .p = kNan}));
}

}  // namespace
}  // namespace tautmark
