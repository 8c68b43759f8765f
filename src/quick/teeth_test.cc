// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

const Typed kQuestionFour = {{"angle", "21.4 deg crank late"}, {"teeth", "38"}};

// Source: trade.md 7 question 4.
TEST(Teeth, SaysOneToothAndALeftOverForQuestionFour) {
  const Answer done = answered(kTeeth, kQuestionFour);
  EXPECT_THAT(done.lines.front(), HasSubstr("1 tooth late (18.95° crank, 9.47° cam)"));
  EXPECT_THAT(done.lines.front(), HasSubstr("2.45° late (crank), 1.23° cam left over"));
  EXPECT_THAT(done.lines, Contains(HasSubstr("must be explained, not rounded away")));
  EXPECT_THAT(done.lines, Contains(HasSubstr("in the ratio of its span")));
  EXPECT_THAT(done.lines, Contains(HasSubstr("2 teeth late would leave 16.49° early (crank)")));
  EXPECT_THAT(done.lines, Contains(HasSubstr("No tooth would leave 21.40° late (crank)")));
}

// Source: trade.md 7 question 6: 11 / 18.95 = 0.58; as cam degrees 22 crank, a tooth plus wear.
TEST(Teeth, SaysNoWholeToothForQuestionSix) {
  const Answer done = answered(kTeeth, with(kQuestionFour, {{"angle", "11 deg crank late"}}));
  EXPECT_THAT(done.lines.front(), HasSubstr("0.58 tooth: not a whole tooth"));
  EXPECT_THAT(done.lines, Contains(HasSubstr("22.00° late (crank), 11.00° cam: 1 tooth late")));
  EXPECT_THAT(done.lines, Contains(HasSubstr("phaser's base position")));
}

// Source: trade.md 7 question 5: 6° is no jump; 6.A: 2.2° late is 0.13 of a tooth, wear.
TEST(Teeth, CallsWearNoTooth) {
  EXPECT_THAT(answered(kTeeth, with(kQuestionFour, {{"angle", "6 deg crank late"}})).lines.front(),
              HasSubstr("not a whole tooth"));
  const Answer wear = answered(kTeeth, {{"angle", "2.2 deg crank late"}, {"teeth", "42"}});
  EXPECT_THAT(wear.lines.front(), HasSubstr("No tooth"));
  EXPECT_THAT(wear.lines.front(), HasSubstr("0.13 of a tooth"));
  EXPECT_THAT(all_of(wear.cautions), Not(HasSubstr("DO NOT TURN")));
}

TEST(Teeth, SaysThatWearMakesNothingEarly) {
  const Answer done = answered(kTeeth, with(kQuestionFour, {{"angle", "17 deg crank late"}}));
  EXPECT_THAT(done.lines.front(), HasSubstr("1.95° early (crank)"));
  EXPECT_THAT(done.lines, Contains(HasSubstr("never early")));
}

TEST(Teeth, TakesCamDegreesAndTheCrankSprocket) {
  const Answer done = answered(
      kTeeth, {{"angle", "10.7 deg"}, {"of", "cam"}, {"direction", "late"}, {"teeth", "19 crank"}});
  EXPECT_THAT(done.lines.front(), HasSubstr("1 tooth late (18.95° crank, 9.47° cam)"));
}

TEST(Teeth, AsksBackWhatIsNeverGuessed) {
  EXPECT_EQ(asked(kTeeth, {}).input, "angle");
  EXPECT_EQ(asked(kTeeth, with(kQuestionFour, {{"teeth", ""}})).input, "teeth");
  const Ask degrees = asked(kTeeth, with(kQuestionFour, {{"angle", "21.4 deg late"}}));
  EXPECT_EQ(degrees.input, "of");
  EXPECT_EQ(degrees.choices, "crank|cam");
  EXPECT_EQ(asked(kTeeth, with(kQuestionFour, {{"angle", "21.4 late"}})).input, "angle");
  EXPECT_EQ(asked(kTeeth, with(kQuestionFour, {{"angle", "21.4 deg crank"}})).input, "direction");
  EXPECT_EQ(asked(kTeeth, with(kQuestionFour, {{"angle", "-21.4 deg crank"}})).input, "angle");
  EXPECT_EQ(asked(kTeeth, with(kQuestionFour, {{"direction", "early"}})).input, "direction");
  const Ask sprocket = asked(kTeeth, with(kQuestionFour, {{"teeth", "19"}}));
  EXPECT_EQ(sprocket.input, "teeth");
  EXPECT_THAT(sprocket.sentence, HasSubstr("19 crank"));
}

TEST(Teeth, RefusesWhatIsNoSprocketAndNoAngle) {
  EXPECT_EQ(asked(kTeeth, with(kQuestionFour, {{"teeth", "2"}})).input, "teeth");
  EXPECT_EQ(asked(kTeeth, with(kQuestionFour, {{"teeth", "2000000000 crank"}})).input, "teeth");
  EXPECT_EQ(asked(kTeeth, with(kQuestionFour, {{"angle", "9000 deg crank late"}})).input, "angle");
  EXPECT_EQ(asked(kTeeth, with(kQuestionFour, {{"angle", "21 kPa late"}})).input, "angle");
  const Ask far = asked(kTeeth, with(kQuestionFour, {{"angle", "400 deg crank late"}}));
  EXPECT_EQ(far.input, "angle");
  EXPECT_THAT(far.sentence, HasSubstr("21 teeth of a sprocket with 38"));
  answered(kTeeth, with(kQuestionFour, {{"angle", "340 deg crank late"}}));
}

TEST(Teeth, AToothOffForbidsTurningAndWearDoesNot) {
  EXPECT_THAT(answered(kTeeth, kQuestionFour).forbids,
              HasSubstr("a camshaft is off: 1 tooth late"));
  const Typed wear = with(kQuestionFour, {{"angle", "2.2 deg crank late"}});
  EXPECT_EQ(answered(kTeeth, wear).forbids, "");
}

}  // namespace
}  // namespace tautmark::quick
