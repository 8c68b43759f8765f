// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

const Typed kVessgarth = {{"links", "124"}, {"crank", "21"}, {"cam", "42"}};

// Source: trade.md 7 question 2: 124 turns (Vessgarth), 138 (Quellmere); sprocket marks every two.
TEST(Returns, IsAsPrintedForTheInventedFamilies) {
  const Answer done = answered(kReturns, kVessgarth);
  EXPECT_THAT(done.lines.front(), HasSubstr("after 124 crank turns"));
  EXPECT_THAT(done.lines, Contains(HasSubstr("every 2 crank turns")));
  EXPECT_THAT(done.lines, Contains(HasSubstr("are normal")));
  EXPECT_THAT(answered(kReturns, {{"links", "138"}, {"crank", "19"}, {"cam", "38"}}).lines.front(),
              HasSubstr("after 138 crank turns"));
}

TEST(Returns, SaysWhenItIsNotTwoToOne) {
  EXPECT_THAT(answered(kReturns, {{"links", "80"}, {"crank", "20"}, {"cam", "30"}}).lines,
              Contains(HasSubstr("not 2 to 1")));
}

TEST(Returns, AsksWhatIsMissingOrImpossible) {
  EXPECT_EQ(asked(kReturns, {}).input, "links");
  EXPECT_EQ(asked(kReturns, with(kVessgarth, {{"links", "2"}})).input, "links");
  EXPECT_EQ(asked(kReturns, with(kVessgarth, {{"crank", "0"}})).input, "crank");
  EXPECT_EQ(asked(kReturns, with(kVessgarth, {{"cam", "forty"}})).input, "cam");
  EXPECT_THAT(asked(kReturns, {{"links", "124"}, {"crank", "42"}, {"cam", "21"}}).sentence,
              HasSubstr("swapped"));
}

}  // namespace
}  // namespace tautmark::quick
