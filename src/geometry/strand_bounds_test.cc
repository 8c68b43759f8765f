// SPDX-License-Identifier: Apache-2.0
#include "geometry/strand_bounds.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "geometry/phase.h"
#include "geometry/test_drives.h"

namespace tautmark {
namespace {

using ::testing::HasSubstr;

StrandBounds bounds_of(int links, std::vector<int> teeth,
                       const StrandAssumptions& assumed = kUsualDrive) {
  const auto bounds = strand_bounds({links, std::move(teeth), assumed});
  EXPECT_TRUE(bounds) << bounds.error().why;
  return bounds.value_or(StrandBounds{});
}

void expect_holds(const LowHigh& range, double truth, double widest) {
  EXPECT_LE(range.low, truth);
  EXPECT_GE(range.high, truth);
  EXPECT_LE((range.high - range.low) / truth, widest);
}

// Source of the true strands: trade.md 6.A (365.53 mm, 124 links, 21 and 42 teeth), 6.B (366.48 mm,
// top span 124.00 mm, 138 links, 19, 38, 38), geometry.md 3.4 (37.392937, 106 links, 20 and 40) and
// 3.3b (38.238401 and 54.488401, no links given: the path is 136.5).
TEST(StrandBounds, HoldTheTrueStrands) {
  expect_holds(bounds_of(124, {21, 42}).free_pitches[0], 365.53 / 8, 0.13);
  expect_holds(bounds_of(106, {20, 40}).free_pitches[0], 37.392937, 0.13);
  const auto quellmere = bounds_of(138, {19, 38, 38}).free_pitches;
  expect_holds(quellmere[1], 366.48 / 8, 0.4);
  expect_holds(quellmere[0], (366.48 + 124) / 8, 0.4);
  const int links = static_cast<int>(std::ceil(solve_path(two_cams())->pitches));
  const auto two = bounds_of(links, {20, 40, 40}).free_pitches;
  expect_holds(two[1], 38.238401, 0.45);
  expect_holds(two[0], 54.488401, 0.45);
}

// A guide that only touches (Vessgarth): the range is narrow, 365.53 mm within it.
TEST(StrandBounds, WithoutABowTheRangeIsNarrow) {
  StrandAssumptions touching = kUsualDrive;
  touching.guide_turn = Angle{};
  touching.taken_up = Ratio::from_si(0.01);
  const auto bounds = bounds_of(124, {21, 42}, touching);
  expect_holds(bounds.free_pitches[0], 365.53 / 8, 0.015);
  EXPECT_THAT(bounds.assumed, HasSubstr("at most 1 % of the links"));
}

// Every two-sprocket drive that keeps what is assumed has its driving strand in the range: random
// drives solved by the path.
RC_GTEST_PROP(StrandBounds, HoldEverySolvedPair, ()) {
  const int driving = *rc::gen::inRange(15, 30);
  const double center = *rc::gen::inRange(20'000, 60'000) / 100.0;
  const double bow = *rc::gen::inRange(-200, 600) / 100.0;
  const double radius = *rc::gen::inRange(100, 400);
  PathInputs in;
  in.pitch = mm(8);
  in.links = 100;
  in.elements = {sprocket("crank", 0, 0, driving), sprocket("cam", 0, center, 2 * driving)};
  in.elements.push_back(
      guide("guide", 8 * driving * 1.5 / (2 * 3.14159) + radius - bow, center / 2, radius));
  const auto path = solve_path(in);
  RC_PRE(path.has_value());
  in.links = static_cast<int>(std::ceil(path->pitches));
  PathInputs straight = in;
  straight.elements.pop_back();
  const double taken_up = in.links - solve_path(straight)->pitches;
  const double turned = path->contacts.size() == 3 ? path->contacts[2].wrap.si() : 0;
  RC_PRE(taken_up <= kUsualDrive.taken_up.si() * in.links && turned <= kUsualDrive.guide_turn.si());
  const double truth = sprocket_phases(in, *path)[1].free;
  const auto bounds = strand_bounds({in.links, {driving, 2 * driving}, kUsualDrive});
  RC_ASSERT(bounds.has_value());
  RC_ASSERT(bounds->free_pitches[0].low <= truth && truth <= bounds->free_pitches[0].high);
}

// Source: geometry.md 3.4: -(720/40) 37.392937 x 0.005/1.005 = -3.348622 crank degrees.
TEST(WearRange, HoldsTheFormula) {
  const auto exact = wear_range({37.392937, 37.392937}, {0.005, 0.005}, 20);
  ASSERT_TRUE(exact) << exact.error().why;
  EXPECT_NEAR(in_crank_deg(exact->latest), -3.348622, 1e-6);
  const auto wide = wear_range(bounds_of(106, {20, 40}).free_pitches[0], {0.004, 0.006}, 20);
  ASSERT_TRUE(wide);
  EXPECT_LT(in_crank_deg(wide->latest), -3.9);
  EXPECT_GT(in_crank_deg(wide->earliest), -2.8);
  EXPECT_LT(in_crank_deg(wide->earliest), 0);
  // A chain that may be shorter than new may make early.
  EXPECT_GT(wear_range({40, 50}, {-0.001, 0.001}, 20)->earliest.si(), 0);
}

// Source: trade.md 6.B: exhaust 1.8° late is 0.21 % on 366.48 mm, intake measured 21.4° late: one
// tooth (18.95°) and wear, residual under 0.1° with the true strand; two teeth or none excluded.
TEST(WholeTooth, OneToothAndWearOnTheIntake) {
  const double truth = (366.48 + 124) / 8;
  const auto wear = wear_range({truth, truth}, {0.0020, 0.0022}, 19);
  ASSERT_TRUE(wear);
  const auto one = whole_tooth({crank_deg(-21.4), crank_deg(0.3), *wear, 19});
  ASSERT_TRUE(one) << one.error().why;
  ASSERT_TRUE(one->teeth);
  EXPECT_EQ(*one->teeth, -1);
  // The same without coordinates, over the whole range of the strand.
  const auto bounds = bounds_of(138, {19, 38, 38}).free_pitches[0];
  const auto over_range = whole_tooth(
      {crank_deg(-21.4), crank_deg(0.3), *wear_range(bounds, {0.0018, 0.0025}, 19), 19});
  ASSERT_TRUE(over_range->teeth);
  EXPECT_EQ(*over_range->teeth, -1);
}

TEST(WholeTooth, IsOpenWhenTheRangeDoesNotDecide) {
  // Half a tooth: 9.5° late on 19 teeth with hardly any wear is neither none nor one.
  const CrankRange little{crank_deg(-1), crank_deg(-0.5)};
  EXPECT_FALSE(whole_tooth({crank_deg(-9.5), crank_deg(0.5), little, 19})->teeth);
  // 5° late: nearest is no tooth, but 1° of wear leaves 4° that nothing explains.
  const auto rest = whole_tooth({crank_deg(-5), crank_deg(0.5), little, 19});
  EXPECT_EQ(rest->fewest, 0);
  EXPECT_EQ(rest->most, 0);
  EXPECT_FALSE(rest->teeth);
  EXPECT_LT(rest->left_over.earliest.si(), 0);
  // Wear known so badly that one tooth and none both fit.
  const auto wide =
      whole_tooth({crank_deg(-12), crank_deg(0.5), CrankRange{crank_deg(-12), crank_deg(0)}, 19});
  EXPECT_FALSE(wide->teeth);
  EXPECT_EQ(wide->fewest, -1);
  EXPECT_EQ(wide->most, 0);
}

TEST(StrandBounds, Refusals) {
  EXPECT_FALSE(strand_bounds({124, {21}, kUsualDrive}));
  EXPECT_FALSE(strand_bounds({124, {21, 0}, kUsualDrive}));
  EXPECT_FALSE(strand_bounds({100'001, {21, 42}, kUsualDrive}));
  const auto shorter = strand_bounds({40, {21, 42}, kUsualDrive});
  ASSERT_FALSE(shorter);
  EXPECT_THAT(shorter.error().why, HasSubstr("40 links do not go around"));
  StrandAssumptions none = kUsualDrive;
  none.taken_up = Ratio::from_si(std::nan(""));
  EXPECT_FALSE(strand_bounds({124, {21, 42}, none}));
  EXPECT_FALSE(wear_range({40, 30}, {0, 0.01}, 20));
  EXPECT_FALSE(wear_range({40, 50}, {0, std::nan("")}, 20));
  EXPECT_FALSE(whole_tooth({crank_deg(std::nan("")), crank_deg(1), {}, 20}));
}

}  // namespace
}  // namespace tautmark
