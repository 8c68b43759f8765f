// SPDX-License-Identifier: Apache-2.0
#include "measure/decision.h"

#include <gtest/gtest.h>

#include <limits>
#include <vector>

namespace tautmark {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInfinity = std::numeric_limits<double>::infinity();

Limits at_most(double upper) { return {.lower = std::nullopt, .upper = upper}; }
Limits at_least(double lower) { return {.lower = lower, .upper = std::nullopt}; }
Limits between(double lower, double upper) { return {.lower = lower, .upper = upper}; }

// M3.1: JCGM 106:2012, 7.4, published 0.66.
TEST(Decide, HasThePublishedProbabilityOfJcgm106) {
  const auto d = decide({.value = 13.6, .u = 1.8}, between(12.5, 16.3));
  ASSERT_TRUE(d);
  EXPECT_NEAR(d->probability_within, 0.6626297864953078, 1e-10);
}

// M3.2: upper limit 0.070, u 0.003; own arithmetic, names of ILAC-G8:09/2019, 4.2.3.
TEST(Decide, GoesThroughTheFourVerdictsAtAnUpperLimit) {
  struct Row {
    double value, probability;
    Conformity conformity;
  };
  for (const Row& row : {Row{0.0620, 0.9961696194324103, Conformity::pass},
                         Row{0.0649, 0.9554345372414572, Conformity::pass},
                         Row{0.0651, 0.9488005450828922, Conformity::pass_in_band},
                         Row{0.0680, 0.7475074624530773, Conformity::pass_in_band},
                         Row{0.0700, 0.5, Conformity::pass_in_band},
                         Row{0.0749, 0.051199454917108256, Conformity::fail_in_band},
                         Row{0.0751, 0.04456546275854327, Conformity::fail}}) {
    const auto d = decide({.value = row.value, .u = 0.003}, at_most(0.070));
    ASSERT_TRUE(d);
    EXPECT_EQ(d->conformity, row.conformity) << row.value;
    EXPECT_NEAR(d->probability_within, row.probability, 1e-9) << row.value;
    EXPECT_NEAR(d->guard_band, 0.004934561, 1e-9);
  }
}

// M3.3: two limits 0.025 and 0.066.
TEST(Decide, TakesBothLimits) {
  const Limits limits = between(0.025, 0.066);
  EXPECT_NEAR(decide({.value = 0.0280, .u = 0.003}, limits)->probability_within, 0.84134475, 1e-7);
  EXPECT_NEAR(decide({.value = 0.0645, .u = 0.003}, limits)->probability_within, 0.69146246, 1e-7);
  EXPECT_NEAR(decide({.value = 0.0205, .u = 0.003}, limits)->probability_within, 0.06680720, 1e-7);
}

// M3.4: width 0.010, u 0.0035: best possible probability 0.8469, no value can pass.
TEST(Decide, SaysThatTheGaugeIsNotGoodEnough) {
  const Limits limits = between(0.025, 0.035);
  EXPECT_NEAR(best_probability_within(limits, 0.0035).value(), 0.8468725489803304, 1e-10);
  EXPECT_EQ(decide({.value = 0.030, .u = 0.0035}, limits)->conformity,
            Conformity::gauge_not_good_enough);
  EXPECT_EQ(decide({.value = 0.036, .u = 0.0035}, limits)->conformity,
            Conformity::gauge_not_good_enough);
  // Far enough outside is still proven.
  EXPECT_EQ(decide({.value = 0.041, .u = 0.0035}, limits)->conformity, Conformity::fail);
}

// M3.5: Φ(2), from the tables.
TEST(Decide, HasTheNormalProbabilityOfTwoSigma) {
  EXPECT_NEAR(decide({.value = 0, .u = 1}, at_most(2))->probability_within, 0.977249868, 1e-9);
}

// M3.11: clearance 0.055 with u from M3.10, limits 0.025 and 0.066; inner limit 0.061204469.
TEST(Decide, JudgesAClearance) {
  struct Row {
    double value, probability;
    Conformity conformity;
  };
  for (const Row& row :
       {Row{0.055, 0.9999193417898457, Conformity::pass},
        Row{0.0625, 0.885025, Conformity::pass_in_band},
        Row{0.068, 0.246358, Conformity::fail_in_band}, Row{0.072, 0.019796, Conformity::fail}}) {
    const auto d = decide({.value = row.value, .u = 2.9154759474226504e-3}, between(0.025, 0.066));
    ASSERT_TRUE(d);
    EXPECT_NEAR(d->probability_within, row.probability, 1e-6);
    EXPECT_EQ(d->conformity, row.conformity) << row.value;
    EXPECT_NEAR(0.066 - d->guard_band, 0.061204469, 1e-9);
  }
}

TEST(Decide, EqualityBelongsToTheBetterVerdict) {
  const double g = decide({.value = 0, .u = 1}, at_most(10))->guard_band;
  EXPECT_EQ(decide({.value = 10 - g, .u = 1}, at_most(10))->conformity, Conformity::pass);
  EXPECT_EQ(decide({.value = 10, .u = 1}, at_most(10))->conformity, Conformity::pass_in_band);
  EXPECT_EQ(decide({.value = 10 + g, .u = 1}, at_most(10))->conformity, Conformity::fail_in_band);
}

// Guard band at 99.9 %, published quantile 3.090232.
TEST(Decide, DemandsMoreWhereAWrongPassBendsMetal) {
  const auto d = decide({.value = 0.0649, .u = 0.003}, at_most(0.070), 0.999);
  ASSERT_TRUE(d);
  EXPECT_NEAR(d->guard_band, 3.090232 * 0.003, 1e-8);
  EXPECT_EQ(d->conformity, Conformity::pass_in_band);
}

// Student's factor, one-sided 95 %, nu 4: 2.131847 (any table).
TEST(Decide, DemandsMoreFromFewReadings) {
  const auto d = decide({.value = 0, .u = 1, .nu = 4}, at_most(2));
  ASSERT_TRUE(d);
  EXPECT_NEAR(d->guard_band, 2.131847, 1e-6);
  EXPECT_EQ(d->conformity, Conformity::pass_in_band);
  EXPECT_EQ(decide({.value = 0, .u = 1}, at_most(2))->conformity, Conformity::pass);
}

TEST(Decide, NeverPassesBelowTheLevelBetweenNarrowLimits) {
  for (const double width : {3.5, 3.9, 3.95, 4.2, 5.0, 6.0, 8.0}) {
    for (double y = 0; y <= width; y += width / 64) {
      const auto d = decide({.value = y, .u = 1}, between(0, width));
      ASSERT_TRUE(d);
      const bool passes = d->conformity == Conformity::pass;
      EXPECT_EQ(passes, d->probability_within >= 0.95 - 1e-6) << width << " " << y;
    }
  }
}

TEST(Decide, ProvesTheFailingSideOfALowerLimitToo) {
  EXPECT_EQ(decide({.value = 8.3, .u = 1}, at_least(10))->conformity, Conformity::fail);
  EXPECT_EQ(decide({.value = 8.4, .u = 1}, at_least(10))->conformity, Conformity::fail_in_band);
  EXPECT_EQ(decide({.value = 11.6, .u = 1}, at_least(10))->conformity, Conformity::pass_in_band);
  EXPECT_EQ(decide({.value = 11.7, .u = 1}, at_least(10))->conformity, Conformity::pass);
}

TEST(Decide, TakesZeroUncertaintyOnlyOnPurpose) {
  EXPECT_FALSE(decide({.value = 61, .u = 0}, at_most(62)));
  const auto inside = decide({.value = 62, .u = 0}, at_most(62), 0.95, ZeroUncertainty::accept);
  ASSERT_TRUE(inside);
  EXPECT_EQ(inside->conformity, Conformity::pass);
  EXPECT_EQ(inside->probability_within, 1);
  const auto outside = decide({.value = 63, .u = 0}, at_most(62), 0.95, ZeroUncertainty::accept);
  EXPECT_EQ(outside->conformity, Conformity::fail);
  EXPECT_EQ(outside->probability_within, 0);
}

TEST(Decide, RefusesImpossibleInput) {
  const Limits limits = at_most(1);
  EXPECT_FALSE(decide({.value = kNan, .u = 1}, limits));
  EXPECT_FALSE(decide({.value = kInfinity, .u = 1}, limits));
  EXPECT_FALSE(decide({.value = 0, .u = -1}, limits));
  EXPECT_FALSE(decide({.value = 0, .u = 1e308, .nu = 1}, limits));
  EXPECT_FALSE(decide({.value = 0, .u = kNan}, limits));
  EXPECT_FALSE(decide({.value = 0, .u = 1, .nu = 0.9}, limits));
  EXPECT_FALSE(decide({.value = 0, .u = 1, .nu = kNan}, limits));
  EXPECT_FALSE(decide({.value = 0, .u = 1}, Limits{}));
  EXPECT_FALSE(decide({.value = 0, .u = 1}, at_most(kNan)));
  EXPECT_FALSE(decide({.value = 0, .u = 1}, at_most(kInfinity)));
  EXPECT_FALSE(decide({.value = 0, .u = 1}, between(2, 1)));
  EXPECT_FALSE(decide({.value = 0, .u = 1}, limits, 1));
  EXPECT_FALSE(decide({.value = 0, .u = 1}, limits, 0.4));
  EXPECT_FALSE(decide({.value = 0, .u = 1}, limits, kNan));
  EXPECT_FALSE(best_probability_within(between(0, 1), 0));
}

// u² = 4²/4 + 1 with s 4, n 4. The margin 2 needs u <= 1.2159 = 2 / 1.644854: 16/n <= 0.4783,
// n >= 33.5 for a known scatter.
TEST(WhatWouldDecide, CountsFurtherReadings) {
  const Estimate now{.value = 8, .u = std::sqrt(5.0)};
  const auto w = what_would_decide(now, at_most(10), 0.95, 4, 4, {.most_readings = 50});
  ASSERT_TRUE(w);
  EXPECT_EQ(w->decider, Decider::more_readings);
  EXPECT_EQ(w->then, Conformity::pass);
  EXPECT_EQ(w->further_readings, 34 - 4);
  EXPECT_NEAR(w->needed_u, 2 / 1.6448536, 1e-6);
  EXPECT_NEAR(w->needed_U, 4 / 1.6448536, 1e-6);
}

TEST(WhatWouldDecide, FurtherReadingsReallyDecideAndOneFewerDoesNot) {
  const double s = 3;
  const double u_rest = 0.5;
  for (int n = 2; n <= 6; ++n) {
    const double u_a2 = s * s / n;
    const double u2 = u_a2 + u_rest * u_rest;
    const Estimate now{.value = 8, .u = std::sqrt(u2), .nu = u2 * u2 / (u_a2 * u_a2 / (n - 1))};
    const auto w = what_would_decide(now, at_most(10), 0.95, s, n);
    ASSERT_TRUE(w);
    ASSERT_EQ(w->decider, Decider::more_readings);
    const auto later = [&](int total) {
      const double a2 = s * s / total;
      const double v2 = a2 + u_rest * u_rest;
      return decide({.value = 8, .u = std::sqrt(v2), .nu = v2 * v2 / (a2 * a2 / (total - 1))},
                    at_most(10))
          ->conformity;
    };
    EXPECT_EQ(later(n + *w->further_readings), Conformity::pass);
    EXPECT_NE(later(n + *w->further_readings - 1), Conformity::pass);
  }
}

TEST(WhatWouldDecide, AsksForABetterGaugeWhereReadingsDoNotHelp) {
  const auto w = what_would_decide({.value = 9, .u = 1}, at_most(10), 0.95, 0.1, 3);
  ASSERT_TRUE(w);
  EXPECT_EQ(w->decider, Decider::better_gauge);
  EXPECT_FALSE(w->further_readings);
  EXPECT_NEAR(w->needed_U, 2 / 1.6448536, 1e-6);
  EXPECT_DOUBLE_EQ(w->needed_gauge_U, w->needed_U);
  EXPECT_EQ(decide({.value = 9, .u = w->needed_u}, at_most(10))->conformity, Conformity::pass);
  EXPECT_EQ(decide({.value = 9, .u = w->needed_u * 1.0001}, at_most(10))->conformity,
            Conformity::pass_in_band);
}

TEST(WhatWouldDecide, TakesWhatTheGaugeCannotHelpOutOfItsShare) {
  const WhatWouldDecideOptions options{.repeat_nu = {}, .u_not_from_gauge = 0.3};
  const auto w = what_would_decide({.value = 9, .u = 1}, at_most(10), 0.95, 0, 1, options);
  ASSERT_TRUE(w);
  EXPECT_NEAR(w->needed_gauge_U, 2 * std::sqrt(w->needed_u * w->needed_u - 0.09), 1e-12);
  const WhatWouldDecideOptions all{.repeat_nu = {}, .u_not_from_gauge = 0.7};
  EXPECT_EQ(what_would_decide({.value = 9, .u = 1}, at_most(10), 0.95, 0, 1, all)->decider,
            Decider::no_gauge);
}

TEST(WhatWouldDecide, SaysThatNoGaugeDecidesAValueOnItsLimit) {
  const auto w = what_would_decide({.value = 10, .u = 1}, at_most(10), 0.95, 0.5, 3);
  ASSERT_TRUE(w);
  EXPECT_EQ(w->decider, Decider::no_gauge);
  EXPECT_EQ(w->needed_U, 0);
}

TEST(WhatWouldDecide, WorksOnTheFailingSideAndBetweenNarrowLimits) {
  const auto outside = what_would_decide({.value = 11, .u = 1}, at_most(10), 0.95, 0, 1);
  ASSERT_TRUE(outside);
  EXPECT_EQ(outside->then, Conformity::fail);
  EXPECT_EQ(decide({.value = 11, .u = outside->needed_u}, at_most(10))->conformity,
            Conformity::fail);
  // In the middle of a width of 4 both tails count: needed u is 2 / 1.959964.
  const auto middle = what_would_decide({.value = 2, .u = 3}, between(0, 4), 0.95, 0, 1);
  ASSERT_TRUE(middle);
  EXPECT_EQ(middle->then, Conformity::pass);
  EXPECT_NEAR(middle->needed_u, 2 / 1.9599640, 1e-5);
}

TEST(WhatWouldDecide, NeedsNothingForADecidedValue) {
  const auto pass = what_would_decide({.value = 5, .u = 1}, at_most(10), 0.95, 0.5, 3);
  ASSERT_TRUE(pass);
  EXPECT_EQ(pass->decider, Decider::nothing_needed);
  EXPECT_EQ(pass->then, Conformity::pass);
  const auto fail = what_would_decide({.value = 15, .u = 1}, at_most(10), 0.95, 0.5, 3);
  EXPECT_EQ(fail->decider, Decider::nothing_needed);
  EXPECT_EQ(fail->then, Conformity::fail);
}

TEST(WhatWouldDecide, RefusesImpossibleInput) {
  const Estimate estimate{.value = 9, .u = 1};
  EXPECT_FALSE(what_would_decide(estimate, at_most(10), 0.95, -1, 3));
  EXPECT_FALSE(what_would_decide(estimate, at_most(10), 0.95, kNan, 3));
  EXPECT_FALSE(what_would_decide(estimate, at_most(10), 0.95, 0.5, 0));
  EXPECT_FALSE(what_would_decide(estimate, at_most(10), 0.95, 5, 3));
  EXPECT_FALSE(what_would_decide(estimate, Limits{}, 0.95, 0.5, 3));
  EXPECT_FALSE(what_would_decide(estimate, at_most(10), 0.95, 0.5, 3, {.repeat_nu = 0.5}));
  EXPECT_FALSE(what_would_decide(estimate, at_most(10), 0.95, 0.5, 3,
                                 {.repeat_nu = {}, .u_not_from_gauge = -1}));
}

}  // namespace
}  // namespace tautmark
