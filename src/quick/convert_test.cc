// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

std::string said(const char* value) { return all_of(answered(kConvert, {{"value", value}}).lines); }

// Source: trade.md 7 question 14 and 6.A: 106 lbf·in = 12 N·m; 106 lbf·ft would be 144 N·m.
TEST(Convert, SpellsOutTheTorqueOfQuestionFourteen) {
  const Answer done = answered(kConvert, {{"value", "106 lbf·in"}});
  EXPECT_THAT(done.lines.front(), HasSubstr("106 pound-force inches"));
  EXPECT_THAT(done.lines.front(), HasSubstr("12.0 newton meters"));
  EXPECT_THAT(done.lines.front(), HasSubstr("8.83 pound-force feet"));
  EXPECT_THAT(done.cautions, Contains(HasSubstr("factor of 12")));
  EXPECT_THAT(done.cautions, Contains(HasSubstr("144 N·m")));
  EXPECT_THAT(done.cautions, Contains(HasSubstr("which wrench is in hand")));
  EXPECT_FALSE(done.verdict);
}

TEST(Convert, AsksBackABareNumberAndABareLb) {
  const Ask bare = asked(kConvert, {{"value", "106"}});
  EXPECT_EQ(bare.input, "value");
  EXPECT_THAT(bare.sentence, HasSubstr("12.0 N·m"));
  EXPECT_THAT(bare.sentence, HasSubstr("144 N·m"));
  const Ask lb = asked(kConvert, {{"value", "106 lb"}});
  EXPECT_THAT(lb.sentence, HasSubstr("lbf·in"));
  EXPECT_THAT(lb.sentence, HasSubstr("lbf·ft"));
}

// Source: trade.md 6.A "35 N·m (25.8 lbf·ft)"; fasteners.md F1.9 30 psi = 206.84 kPa; F1.8 0.05 mm.
TEST(Convert, KeepsTheResolutionThatWasTyped) {
  EXPECT_THAT(said("35 N·m"), HasSubstr("25.8 lbf·ft"));
  EXPECT_THAT(said("12 N·m"), HasSubstr("106 lbf·in"));
  EXPECT_THAT(said("30 psi"), HasSubstr("207 kPa"));
  EXPECT_THAT(said("30 psi"), HasSubstr("2.07 bar"));
  EXPECT_THAT(said("0.05 mm"), HasSubstr("0.0020 in"));
  EXPECT_THAT(said("1.1024 in"), HasSubstr("28.001 mm"));
}

TEST(Convert, WarnsOfALargeTorqueOnASmallBolt) {
  EXPECT_THAT(answered(kConvert, {{"value", "106 ft-lb"}}).cautions, Contains(HasSubstr("M6")));
}

TEST(Convert, RefusesOtherKinds) {
  EXPECT_THAT(asked(kConvert, {{"value", "95 degC"}}).sentence, HasSubstr("temperature"));
  EXPECT_EQ(asked(kConvert, {{"value", "twelve N·m"}}).input, "value");
}

}  // namespace
}  // namespace tautmark::quick
