// SPDX-License-Identifier: Apache-2.0
#include "geometry/stages.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace tautmark {
namespace {

using ::testing::HasSubstr;

// Source: geometry.md 3.3: 20-30, 21-28, T 20 and 35, 0.5 % both.
TEST(Stages, TwoChains) {
  const Stage stages[] = {ChainStage{20, 30, 20, Ratio::from_si(0.005)},
                          ChainStage{21, 28, 35, Ratio::from_si(0.005)}};
  const auto sum = stages_in_series(stages);
  ASSERT_TRUE(sum) << sum.error().why;
  EXPECT_NEAR(in_crank_deg(sum->stages[0].change), -1.791045, 1e-6);
  EXPECT_NEAR(in_crank_deg(sum->stages[1].change), -4.477612, 1e-6);
  EXPECT_NEAR(in_crank_deg(sum->latest), -6.268657, 1e-6);
  EXPECT_EQ(sum->latest, sum->earliest);
  EXPECT_NEAR(in_crank_deg(sum->stages[0].one_tooth), 18, 1e-9);
  EXPECT_NEAR(in_crank_deg(sum->stages[1].one_tooth), 25.714286, 1e-6);
  EXPECT_NEAR(sum->crank_turns, 2, 1e-12);
  EXPECT_TRUE(sum->with_crank);
}

// Source: closed form: gears 24 to 48 halve the speed and reverse it; 0.2 degrees of play at the
// driven gear are 0.4 at the crank; a secondary chain 24 to 24 loses 720/24 T e/(1+e) crank degrees
// and its tooth is 30 crank degrees (geometry.md 9).
TEST(Stages, GearThenChain) {
  const Stage stages[] = {GearStage{24, 48, deg(0.2)},
                          ChainStage{24, 24, 10, Ratio::from_si(0.01)}};
  const auto sum = stages_in_series(stages);
  ASSERT_TRUE(sum) << sum.error().why;
  EXPECT_FALSE(sum->with_crank);
  EXPECT_NEAR(in_crank_deg(sum->stages[0].play), 0.4, 1e-12);
  EXPECT_NEAR(in_crank_deg(sum->latest), -720.0 / 24 * 10 * 0.01 / 1.01, 1e-12);
  EXPECT_NEAR(in_crank_deg(sum->earliest - sum->latest), 0.4, 1e-12);
  EXPECT_NEAR(in_crank_deg(sum->stages[1].one_tooth), 30, 1e-12);
}

TEST(Stages, Refusals) {
  EXPECT_FALSE(stages_in_series({}));
  const Stage bad[] = {ChainStage{20, 30, 20, Ratio{}}, GearStage{24, 0, Angle{}}};
  const auto refused = stages_in_series(bad);
  ASSERT_FALSE(refused);
  EXPECT_THAT(refused.error().why, HasSubstr("stage 2"));
  const Stage none[] = {ChainStage{20, 30, std::nan(""), Ratio{}}};
  EXPECT_FALSE(stages_in_series(none));
  const Stage play[] = {GearStage{24, 48, deg(-1)}};
  EXPECT_FALSE(stages_in_series(play));
}

}  // namespace
}  // namespace tautmark
