// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

// Source: trade.md 7, question 14.
TEST(Torque, QuestionFourteen) {
  const Ask bare = asked(kTorque, {{"torque", "106"}, {"thread", "M6"}});
  EXPECT_EQ(bare.input, "torque");
  EXPECT_THAT(bare.sentence, HasSubstr("12.0 N·m"));
  EXPECT_THAT(bare.sentence, HasSubstr("144 N·m"));
  const Answer inch = answered(kTorque, {{"torque", "106 lbf·in"}, {"thread", "M6"}});
  EXPECT_THAT(inch.lines.front(), HasSubstr("12.0 N·m (8.83 lbf·ft, 106 lbf·in)"));
  EXPECT_THAT(all_of(inch.lines), HasSubstr("can belong to M6"));
  EXPECT_THAT(inch.cautions, Contains(HasSubstr("which wrench is in hand")));
  const Answer foot = answered(kTorque, {{"torque", "106 lbf·ft"}, {"thread", "M6"}});
  EXPECT_THAT(all_of(foot.lines), HasSubstr("more than the bolt bears"));
  EXPECT_THAT(all_of(foot.lines), HasSubstr("lbf·in"));
  EXPECT_FALSE(foot.verdict);
}

TEST(Torque, ChoosesTheWrenchOrRefusesIt) {
  const Typed cap = {{"torque", "12 N·m"}, {"thread", "M6x1"}};
  EXPECT_THAT(all_of(answered(kTorque, with(cap, {{"wrench", "40..200 N·m"}})).lines),
              HasSubstr("Not with that wrench: too large"));
  EXPECT_THAT(all_of(answered(kTorque, with(cap, {{"wrench", "5..25 N·m"}})).lines),
              HasSubstr("can set it"));
  EXPECT_EQ(asked(kTorque, with(cap, {{"wrench", "at least 5 N·m"}})).input, "wrench");
  // A figure that cannot be meant is not set, whatever the wrench could.
  const Answer wrong =
      answered(kTorque, {{"torque", "106 lbf·ft"}, {"thread", "M6"}, {"wrench", "40..200 N·m"}});
  EXPECT_THAT(all_of(wrong.lines), HasSubstr("before the sheet is checked"));
  EXPECT_THAT(all_of(wrong.lines), Not(HasSubstr("can set it")));
}

// fasteners.md 3.2: no clamp load without pitch, class and friction; a range with them.
TEST(Torque, ShowsAClampLoadOnlyWithEverythingKnown) {
  const Typed known = {
      {"torque", "50 N·m"}, {"thread", "M10x1.5"}, {"class", "10.9"}, {"condition", "oiled"}};
  EXPECT_THAT(all_of(answered(kTorque, known).steps), HasSubstr("clamp load"));
  for (const auto& [input, said] : {std::pair{"condition", "threadlocker"}, std::pair{"class", ""},
                                    std::pair{"thread", "M10"}}) {
    const Answer done = answered(kTorque, with(known, {{input, said}}));
    EXPECT_THAT(all_of(done.steps), Not(HasSubstr("clamp load"))) << input;
    EXPECT_THAT(all_of(done.assumed), HasSubstr("no clamp load")) << input;
  }
}

TEST(Torque, AsksBack) {
  EXPECT_EQ(asked(kTorque, {{"torque", "30 lb"}, {"thread", "M8"}}).input, "torque");
  EXPECT_EQ(asked(kTorque, {{"torque", "1e300 N·m"}, {"thread", "M8"}}).input, "torque");
  EXPECT_EQ(asked(kTorque, {{"torque", "30 N·m"}, {"thread", "big"}}).input, "thread");
  EXPECT_EQ(asked(kTorque, {{"torque", "30 N·m"}, {"thread", "M8"}, {"class", "7.3"}}).input,
            "class");
}

}  // namespace
}  // namespace tautmark::quick
