// SPDX-License-Identifier: Apache-2.0
#include "measure/simple_gauges.h"

#include <gtest/gtest.h>

#include <limits>
#include <vector>

namespace tautmark {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

Limits at_most_mm(double upper) { return {.lower = std::nullopt, .upper = mm(upper).si()}; }
FeelerInterval blades(double passes, double does_not) { return {mm(passes), mm(does_not)}; }

// M1.30: cosine of 10°.
TEST(DialTravel, ShrinksWithTheCosine) {
  EXPECT_NEAR(in_mm(dial_travel(mm(0.500), deg(10)).value()), 0.492403876506104, 1e-12);
  EXPECT_NEAR(in_mm(dial_travel(mm(0.500), deg(-10)).value()), 0.492403876506104, 1e-12);
  EXPECT_FALSE(dial_travel(mm(0.5), deg(46)));
  EXPECT_FALSE(dial_travel(mm(0.5), deg(kNan)));
  EXPECT_FALSE(dial_travel(mm(kNan), deg(0)));
}

// M1.31: 0.20 passes, 0.28 does not, limit 0.25.
TEST(FeelerGap, IsTheMiddleOfTheTwoBlades) {
  const auto gap = feeler_gap(blades(0.20, 0.28));
  ASSERT_TRUE(gap);
  EXPECT_NEAR(in_mm(gap->value), 0.240, 1e-12);
  EXPECT_NEAR(in_mm(gap->u), 0.023094010767585032, 1e-12);
  const auto d = decide_feeler(blades(0.20, 0.28), at_most_mm(0.25));
  ASSERT_TRUE(d);
  EXPECT_NEAR(d->probability_within, 0.625, 1e-9);
  EXPECT_EQ(d->conformity, Conformity::pass_in_band);
}

TEST(DecideFeeler, GoesThroughAllVerdicts) {
  const auto verdict = [](double upper) {
    return decide_feeler(blades(0.20, 0.28), at_most_mm(upper))->conformity;
  };
  EXPECT_EQ(verdict(0.30), Conformity::pass);
  EXPECT_EQ(verdict(0.28), Conformity::pass);
  EXPECT_EQ(verdict(0.2761), Conformity::pass);
  EXPECT_EQ(verdict(0.2759), Conformity::pass_in_band);
  EXPECT_EQ(verdict(0.2399), Conformity::fail_in_band);
  EXPECT_EQ(verdict(0.2041), Conformity::fail_in_band);
  EXPECT_EQ(verdict(0.2039), Conformity::fail);
  EXPECT_EQ(verdict(0.10), Conformity::fail);
  const Limits narrow{.lower = mm(0.22).si(), .upper = mm(0.26).si()};
  EXPECT_EQ(decide_feeler(blades(0.20, 0.28), narrow)->conformity,
            Conformity::gauge_not_good_enough);
  const Limits above{.lower = mm(0.30).si(), .upper = mm(0.31).si()};
  EXPECT_EQ(decide_feeler(blades(0.20, 0.28), above)->conformity, Conformity::fail);
  EXPECT_EQ(decide_feeler(blades(0.20, 0.28), above)->probability_within, 0);
}

TEST(FeelerGap, RefusesImpossibleBlades) {
  EXPECT_FALSE(feeler_gap(blades(0.28, 0.20)));
  EXPECT_FALSE(feeler_gap(blades(0.20, 0.20)));
  EXPECT_FALSE(feeler_gap(blades(-0.01, 0.20)));
  EXPECT_FALSE(feeler_gap(blades(kNan, 0.20)));
  EXPECT_TRUE(feeler_gap(blades(0, 0.05)));
  EXPECT_FALSE(decide_feeler(blades(0.20, 0.28), Limits{}));
  EXPECT_FALSE(decide_feeler(blades(0.20, 0.28), at_most_mm(0.25), 1));
}

TEST(RockedBore, IsTheSmallestOfTheSet) {
  const auto bore = rocked_bore(std::vector<Length>{mm(25.052), mm(25.041), mm(25.044)});
  ASSERT_TRUE(bore);
  EXPECT_EQ(bore->size, mm(25.041));
  EXPECT_NEAR(in_mm(bore->spread), 0.011, 1e-12);
  EXPECT_EQ(bore->n, 3);
  EXPECT_FALSE(rocked_bore({}));
  EXPECT_FALSE(rocked_bore(std::vector<Length>{mm(kNan)}));
}

}  // namespace
}  // namespace tautmark
