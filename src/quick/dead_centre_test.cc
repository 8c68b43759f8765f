// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

const Typed kQuestionTwentyThree = {{"before", "24.5 deg crank"}, {"after", "22.1 deg crank"}};

// Source: trade.md 7 question 23 and 6.B: 24.5 before, 22.1 after, 1.2° out; both then read 23.3°.
TEST(DeadCenter, FindsTheErrorOfQuestionTwentyThree) {
  const Answer done = answered(kDeadCenter, kQuestionTwentyThree);
  EXPECT_THAT(done.lines.front(), HasSubstr("1.20° (crank), 0.60° cam, before its zero"));
  EXPECT_THAT(done.lines, Contains(HasSubstr("both stops read 23.30°")));
  EXPECT_THAT(done.cautions, Contains(HasSubstr("damper mark can slip")));
  EXPECT_THAT(done.cautions, Contains(HasSubstr("not which one")));
}

// U = d / sqrt(6): 0.5° gives 0.20°.
TEST(DeadCenter, TakesTheResolutionThatWasSaid) {
  const Answer done =
      answered(kDeadCenter, with(kQuestionTwentyThree, {{"resolution", "0.5 deg crank"}}));
  EXPECT_THAT(done.lines.front(), HasSubstr("± 0.20°"));
}

TEST(DeadCenter, SaysWhenTheWheelIsRight) {
  const Answer done =
      answered(kDeadCenter, {{"before", "23.3 deg crank"}, {"after", "23.3 deg crank"}});
  EXPECT_THAT(done.lines.front(), HasSubstr("The wheel is right"));
}

TEST(DeadCenter, TakesAWheelOnTheCam) {
  const Answer done =
      answered(kDeadCenter, {{"before", "12 deg"}, {"after", "13 deg"}, {"wheel", "cam"}});
  EXPECT_THAT(done.lines.front(), HasSubstr("1.00° (crank), 0.50° cam, after its zero"));
}

TEST(DeadCenter, AsksWhatIsMissingOrUnclear) {
  EXPECT_EQ(asked(kDeadCenter, {}).input, "before");
  EXPECT_EQ(asked(kDeadCenter, {{"before", "24.5 deg crank"}}).input, "after");
  EXPECT_EQ(asked(kDeadCenter, {{"before", "24.5 deg"}, {"after", "22.1 deg"}}).input, "wheel");
  EXPECT_EQ(asked(kDeadCenter, with(kQuestionTwentyThree, {{"after", "22.1"}})).input, "after");
  EXPECT_EQ(asked(kDeadCenter, with(kQuestionTwentyThree, {{"after", "-22.1 deg crank"}})).input,
            "after");
}

TEST(DeadCenter, AsksBackWhenTheWheelWasNotSet) {
  for (const auto& [before, after] : {std::pair{"10 deg crank", "80 deg crank"},
                                      {"95 deg crank", "88 deg crank"},
                                      {"1 deg crank", "1 deg crank"}}) {
    const Ask ask = asked(kDeadCenter, {{"before", before}, {"after", after}});
    EXPECT_EQ(ask.input, "before");
    EXPECT_THAT(ask.sentence, HasSubstr("counted from the wheel's zero?"));
  }
  answered(kDeadCenter, {{"before", "10 deg crank"}, {"after", "60 deg crank"}});
}

TEST(DeadCenter, RefusesReadingsThatMeetNoStop) {
  EXPECT_EQ(asked(kDeadCenter, {{"before", "0 deg crank"}, {"after", "0 deg crank"}}).input,
            "before");
}

}  // namespace
}  // namespace tautmark::quick
