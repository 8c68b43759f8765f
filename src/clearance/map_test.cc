// SPDX-License-Identifier: Apache-2.0
#include "clearance/map.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

#include "clearance/test_engine.h"

namespace tautmark::clearance {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

// Source: geometry.md 7.4, 360 x 720 nodes, floor only.
TEST(ClearanceMap, BlocksTheCellsOfTheNote) {
  const ClearanceMap in = clearance_map({note_intake()}), ex = clearance_map({note_exhaust()});
  const ClearanceMap both = clearance_map({note_intake(), note_exhaust()});
  EXPECT_EQ(blocked_cells(in, mm(0)), 6963U);
  EXPECT_EQ(blocked_cells(ex, mm(0)), 6747U);
  EXPECT_EQ(blocked_cells(both, mm(0)), 13710U);
  EXPECT_EQ(blocked_cells(in, mm(0.5)), 7583U);
  EXPECT_EQ(blocked_cells(ex, mm(0.5)), 7399U);
  EXPECT_EQ(blocked_cells(both, mm(0.5)), 14982U);
}

TEST(ClearanceMap, RowsWithFreeCamshaftOfTheNote) {
  const ClearanceMap both = clearance_map({note_intake(), note_exhaust()});
  const auto rows = rows_with_free_cam(both, mm(0));
  ASSERT_EQ(rows.size(), 307U);
  EXPECT_EQ(rows.front(), 27);
  EXPECT_EQ(rows.back(), 333);
  const auto with_margin = rows_with_free_cam(both, mm(0.5));
  ASSERT_EQ(with_margin.size(), 305U);
  EXPECT_EQ(with_margin.front(), 28);
  EXPECT_EQ(with_margin.back(), 332);
}

// Source: geometry.md 7.4: cam 0 to 84.5, 165.5 to 194.0, 276.0 to 359.5.
TEST(ClearanceMap, ColumnsWithFreeCrankOfTheNote) {
  std::vector<int> expected;
  for (int j = 0; j <= 169; ++j) expected.push_back(j);
  for (int j = 331; j <= 388; ++j) expected.push_back(j);
  for (int j = 552; j <= 719; ++j) expected.push_back(j);
  EXPECT_EQ(columns_with_free_crank(clearance_map({note_intake(), note_exhaust()}), mm(0)),
            expected);
}

double truth(const std::vector<EngineValve>& valves, double crank, double cam) {
  double least = 1e9;
  for (const EngineValve& valve : valves) {
    const Length s = drop(valve.slider, crank_deg(crank) - valve.top);
    const Length open = lift(*valve.lift, crank_deg(2 * cam) - valve.top);
    least = std::min(least, in_mm(gap(valve.site, s, open).least));
  }
  return least;
}

// Against gap() at the nodes, with walls and several cylinders.
TEST(ClearanceMap, IsTheLeastGapAtEveryNode) {
  const auto valves = note_engine({0, 240, 480}, mm(3));
  const ClearanceMap map = clearance_map(valves, {.crank_steps = 120, .cam_steps = 90});
  for (int i = 0; i < 120; ++i)
    for (int j = 0; j < 90; ++j)
      ASSERT_NEAR(map.at(i, j) * 1e3, truth(valves, i * 3.0, j * 4.0), 1e-4) << i << " " << j;
}

// A valve that never opens still has its gap to the piston.
TEST(ClearanceMap, HoldsAValveThatStaysShut) {
  EngineValve shut = note_intake();
  shut.lift = std::make_shared<const LiftCurve>(
      lift_curve(LawLobe{LiftLaw::polynomial_4567, mm(0), crank_deg(155), crank_deg(470)}));
  const ClearanceMap map = clearance_map({shut});
  EXPECT_NEAR(map.at(0, 235), 4.2e-3, 1e-9);
  EXPECT_EQ(blocked_cells(map, mm(4.3)), 7U * 720);  // drops of less than 0.1 / cos 20 deg
}

TEST(ClearanceMap, BetweenNodesIsNeverAboveTheTruth) {
  const auto valves = note_engine({0, 240, 480}, mm(3));
  const ClearanceMap map = clearance_map(
      valves, {.between_nodes = true, .crank_within = crank_deg(1.5), .cam_within = cam_deg(0.5)});
  std::mt19937 random(8);
  std::uniform_real_distribution<double> one(0, 1);
  for (int n = 0; n < 200000; ++n) {
    const int i = static_cast<int>(one(random) * 360), j = static_cast<int>(one(random) * 720);
    const double crank = i + (one(random) - 0.5) * 4, cam = j / 2.0 + (one(random) - 0.5) * 1.5;
    ASSERT_LE(map.at(i, j) * 1e3, truth(valves, crank, cam)) << crank << " " << cam;
  }
}

TEST(ClearanceMap, TakesOffWhatIsUncertain) {
  EngineValve valve = note_intake();
  const ClearanceMap plain = clearance_map({valve});
  valve.taken_off = mm(0.5);
  EXPECT_EQ(blocked_cells(clearance_map({valve}), mm(0)), 7583U);
  EXPECT_NEAR(plain.at(0, 0) - clearance_map({valve}).at(0, 0), 0.5e-3, 1e-9);
  EXPECT_EQ(blocked_cells(clearance_map({}), mm(1000)), 0U);
}

TEST(FiringTops, FollowTheOrder) {
  const std::vector<CrankAngle> at{crank_deg(0), crank_deg(180), crank_deg(360), crank_deg(540)};
  const auto tops = firing_tops({1, 3, 4, 2}, at);
  ASSERT_TRUE(tops);
  EXPECT_THAT(*tops, ElementsAre(at[0], at[3], at[1], at[2]));
  EXPECT_THAT(firing_tops({1, 3, 3, 2}, at).error().why, HasSubstr("once"));
  EXPECT_THAT(firing_tops({0, 1, 2, 3}, at).error().why, HasSubstr("once"));
  for (const auto& wrong :
       {std::vector{at[0], at[2], at[1], at[3]}, std::vector{at[0], at[1], at[1], at[3]},
        std::vector{at[0], at[0], at[0], at[0]}, std::vector{at[1], at[2], at[3], crank_deg(700)},
        std::vector{at[0], at[1], at[2], crank_deg(720)}})
    EXPECT_THAT(firing_tops({1, 3, 4, 2}, wrong).error().why, HasSubstr("does not rise from 0"));
  EXPECT_THAT(firing_tops({1, 2}, at).error().why, HasSubstr("2 cylinders"));
}

}  // namespace
}  // namespace tautmark::clearance
