// SPDX-License-Identifier: Apache-2.0
#include "tighten/wrench.h"

#include <gtest/gtest.h>

#include "tighten/adapter.h"

namespace tautmark::tighten {
namespace {

const Wrench kSmall = {.name = "5 to 25", .lowest = newton_metre(5), .highest = newton_metre(25)};
const Wrench kLarge = {
    .name = "40 to 200", .lowest = newton_metre(40), .highest = newton_metre(200)};

// F5.1 to F5.5: derivation from moments about the two axes.
TEST(Adapter, Settings) {
  struct Row {
    double wrench, adapter, angle, wanted, set;
  };
  const Row rows[] = {{450, 50, 0, 100, 90},
                      {450, 50, 90, 100, 100},
                      {450, 50, 45, 100, 92.71557635940506},
                      {450, 50, 180, 100, 112.5},
                      {350, 40, 0, 28, 25.128205128205128}};
  for (const Row& row : rows) {
    const auto factor = adapter_factor({mm(row.wrench), mm(row.adapter), deg(row.angle)});
    ASSERT_TRUE(factor);
    EXPECT_NEAR(row.wanted * *factor, row.set, 1e-9);
  }
  EXPECT_FALSE(adapter_factor({mm(50), mm(50), deg(180)}));
  EXPECT_FALSE(adapter_factor({mm(0), mm(50), deg(0)}));
  EXPECT_FALSE(adapter_factor({mm(450), mm(50), deg(181)}));
}

// fasteners.md 5: 106 lbf·in is 11.98 N·m, below a fifth of a 200 N·m wrench.
TEST(ChooseWrench, RefusesASmallStepOnALargeWrench) {
  const Wrench both[] = {kLarge, kSmall};
  const auto fits = choose_wrench(newton_metre(11.976392), both);
  ASSERT_EQ(fits.size(), 2U);
  EXPECT_EQ(fits[0].index, 1U);
  EXPECT_TRUE(fits[0].fits);
  EXPECT_FALSE(fits[1].fits);
  EXPECT_EQ(fits[1].why, "too large: usable from 40 N·m, the step is 12 N·m");
  const auto alone = choose_wrench(newton_metre(11.976392), std::span(&kLarge, 1));
  EXPECT_FALSE(alone[0].fits);
}

TEST(ChooseWrench, PrefersTheMiddleThenAccuracyThenTheSmaller) {
  const Wrench wrenches[] = {
      {.name = "20 to 100", .lowest = newton_metre(20), .highest = newton_metre(100)},
      {.name = "10 to 60", .lowest = newton_metre(10), .highest = newton_metre(60)},
      {.name = "fine", .lowest = newton_metre(10), .highest = newton_metre(60), .deviation = 0.02}};
  const auto fits = choose_wrench(newton_metre(47), wrenches);
  EXPECT_EQ(fits[0].index, 2U);
  EXPECT_EQ(fits[1].index, 1U);
  EXPECT_EQ(fits[2].index, 0U);
}

TEST(ChooseWrench, DeviationAndRange) {
  EXPECT_EQ(deviation_of(kLarge), 0.04);
  EXPECT_EQ(deviation_of({.name = "small", .highest = newton_metre(10)}), 0.06);
  EXPECT_EQ(usable_from({.name = "x", .lowest = newton_metre(5), .highest = newton_metre(100)}),
            newton_metre(20));
  const Wrench old[] = {{.name = "old", .highest = newton_metre(25), .out_of_calibration = true}};
  EXPECT_FALSE(choose_wrench(newton_metre(12), old)[0].fits);
  EXPECT_FALSE(choose_wrench(newton_metre(26), std::span(&kSmall, 1))[0].fits);
}

}  // namespace
}  // namespace tautmark::tighten
