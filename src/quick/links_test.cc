// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

const Typed kCounted = {{"counts", "61 60 17"}, {"counted", "pitches"}, {"links", "138"}};
const std::initializer_list<std::pair<std::string, std::string>> kSheet = {
    {"expected", "61 61 16"}, {"expected_counted", "pitches"}};

TEST(Links, SaysThatASumProvesNoMarks) {
  const Answer done = answered(kLinks, kCounted);
  EXPECT_THAT(done.lines.front(), HasSubstr("61 + 60 + 17 = 138"));
  EXPECT_EQ(done.verdict, Verdict::open);
  EXPECT_EQ(done.finding->open_because, OpenBecause::not_in_drive);
  EXPECT_THAT(done.lines, Contains(HasSubstr("does not prove the marks")));
}

// Source: trade.md 7 question 21 and 6.B: 61 + 60 + 17 shows a moved sprocket (intake late).
TEST(Links, FindsTheMovedSprocketOfQuestionTwentyOne) {
  const Answer done = answered(kLinks, with(kCounted, kSheet));
  EXPECT_EQ(done.verdict, Verdict::fail);
  EXPECT_THAT(done.lines.front(), HasSubstr("strand 2 (60) is 1 too few"));
  EXPECT_THAT(done.lines.front(), HasSubstr("strand 3 (17) is 1 too many"));
  EXPECT_THAT(done.lines, Contains(HasSubstr("between strand 2 and strand 3 is 1 tooth off")));
  EXPECT_THAT(done.lines, Contains(HasSubstr("late if the chain runs from it into strand 3")));
  EXPECT_THAT(all_of(done.cautions), HasSubstr("DO NOT TURN"));
}

TEST(Links, SaysLateOrEarlyWhenTheOrderIsKnown) {
  const Typed typed = with(kCounted, kSheet);
  EXPECT_THAT(answered(kLinks, with(typed, {{"order", "running"}})).lines,
              Contains(HasSubstr("1 tooth late against the others")));
  // Against the running direction the strands arrive and leave the other way around; a list that
  // is turned around and a turned direction must say the same.
  EXPECT_THAT(
      answered(
          kLinks,
          with(typed, {{"counts", "17 60 61"}, {"expected", "16 61 61"}, {"order", "against"}}))
          .lines,
      Contains(HasSubstr("1 tooth late against the others")));
}

// Source: trade.md 7 question 21: a sum of 137 is a miscount or a wrong chain.
TEST(Links, CallsAWrongSumAMiscount) {
  const Answer done = answered(kLinks, with(kCounted, {{"counts", "61 60 16"}}));
  EXPECT_EQ(done.finding->open_because, OpenBecause::implausible);
  EXPECT_THAT(done.lines.front(), HasSubstr("137"));
  EXPECT_THAT(done.lines.front(), HasSubstr("miscount or another chain, not a jumped tooth"));
}

TEST(Links, SaysWhenAnotherWayOfCountingFits) {
  const Answer done =
      answered(kLinks, {{"counts", "64 62"}, {"counted", "pitches"}, {"links", "124"}});
  EXPECT_THAT(done.lines, Contains(HasSubstr("both marked links included")));
  const Answer both =
      answered(kLinks, {{"counts", "64 62"}, {"counted", "both marks"}, {"links", "124"}});
  EXPECT_THAT(both.lines.front(), HasSubstr("63 + 61 = 124"));
}

TEST(Links, PassesOnlyAgainstADocument) {
  const Typed right = with(with(kCounted, kSheet), {{"counts", "61 61 16"}});
  EXPECT_EQ(answered(kLinks, right).finding->open_because, OpenBecause::limit_origin);
  const Answer maker =
      answered(kLinks, with(right, {{"origin", "maker"}, {"source", "manual, page 9"}}));
  EXPECT_EQ(maker.verdict, Verdict::pass);
  EXPECT_THAT(maker.cautions, Contains(HasSubstr("wrong on its shaft")));
}

TEST(Links, NamesTheStrandsOfTwo) {
  const Answer done = answered(kLinks, {{"counts", "64 60"},
                                        {"counted", "pitches"},
                                        {"links", "124"},
                                        {"expected", "63 61"},
                                        {"expected_counted", "pitches"}});
  EXPECT_EQ(done.verdict, Verdict::fail);
  EXPECT_THAT(done.lines, Contains(HasSubstr("late if the strand with too many is the tight one")));
}

TEST(Links, AsksWhatWasCounted) {
  EXPECT_EQ(asked(kLinks, {}).input, "counts");
  const Ask ask = asked(kLinks, with(kCounted, {{"counted", ""}}));
  EXPECT_EQ(ask.input, "counted");
  EXPECT_EQ(ask.choices, "pitches|both marks|between");
  EXPECT_EQ(asked(kLinks, with(kCounted, {{"counted", "links"}})).input, "counted");
  EXPECT_EQ(asked(kLinks, with(kCounted, {{"links", ""}})).input, "links");
  EXPECT_EQ(asked(kLinks, with(kCounted, {{"expected", "61 61 16"}})).input, "expected_counted");
}

TEST(Links, RefusesCountsThatCannotBe) {
  EXPECT_EQ(asked(kLinks, with(kCounted, {{"counts", "138"}})).input, "counts");
  EXPECT_EQ(asked(kLinks, with(kCounted, {{"counts", "61 0 77"}})).input, "counts");
  EXPECT_EQ(asked(kLinks, with(kCounted, {{"links", "1"}})).input, "links");
  EXPECT_EQ(asked(kLinks, with(with(kCounted, kSheet), {{"expected", "61 61"}})).input, "expected");
  EXPECT_EQ(asked(kLinks, with(with(kCounted, kSheet), {{"expected", "61 61 17"}})).input,
            "expected");
}

}  // namespace
}  // namespace tautmark::quick
