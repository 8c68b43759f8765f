// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::AllOf;
using ::testing::Contains;
using ::testing::HasSubstr;

const Typed kHalf = {{"stands", "half a tooth off"}, {"against", "casting"}};

// trade.md 7, question 3.
TEST(Marks, HalfAToothIsNotFineAndNotTheDeck) {
  const auto lines = answered(kMarks, kHalf).lines;
  EXPECT_THAT(lines, Contains(HasSubstr("not fine")));
  EXPECT_THAT(lines, Contains(AllOf(HasSubstr("phaser not at its base"),
                                    HasSubstr("Not a surfaced head"))));
  EXPECT_FALSE(answered(kMarks, kHalf).verdict);
}

// trade.md 7, question 2.
TEST(Marks, AColoredLinkAwayAfterTurningIsNormal) {
  const auto lines =
      answered(kMarks, {{"stands", "two teeth left"}, {"against", "link"}, {"turned", "yes"}})
          .lines;
  EXPECT_THAT(lines, Contains(HasSubstr("is normal then")));
}

// A mark at the top of a wheel that runs clockwise: right is with rotation, early (the front view
// of a clock); from the flywheel end it is the other way round.
TEST(Marks, LeftAndRightNeedTheViewingEnd) {
  const Typed right = {{"stands", "one tooth right"},
                       {"against", "casting"},
                       {"rotation", "clockwise"},
                       {"place", "12 o'clock"},
                       {"teeth", "38"}};
  EXPECT_THAT(answered(kMarks, with(right, {{"seen_from", "front"}})).lines,
              Contains(HasSubstr("1 tooth early: 18.95° crank")));
  EXPECT_THAT(answered(kMarks, with(right, {{"seen_from", "flywheel end"}})).lines,
              Contains(HasSubstr("1 tooth late: 18.95° crank")));
  EXPECT_THAT(answered(kMarks, right).lines,
              Contains(AllOf(HasSubstr("early"), HasSubstr("or"), HasSubstr("late"))));
}

TEST(Marks, CannotSeeIsAnAnswer) {
  for (const char* words : {"cannot see", "paint gone"})
    EXPECT_THAT(answered(kMarks, {{"stands", words}, {"against", "casting"}}).lines,
                Contains(HasSubstr("Paint marks of your own")));
}

TEST(Marks, AsksBackWhatItDoesNotUnderstand) {
  EXPECT_EQ(asked(kMarks, {{"against", "casting"}}).input, "stands");
  EXPECT_EQ(asked(kMarks, {{"stands", "a bit off, say 9 degrees"}, {"against", "casting"}}).input,
            "stands");
  EXPECT_EQ(asked(kMarks, with(kHalf, {{"place", "upstairs"}})).input, "place");
}

TEST(Marks, WhatIsOffTheCastingForbidsTurning) {
  const auto forbids = [](Typed typed) { return answered(kMarks, std::move(typed)).forbids; };
  EXPECT_THAT(forbids({{"stands", "two teeth late"}, {"against", "casting"}}),
              HasSubstr("a mark is off: 2 teeth late"));
  EXPECT_THAT(forbids(kHalf), HasSubstr("a mark is off"));
  EXPECT_EQ(forbids({{"stands", "on the mark"}, {"against", "casting"}}), "");
  EXPECT_EQ(forbids({{"stands", "two teeth left"}, {"against", "link"}, {"turned", "yes"}}), "");
  EXPECT_EQ(forbids({{"stands", "cannot see"}, {"against", "casting"}}), "");
}

}  // namespace
}  // namespace tautmark::quick
