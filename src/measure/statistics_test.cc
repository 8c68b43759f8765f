// SPDX-License-Identifier: Apache-2.0
// Certified values: NIST StRD, univariate summary statistics. The sets Lew, Mavro, Michelso and
// PiDigits (measurement note M1.6 to M1.9) are left out: their data are not at hand here.
#include "measure/statistics.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace tautmark {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInfinity = std::numeric_limits<double>::infinity();

std::vector<double> num_acc(double first, double low, double high) {
  std::vector<double> result = {first};
  for (int i = 0; i < 500; ++i) {
    result.push_back(low);
    result.push_back(high);
  }
  return result;
}

std::vector<double> lottery() {
  return {162, 671, 933, 414, 788, 730, 817, 33,  536, 875, 670, 236, 473, 167, 877, 980, 316,
          950, 456, 92,  517, 557, 956, 954, 104, 178, 794, 278, 147, 773, 437, 435, 502, 610,
          582, 780, 689, 562, 964, 791, 28,  97,  848, 281, 858, 538, 660, 972, 671, 613, 867,
          448, 738, 966, 139, 636, 847, 659, 754, 243, 122, 455, 195, 968, 793, 59,  730, 361,
          574, 522, 97,  762, 431, 158, 429, 414, 22,  629, 788, 999, 187, 215, 810, 782, 47,
          34,  108, 986, 25,  644, 829, 630, 315, 567, 919, 331, 207, 412, 242, 607, 668, 944,
          749, 168, 864, 442, 533, 805, 372, 63,  458, 777, 416, 340, 436, 140, 919, 350, 510,
          572, 905, 900, 85,  389, 473, 758, 444, 169, 625, 692, 140, 897, 672, 288, 312, 860,
          724, 226, 884, 508, 976, 741, 476, 417, 831, 15,  318, 432, 241, 114, 799, 955, 833,
          358, 935, 146, 630, 830, 440, 642, 356, 373, 271, 715, 367, 393, 190, 669, 8,   861,
          108, 795, 269, 590, 326, 866, 64,  523, 862, 840, 219, 382, 998, 4,   628, 305, 747,
          247, 34,  747, 729, 645, 856, 974, 24,  568, 24,  694, 608, 480, 410, 729, 947, 293,
          53,  930, 223, 203, 677, 227, 62,  455, 387, 318, 562, 242, 428, 968};
}

void expect_relative(double value, double expected, double tolerance) {
  EXPECT_NEAR(value, expected, std::abs(expected) * tolerance);
}

// M1.1: NIST StRD NumAcc1, certified (exact).
TEST(Summarize, NumAcc1IsExact) {
  const auto s = summarize(std::vector<double>{10000001, 10000003, 10000002});
  ASSERT_TRUE(s);
  EXPECT_EQ(s->n, 3);
  EXPECT_EQ(s->mean, 10000002);
  EXPECT_EQ(s->sd, 1);
  EXPECT_EQ(s->lag1, -0.5);
  EXPECT_EQ(s->min, 10000001);
  EXPECT_EQ(s->max, 10000003);
}

// M1.2, M1.3, M1.4: NIST StRD NumAcc2, NumAcc3, NumAcc4, certified. The decimals do not exist in
// binary, which limits the scatter to 1e-8 for the two large ones.
TEST(Summarize, NumAcc2ToNumAcc4KeepTheirDigits) {
  struct Case {
    double first, low, high, mean, sd_tolerance;
  };
  for (const Case& c :
       {Case{1.2, 1.1, 1.3, 1.2, 1e-13}, Case{1000000.2, 1000000.1, 1000000.3, 1000000.2, 1e-8},
        Case{10000000.2, 10000000.1, 10000000.3, 10000000.2, 1e-8}}) {
    const auto s = summarize(num_acc(c.first, c.low, c.high));
    ASSERT_TRUE(s);
    EXPECT_EQ(s->n, 1001);
    expect_relative(s->mean, c.mean, 1e-14);
    expect_relative(s->sd.value(), 0.1, c.sd_tolerance);
    EXPECT_NEAR(s->lag1.value(), -0.999, 1e-7);
  }
}

// M1.4: our two-pass value in double.
TEST(Summarize, NumAcc4GivesTheScatterOfItsBinaryInput) {
  const auto s = summarize(num_acc(10000000.2, 10000000.1, 10000000.3));
  ASSERT_TRUE(s);
  expect_relative(s->sd.value(), 0.10000000055879354, 1e-12);
}

// M1.4, negative test: what the header warns of. The one-pass formula has lost every digit.
TEST(Summarize, OnePassFormulaFails) {
  const std::vector<double> x = num_acc(10000000.2, 10000000.1, 10000000.3);
  double sum = 0;
  double squares = 0;
  for (const double value : x) {
    sum += value;
    squares += value * value;
  }
  const auto n = static_cast<double>(x.size());
  const double variance = (squares - sum * sum / n) / (n - 1);
  EXPECT_GT(std::abs(variance - 0.01), 0.001);
}

// M1.5: NIST StRD Lottery, certified 518.958715596330, 291.699727470969, -0.120948622967393.
TEST(Summarize, LotteryHasItsCertifiedValues) {
  const auto s = summarize(lottery());
  ASSERT_TRUE(s);
  EXPECT_EQ(s->n, 218);
  expect_relative(s->mean, 518.958715596330, 1e-13);
  expect_relative(s->sd.value(), 291.699727470969, 1e-13);
  expect_relative(s->lag1.value(), -0.120948622967393, 1e-13);
}

TEST(Summarize, OneReadingHasNoScatter) {
  const auto s = summarize(std::vector<double>{0.02497});
  ASSERT_TRUE(s);
  EXPECT_EQ(s->mean, 0.02497);
  EXPECT_FALSE(s->sd);
  EXPECT_FALSE(s->lag1);
}

TEST(Summarize, EqualReadingsHaveExactlyZeroScatterAndNoAutocorrelation) {
  const auto s = summarize(std::vector<double>(7, 0.024973));
  ASSERT_TRUE(s);
  EXPECT_EQ(s->mean, 0.024973);
  EXPECT_EQ(s->sd, 0);
  EXPECT_FALSE(s->lag1);
}

TEST(Summarize, RefusesWhatHasNoSummary) {
  EXPECT_FALSE(summarize({}));
  EXPECT_FALSE(summarize(std::vector<double>{1, kNan}));
  EXPECT_FALSE(summarize(std::vector<double>{kInfinity}));
  EXPECT_FALSE(summarize(std::vector<double>{1e300, -1e300}));
}

// Closed form: two positions of form 10 apart, scatter ±1 in each: Σ squares 2 + 2, nu 2.
TEST(PooledSd, DoesNotTakeFormForScatter) {
  const std::vector<std::vector<double>> positions = {{9, 11}, {19, 21}, {55}, {}};
  const auto pooled = pooled_sd(positions);
  ASSERT_TRUE(pooled);
  EXPECT_DOUBLE_EQ(pooled->sd, std::sqrt(2.0));
  EXPECT_EQ(pooled->nu, 2);
}

TEST(PooledSd, RefusesWithoutRepeats) {
  EXPECT_FALSE(pooled_sd({}));
  EXPECT_FALSE(pooled_sd(std::vector<std::vector<double>>{{1}, {2}}));
  EXPECT_FALSE(pooled_sd(std::vector<std::vector<double>>{{1, kNan}}));
}

}  // namespace
}  // namespace tautmark
