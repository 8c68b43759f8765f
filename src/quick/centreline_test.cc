// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

const Typed kIntake = {{"pairs", "70.6/174.4, 70.4/174.5, 70.7/174.4 deg crank"},
                       {"side", "after"}};

// Source: trade.md 6.B: centerlines 122.50, 122.45, 122.55, mean 122.5.
TEST(Centerline, IsAsPrintedForThreePairs) {
  const Answer done = answered(kCenterline, kIntake);
  EXPECT_THAT(done.lines.front(), HasSubstr("122.50° after top dead center"));
  EXPECT_THAT(done.lines, Contains(HasSubstr("0.10°")));
  EXPECT_THAT(all_of(done.steps), HasSubstr("122.50°, 122.45°, 122.55°"));
  EXPECT_FALSE(done.verdict);
}

// Source: trade.md 6.B: +0.5° of 122.0 (allowed ±2.0), late there.
TEST(Centerline, ComparesWithWhatIsWanted) {
  const Typed compared = with(kIntake, {{"wanted", "122.0 deg crank"}, {"limit", "2.0 deg crank"}});
  const Answer open = answered(kCenterline, compared);
  EXPECT_EQ(open.finding->open_because, OpenBecause::limit_origin);
  EXPECT_THAT(open.lines, Contains(HasSubstr("0.50° late (crank), 0.25° cam against")));
  const Answer maker =
      answered(kCenterline, with(compared, {{"origin", "maker"}, {"source", "manual, page 7"}}));
  EXPECT_EQ(maker.verdict, Verdict::pass);
  EXPECT_EQ(answered(kCenterline, with(compared, {{"wanted", "115.0 deg crank"}})).verdict,
            Verdict::fail);
  const Answer close = answered(kCenterline, with(compared, {{"limit", "0.4 deg crank"}}));
  EXPECT_EQ(close.finding->open_because, OpenBecause::too_close);
}

// Before top dead center more degrees are earlier.
TEST(Centerline, CountsDownBeforeTopDeadCenter) {
  const Answer done =
      answered(kCenterline,
               {{"pairs", "165/61 deg crank"}, {"side", "before"}, {"wanted", "112.0 deg crank"}});
  EXPECT_THAT(done.lines.front(), HasSubstr("113.00° before top dead center"));
  EXPECT_THAT(done.lines, Contains(HasSubstr("1.00° early (crank)")));
  EXPECT_THAT(done.cautions, Contains(HasSubstr("One pair shows no scatter")));
}

TEST(Centerline, AsksWhatIsMissingOrUnclear) {
  EXPECT_EQ(asked(kCenterline, {}).input, "pairs");
  EXPECT_EQ(asked(kCenterline, with(kIntake, {{"side", ""}})).input, "side");
  EXPECT_EQ(asked(kCenterline, with(kIntake, {{"pairs", "70.6/174.4 deg"}})).input, "wheel");
  EXPECT_EQ(asked(kCenterline, with(kIntake, {{"pairs", "70.6 deg crank"}})).input, "pairs");
  EXPECT_EQ(asked(kCenterline, with(kIntake, {{"pairs", "70.6/174.4"}})).input, "pairs");
  EXPECT_EQ(asked(kCenterline, with(kIntake, {{"limit", "2 deg crank"}})).input, "wanted");
}

TEST(Centerline, AsksBackWhenThePairsContradictEachOther) {
  const Ask ask =
      asked(kCenterline, with(kIntake, {{"pairs", "70.6/174.4, 80.4/184.5 deg crank"}}));
  EXPECT_EQ(ask.input, "pairs");
  EXPECT_THAT(ask.sentence, HasSubstr("contradict each other"));
  EXPECT_THAT(ask.sentence, HasSubstr("122.50°, 132.45°, 9.95° apart"));
  EXPECT_THAT(
      all_of(answered(kCenterline, with(kIntake, {{"pairs", "70.0/174.0, 72.0/176.0 deg crank"}}))
                 .lines),
      HasSubstr("2.00°"));
}

TEST(Centerline, RefusesAScaleThatJumps) {
  const Ask after = asked(kCenterline, with(kIntake, {{"pairs", "340/84 deg crank"}}));
  EXPECT_EQ(after.input, "pairs");
  EXPECT_THAT(after.sentence, HasSubstr("add 360°"));
  const Ask before = asked(kCenterline, {{"pairs", "61/165 deg crank"}, {"side", "before"}});
  EXPECT_THAT(before.sentence, HasSubstr("larger"));
}

}  // namespace
}  // namespace tautmark::quick
