// SPDX-License-Identifier: Apache-2.0
#include "clearance/adjustable_sprocket.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace tautmark::clearance {
namespace {

TEST(TurnToCorrect, IsHalfAndBack) {
  EXPECT_NEAR(in_cam_deg(turn_to_correct(crank_deg(4))), -2, 1e-12);
  EXPECT_NEAR(in_cam_deg(turn_to_correct(crank_deg(-3))), 1.5, 1e-12);
}

// Source: closed form. 10 and 9 holes, lcm 90: steps of 4 cam deg. One hole on in both turns the
// hub by 40 - 36 = 4 forward.
TEST(VernierSetting, OfTenAndNineHoles) {
  const auto late = vernier_setting(crank_deg(-8), 10, 9);
  ASSERT_TRUE(late);
  EXPECT_NEAR(in_cam_deg(late->smallest_step), 4, 1e-12);
  EXPECT_EQ(late->hub_holes_on, 1);
  EXPECT_EQ(late->sprocket_holes_on, 1);
  EXPECT_NEAR(in_cam_deg(late->turn), 4, 1e-12);
  EXPECT_NEAR(in_crank_deg(late->left_early), 0, 1e-9);
  const auto early = vernier_setting(crank_deg(9), 10, 9);
  ASSERT_TRUE(early);
  EXPECT_EQ(early->hub_holes_on, -1);
  EXPECT_EQ(early->sprocket_holes_on, -1);
  EXPECT_NEAR(in_crank_deg(early->left_early), 1, 1e-9);
  EXPECT_EQ(vernier_setting(crank_deg(3), 10, 9)->hub_holes_on, 0);  // 1.5 cam of 4: stay
}

// Source: closed form. 12 and 8 holes, lcm 24: 15 cam deg are 45 - 30, and just as well 4 holes of
// the hub and 3 of the sprocket (135 - 120), or 2 and 1 the other way: one and one is least.
TEST(VernierSetting, MovesTheFewestHoles) {
  const auto set = vernier_setting(crank_deg(-30), 12, 8);
  ASSERT_TRUE(set);
  EXPECT_EQ(set->hub_holes_on, 1);
  EXPECT_EQ(set->sprocket_holes_on, 1);
}

// Source: brute force over all pairs of holes, with plain angles.
TEST(VernierSetting, IsTheBestOfAllPairs) {
  std::mt19937 random(90);
  std::uniform_int_distribution<int> holes(2, 30);
  std::uniform_real_distribution<double> phase(-360, 360);
  for (int k = 0; k < 300; ++k) {
    const int hub = holes(random), sprocket = holes(random);
    const double early = phase(random);
    double best = 1e9;
    for (int i = 0; i < hub; ++i)
      for (int j = 0; j < sprocket; ++j)
        best = std::min(best, std::abs(std::remainder(
                                  early / 2 + j * 360.0 / sprocket - i * 360.0 / hub, 360.0)));
    const auto set = vernier_setting(crank_deg(early), hub, sprocket);
    ASSERT_TRUE(set);
    EXPECT_NEAR(std::abs(in_crank_deg(set->left_early)), 2 * best, 1e-9) << hub << " " << sprocket;
    const double turn = set->sprocket_holes_on * 360.0 / sprocket - set->hub_holes_on * 360.0 / hub;
    EXPECT_NEAR(std::remainder(turn - in_cam_deg(set->turn), 360.0), 0, 1e-9);
  }
}

TEST(OffsetSetting, TakesTheNearestEitherWayRound) {
  const std::vector<CamAngle> set{cam_deg(1), cam_deg(2), cam_deg(3)};
  const auto late = offset_setting(crank_deg(-4.6), set);
  ASSERT_TRUE(late);
  EXPECT_NEAR(in_cam_deg(late->turn), 2, 1e-12);
  EXPECT_NEAR(in_crank_deg(late->left_early), -0.6, 1e-9);
  EXPECT_NEAR(in_cam_deg(offset_setting(crank_deg(7), set)->turn), -3, 1e-12);
  EXPECT_EQ(offset_setting(crank_deg(0.9), set)->turn.si(), 0);
}

TEST(AdjustableSprocket, RefusesWhatIsNone) {
  EXPECT_FALSE(vernier_setting(crank_deg(3), 1, 9));
  EXPECT_FALSE(vernier_setting(crank_deg(3), 10, 4000));
  EXPECT_FALSE(vernier_setting(crank_deg(NAN), 10, 9));
  EXPECT_FALSE(offset_setting(crank_deg(3), {cam_deg(-1)}));
  EXPECT_FALSE(offset_setting(crank_deg(1e9), {}));
}

}  // namespace
}  // namespace tautmark::clearance
