// SPDX-License-Identifier: Apache-2.0
#include "geometry/counts.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>
#include <string>

namespace tautmark {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

constexpr double kNotANumber = std::numeric_limits<double>::quiet_NaN();

// Tolerance where nothing else is said: far above double rounding, far below what is printed.
constexpr double kTight = 1e-9;

// ---- teeth -----------------------------------------------------------------------------------

// Source: trade.md 6.A "one tooth 8.571° cam = 17.143° crank" (42 teeth) and 6.B "9.474° cam =
// 18.947° crank" (38 teeth); printed to three decimals.
TEST(ToothAngle, IsAsPrintedForFortyTwoAndThirtyEightTeeth) {
  const auto t42 = tooth_angle(42);
  ASSERT_TRUE(t42) << t42.error().why;
  EXPECT_NEAR(in_cam_deg(t42->cam), 8.571, 5e-4);
  EXPECT_NEAR(in_crank_deg(t42->crank), 17.143, 5e-4);
  const auto t38 = tooth_angle(38);
  ASSERT_TRUE(t38) << t38.error().why;
  EXPECT_NEAR(in_cam_deg(t38->cam), 9.474, 5e-4);
  EXPECT_NEAR(in_crank_deg(t38->crank), 18.947, 5e-4);
}

TEST(ToothAngle, RefusesWhatIsNoSprocket) {
  for (const int teeth : {-1, 0, 2, kMostTeeth + 1}) {
    const auto tooth = tooth_angle(teeth);
    ASSERT_FALSE(tooth);
    EXPECT_THAT(tooth.error().why, HasSubstr("teeth of the cam sprocket"));
  }
}

// Source: trade.md 7 question 4: 21.4° late on 38 teeth is one tooth and 2.4° of wear; 6.B: two
// teeth would leave 37.89 - 21.4 = 16.49° early, none leaves all of it.
TEST(ToothSplit, LeavesTwoAndAHalfDegreesOfTwentyOnePointFour) {
  const auto split = tooth_split({.displacement = crank_deg(-21.4), .cam_teeth = 38});
  ASSERT_TRUE(split) << split.error().why;
  EXPECT_NEAR(split->teeth, -21.4 * 38 / 720, kTight);
  EXPECT_EQ(split->nearest.teeth, -1);
  EXPECT_NEAR(in_crank_deg(split->nearest.left_over), -(21.4 - 720.0 / 38), kTight);
  EXPECT_EQ(split->below.teeth, -2);
  EXPECT_NEAR(in_crank_deg(split->below.left_over), 2 * 720.0 / 38 - 21.4, kTight);
  EXPECT_EQ(split->above.teeth, 0);
  EXPECT_NEAR(in_crank_deg(split->above.left_over), -21.4, kTight);
}

// Source: trade.md 7 question 6: 11 / 18.95 = 0.58 tooth.
TEST(ToothSplit, SaysFiveEighthsOfAToothForElevenDegrees) {
  const auto split = tooth_split({.displacement = crank_deg(-11), .cam_teeth = 38});
  ASSERT_TRUE(split);
  EXPECT_NEAR(split->teeth, -0.58, 5e-3);
}

// Exactly half a tooth claims the smaller count: 45° on an 8-tooth sprocket (one tooth 90°). Powers
// of two keep the quotient exact.
TEST(ToothSplit, TakesTheSmallerCountAtHalfATooth) {
  for (const double sign : {1.0, -1.0}) {
    const CrankAngle tooth = tooth_angle(8)->crank;
    const auto half = tooth_split({.displacement = tooth * (0.5 * sign), .cam_teeth = 8});
    ASSERT_TRUE(half);
    EXPECT_EQ(half->nearest.teeth, 0);
    const auto more = tooth_split({.displacement = tooth * (1.5 * sign), .cam_teeth = 8});
    ASSERT_TRUE(more);
    EXPECT_EQ(more->nearest.teeth, sign > 0 ? 1 : -1);
  }
}

TEST(ToothSplit, RefusesMoreThanATurnAndWhatIsNoNumber) {
  EXPECT_FALSE(tooth_split({.displacement = crank_deg(721), .cam_teeth = 38}));
  EXPECT_FALSE(tooth_split({.displacement = crank_deg(kNotANumber), .cam_teeth = 38}));
  EXPECT_FALSE(tooth_split({.displacement = crank_deg(10), .cam_teeth = 1}));
}

RC_GTEST_PROP(ToothSplit, TeethAndLeftOverAlwaysMakeTheDisplacement, ()) {
  const int teeth = *rc::gen::inRange(3, 200);
  const double degrees = *rc::gen::inRange(-7199, 7200) / 10.0;
  const auto split = tooth_split({.displacement = crank_deg(degrees), .cam_teeth = teeth});
  RC_ASSERT(split.has_value());
  const double tooth = 720.0 / teeth;
  for (const WholeTeeth& w : {split->nearest, split->below, split->above}) {
    RC_ASSERT(std::abs(w.teeth * tooth + in_crank_deg(w.left_over) - degrees) < kTight);
    RC_ASSERT(std::abs(split->nearest.left_over.si()) <= std::abs(w.left_over.si()) + kTight);
  }
  RC_ASSERT(std::abs(in_crank_deg(split->nearest.left_over)) <= tooth / 2 + kTight);
}

// ---- return of the marks ---------------------------------------------------------------------

struct ReturnRow {
  int links, crank, cam;
  long long crank_link, all, circuits;
};

// Source: geometry.md 4.5, table (first row: arithmetic of a public thread, the others our own,
// found again there by brute force); last row trade.md 6.B.
TEST(MarkReturn, MatchesThePrintedTable) {
  for (const ReturnRow& row :
       {ReturnRow{174, 18, 36, 29, 58, 6}, ReturnRow{106, 20, 40, 53, 106, 20},
        ReturnRow{126, 20, 40, 63, 126, 20}, ReturnRow{110, 20, 40, 11, 22, 4},
        ReturnRow{120, 20, 40, 6, 6, 1}, ReturnRow{124, 21, 42, 124, 124, 21},
        ReturnRow{100, 23, 46, 100, 100, 23}, ReturnRow{138, 19, 38, 138, 138, 19}}) {
    const auto turns =
        mark_return({.chain_links = row.links, .crank_teeth = row.crank, .cam_teeth = row.cam});
    ASSERT_TRUE(turns) << turns.error().why;
    EXPECT_EQ(turns->turns_crank_link, row.crank_link) << row.links;
    EXPECT_EQ(turns->turns_all, row.all) << row.links;
    EXPECT_EQ(turns->chain_circuits, row.circuits) << row.links;
    EXPECT_EQ(turns->turns_sprocket_marks, 2);
    EXPECT_TRUE(turns->cam_at_half_speed);
  }
}

TEST(MarkReturn, CoversStagesThatAreNotTwoToOne) {
  // 20 to 30 teeth: after 3 crank turns 60 teeth have passed both.
  const auto turns = mark_return({.chain_links = 80, .crank_teeth = 20, .cam_teeth = 30});
  ASSERT_TRUE(turns);
  EXPECT_FALSE(turns->cam_at_half_speed);
  EXPECT_EQ(turns->turns_sprocket_marks, 3);
  EXPECT_EQ(turns->turns_all, 12);  // lcm(80, 60) = 240
}

TEST(MarkReturn, RefusesCountsThatAreNone) {
  EXPECT_FALSE(mark_return({.chain_links = 2, .crank_teeth = 20, .cam_teeth = 40}));
  EXPECT_FALSE(mark_return({.chain_links = 106, .crank_teeth = 0, .cam_teeth = 40}));
  const auto turns = mark_return({.chain_links = 106, .crank_teeth = 20, .cam_teeth = -40});
  ASSERT_FALSE(turns);
  EXPECT_THAT(turns.error().why, HasSubstr("teeth of the cam sprocket"));
}

// Independent truth: let the chain pass tooth by tooth and wait.
struct Waited {
  long long sprockets = 0, crank_link = 0, all = 0, circuits = 0;
};
Waited wait_tooth_by_tooth(int links, int crank, int cam) {
  Waited waited;
  int link_at_mark = 0, crank_tooth = 0, cam_tooth = 0;
  long long turns = 0, circuits = 0;
  while (waited.all == 0) {
    link_at_mark = (link_at_mark + 1) % links;
    cam_tooth = (cam_tooth + 1) % cam;
    crank_tooth = (crank_tooth + 1) % crank;
    if (link_at_mark == 0) ++circuits;
    if (crank_tooth != 0) continue;
    ++turns;
    if (cam_tooth == 0 && waited.sprockets == 0) waited.sprockets = turns;
    if (link_at_mark == 0 && waited.crank_link == 0) waited.crank_link = turns;
    if (cam_tooth == 0 && link_at_mark == 0) {
      waited.all = turns;
      waited.circuits = circuits;
    }
  }
  return waited;
}

RC_GTEST_PROP(MarkReturn, AgreesWithWaitingToothByTooth, ()) {
  const int links = *rc::gen::inRange(3, 240);
  const int crank = *rc::gen::inRange(3, 30);
  const int cam = *rc::gen::oneOf(rc::gen::just(2 * crank), rc::gen::inRange(3, 60));
  const Waited waited = wait_tooth_by_tooth(links, crank, cam);
  const auto turns = mark_return({.chain_links = links, .crank_teeth = crank, .cam_teeth = cam});
  RC_ASSERT(turns.has_value());
  RC_ASSERT(turns->turns_sprocket_marks == waited.sprockets);
  RC_ASSERT(turns->turns_crank_link == waited.crank_link);
  RC_ASSERT(turns->turns_all == waited.all);
  RC_ASSERT(turns->chain_circuits == waited.circuits);
}

// ---- link counts -----------------------------------------------------------------------------

TEST(PitchesCounted, FollowsTheDrawing) {
  EXPECT_EQ(*pitches_counted(4, LinkCount::pitches), 4);
  EXPECT_EQ(*pitches_counted(5, LinkCount::with_both_marks), 4);
  EXPECT_EQ(*pitches_counted(3, LinkCount::between), 4);
  EXPECT_EQ(*pitches_counted(0, LinkCount::between), 1);
  EXPECT_FALSE(pitches_counted(0, LinkCount::pitches));
  EXPECT_FALSE(pitches_counted(1, LinkCount::with_both_marks));
  EXPECT_FALSE(pitches_counted(-1, LinkCount::between));
}

// Source: trade.md 6.B: exhaust to crank 61, crank to intake 61, intake to exhaust 16, 138 links;
// after the jump 61, 60, 17: "intake sprocket one tooth behind the chain", that is late.
TEST(LinkSum, FindsTheSprocketThatMovedOneTooth) {
  const auto sum = link_sum({.counts = {61, 60, 17}, .chain_links = 138, .expected = {61, 61, 16}});
  ASSERT_TRUE(sum) << sum.error().why;
  EXPECT_EQ(sum->sum, 138);
  EXPECT_EQ(sum->surplus, 0);
  EXPECT_THAT(sum->difference, ElementsAre(0, -1, 1));
  ASSERT_TRUE(sum->moved);
  EXPECT_EQ(sum->moved->arriving, 1u);
  EXPECT_EQ(sum->moved->leaving, 2u);
  EXPECT_EQ(sum->moved->teeth_late, 1);
}

TEST(LinkSum, FindsTheSprocketBetweenTheLastStrandAndTheFirst) {
  const auto sum = link_sum({.counts = {62, 61, 15}, .chain_links = 138, .expected = {61, 61, 16}});
  ASSERT_TRUE(sum);
  ASSERT_TRUE(sum->moved);
  EXPECT_EQ(sum->moved->arriving, 2u);
  EXPECT_EQ(sum->moved->leaving, 0u);
  EXPECT_EQ(sum->moved->teeth_late, 1);
}

// Source: trade.md 7 question 21: a sum of 137 is a miscount or a wrong chain.
TEST(LinkSum, NeverCallsAWrongSumAJump) {
  const auto sum = link_sum({.counts = {61, 60, 16}, .chain_links = 138, .expected = {61, 61, 16}});
  ASSERT_TRUE(sum);
  EXPECT_EQ(sum->surplus, -1);
  EXPECT_THAT(sum->difference, IsEmpty());
  EXPECT_FALSE(sum->moved);
  EXPECT_FALSE(sum->fits_as);
}

// Source: trade.md 6.A: tight 63, slack 61, 124 links. Counted with both marks: 64 and 62.
TEST(LinkSum, SaysWhichOtherWayOfCountingFits) {
  const auto as_said =
      link_sum({.counts = {64, 62}, .counted = LinkCount::with_both_marks, .chain_links = 124});
  ASSERT_TRUE(as_said);
  EXPECT_EQ(as_said->surplus, 0);
  const auto said_wrongly = link_sum({.counts = {64, 62}, .chain_links = 124});
  ASSERT_TRUE(said_wrongly);
  EXPECT_EQ(said_wrongly->surplus, 2);
  EXPECT_EQ(said_wrongly->fits_as, LinkCount::with_both_marks);
  const auto between = link_sum({.counts = {62, 60}, .chain_links = 124});
  ASSERT_TRUE(between);
  EXPECT_EQ(between->fits_as, LinkCount::between);
}

TEST(LinkSum, ComparesCountsOfTwoKinds) {
  const auto sum = link_sum({.counts = {60, 59, 16},
                             .counted = LinkCount::between,
                             .chain_links = 138,
                             .expected = {61, 61, 16}});
  ASSERT_TRUE(sum);
  EXPECT_THAT(sum->difference, ElementsAre(0, -1, 1));
}

// With two strands both sprockets lie between the same two: which one moved is not in the counts.
TEST(LinkSum, NamesNoSprocketWithTwoStrands) {
  const auto sum = link_sum({.counts = {64, 60}, .chain_links = 124, .expected = {63, 61}});
  ASSERT_TRUE(sum);
  EXPECT_THAT(sum->difference, ElementsAre(1, -1));
  EXPECT_FALSE(sum->moved);
}

TEST(LinkSum, NamesNoSprocketWhenTwoMoved) {
  const auto apart =
      link_sum({.counts = {31, 30, 29, 30}, .chain_links = 120, .expected = {30, 30, 30, 30}});
  ASSERT_TRUE(apart);
  EXPECT_FALSE(apart->moved);
  const auto three =
      link_sum({.counts = {63, 60, 15}, .chain_links = 138, .expected = {61, 61, 16}});
  ASSERT_TRUE(three);
  EXPECT_FALSE(three->moved);
}

TEST(LinkSum, RefusesWhatCannotBeCompared) {
  EXPECT_FALSE(link_sum({.counts = {124}, .chain_links = 124}));
  EXPECT_FALSE(link_sum({.counts = {63, 61}, .chain_links = 124, .expected = {61, 61, 16}}));
  EXPECT_FALSE(link_sum({.counts = {63, 0}, .chain_links = 124}));
  EXPECT_FALSE(link_sum({.counts = {63, 61}, .chain_links = 0}));
  EXPECT_FALSE(link_sum({.counts = {kMostTeeth, kMostTeeth}, .chain_links = 124}));
  const auto sheet = link_sum({.counts = {63, 61}, .chain_links = 124, .expected = {62, 61}});
  ASSERT_FALSE(sheet);
  EXPECT_THAT(sheet.error().why, HasSubstr("not from the same sheet"));
}

// Independent truth: marks on a closed chain, moved link by link; the three ways of counting agree.
RC_GTEST_PROP(LinkSum, RecoversASprocketMovedAlongTheChain, ()) {
  const auto expected = *rc::gen::container<std::vector<int>>(3, rc::gen::inRange(8, 70));
  const int teeth_late = *rc::gen::distinctFrom(rc::gen::inRange(-5, 6), 0);
  const auto sprocket = *rc::gen::inRange<std::size_t>(0, 3);
  std::vector<int> counts = expected;
  counts[sprocket] -= teeth_late;            // the strand that arrives at it
  counts[(sprocket + 1) % 3] += teeth_late;  // the strand that leaves it
  const int links = expected[0] + expected[1] + expected[2];
  for (const auto& [counted, step] :
       {std::pair{LinkCount::pitches, 0}, std::pair{LinkCount::with_both_marks, 1},
        std::pair{LinkCount::between, -1}}) {
    LinkSumInputs in{
        .counts = counts, .counted = counted, .chain_links = links, .expected = expected};
    for (int& count : in.counts) count += step;
    const auto sum = link_sum(in);
    RC_ASSERT(sum.has_value());
    RC_ASSERT(sum->surplus == 0);
    RC_ASSERT(sum->moved.has_value());
    RC_ASSERT(sum->moved->arriving == sprocket);
    RC_ASSERT(sum->moved->teeth_late == teeth_late);
  }
}

// ---- chain length ----------------------------------------------------------------------------

// Source: trade.md 6.A: 320.90 mm over 40 links of 8.00 mm is 0.281 %; bank 1 320.19 mm is 0.059 %;
// 6.B: 320.64 mm is 0.20 %; limit 0.35 % is 321.12 mm.
TEST(Elongation, IsAsPrintedForTheInventedChains) {
  for (const auto& [length, per_cent] : {std::pair{320.90, 0.28125}, std::pair{320.19, 0.059375},
                                         std::pair{320.64, 0.20}, std::pair{321.12, 0.35}}) {
    const auto wear = elongation_over_links({.measured = mm(length), .pitch = mm(8), .links = 40});
    ASSERT_TRUE(wear) << wear.error().why;
    EXPECT_NEAR(wear->elongation.si() * 100, per_cent, kTight);
    EXPECT_NEAR(in_mm(wear->nominal), 320, kTight);
    EXPECT_NEAR(in_mm(wear->length_increase), length - 320, kTight);
  }
}

TEST(Elongation, CarriesTheUncertaintyOfTheLength) {
  const auto wear = elongation_over_links(
      {.measured = mm(320.9), .length_uncertainty = mm(0.08), .pitch = mm(8), .links = 40});
  ASSERT_TRUE(wear);
  EXPECT_NEAR(wear->uncertainty.si() * 100, 0.025, kTight);
}

TEST(Elongation, RefusesLengthsThatAreNone) {
  EXPECT_FALSE(elongation_over_links({.measured = mm(0), .pitch = mm(8), .links = 40}));
  EXPECT_FALSE(elongation_over_links({.measured = mm(320), .pitch = mm(-8), .links = 40}));
  EXPECT_FALSE(elongation_over_links({.measured = mm(320), .pitch = mm(8), .links = 0}));
  EXPECT_FALSE(elongation_over_links({.measured = mm(kNotANumber), .pitch = mm(8), .links = 40}));
}

}  // namespace
}  // namespace tautmark
