// SPDX-License-Identifier: Apache-2.0
// The card on the phone. The rules themselves are tested in judge/turning_test.cc.
#include <algorithm>
#include <sstream>

#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

const Typed kIntact = {{"apart", "partly"},       {"turned", "no"},
                       {"chain", "on"},           {"valves", "in place"},
                       {"marks", "counted"},      {"since", "yes"},
                       {"phaser", "locked"},      {"checked", "by hand both ways"},
                       {"tensioner", "released"}, {"variant", "yes"},
                       {"rotation", "clockwise"}, {"seen_from", "front"},
                       {"dropped", "no"},         {"resistance", "no"}};

TEST(Turn, AnswersWhenNothingIsSaid) {
  const Answer card = answered(kTurn, {});
  EXPECT_EQ(card.lines.front(), "DO NOT TURN.");
  ASSERT_EQ(card.lines.size(), 5u);
  EXPECT_THAT(card.lines[1], StartsWith("Because: "));
  EXPECT_THAT(card.lines[2], StartsWith("Instead: "));
  EXPECT_THAT(card.lines[3], StartsWith("What would change it: "));
  EXPECT_THAT(card.lines[4], StartsWith("Read aloud: "));
  EXPECT_FALSE(card.cautions.empty());
  EXPECT_FALSE(card.verdict);
}

TEST(Turn, IsAllowedOnlyWithEveryFact) {
  EXPECT_THAT(answered(kTurn, kIntact).lines.front(),
              StartsWith("TURN ONLY by hand in running direction, clockwise seen from the front"));
  for (const auto& [input, text] : kIntact) {
    if (input == "turned") continue;  // the marks were seen after it
    EXPECT_EQ(answered(kTurn, with(kIntact, {{input, ""}})).lines.front(), "DO NOT TURN.") << input;
    EXPECT_EQ(answered(kTurn, with(kIntact, {{input, "unknown"}})).lines.front(), "DO NOT TURN.")
        << input;
  }
}

TEST(Turn, TurnsTheDirectionToTheFront) {
  EXPECT_THAT(answered(kTurn, with(kIntact, {{"seen_from", "flywheel end"}})).lines.front(),
              HasSubstr("counterclockwise seen from the front"));
}

TEST(Turn, TeethOffAreWrongMarksWhateverElseIsSaid) {
  const Answer card = answered(
      kTurn, with(kIntact, {{"teeth", "2"}, {"camshaft", "intake"}, {"direction", "late"}}));
  EXPECT_EQ(card.lines.front(), "DO NOT TURN.");
  EXPECT_THAT(card.lines[1], HasSubstr("the intake camshaft stands 2 teeth late"));
  for (const auto& [input, said] : {std::pair{"direction", "early"}, {"camshaft", "exhaust"}})
    EXPECT_EQ(answered(kTurn, with(kIntact, {{input, said}})).lines.front(), "DO NOT TURN.");
  for (const char* input : {"direction", "camshaft"})
    EXPECT_THAT(answered(kTurn, with(kIntact, {{input, "unknown"}})).lines.front(),
                HasSubstr("TURN ONLY"));
}

TEST(Turn, AsksBackWhatItDoesNotUnderstand) {
  const Ask ask = asked(kTurn, {{"chain", "sideways"}});
  EXPECT_EQ(ask.input, "chain");
  EXPECT_THAT(ask.choices, HasSubstr("unknown"));
}

TEST(Turn, EveryChoiceOfTheTableIsUnderstoodAndUnknownAllowsNothing) {
  for (const Input& input : kTurn.inputs) {
    std::string choices(input.choices);
    if (choices.empty()) continue;
    EXPECT_THAT(choices, ::testing::EndsWith("|unknown"));
    std::replace(choices.begin(), choices.end(), '|', '\n');
    std::istringstream each(choices);
    for (std::string choice; std::getline(each, choice);)
      EXPECT_THAT(answered(kTurn, {{std::string(input.name), choice}}).lines.front(),
                  Not(HasSubstr("TURN ONLY")));
  }
}

TEST(Turn, KeepsTheKnownFactThatForbidsWhateverIsWanted) {
  const Typed off = with(kIntact, {{"teeth", "2"}, {"camshaft", "intake"}, {"direction", "late"}});
  for (const char* want : {"turn", "starter"})
    EXPECT_THAT(answered(kTurn, with(off, {{"want", want}})).forbids,
                HasSubstr("the intake camshaft stands 2 teeth late"));
  EXPECT_THAT(answered(kTurn, with(kIntact, {{"dropped", "yes"}})).forbids, HasSubstr("dropped"));
  EXPECT_EQ(answered(kTurn, kIntact).forbids, "");
  EXPECT_EQ(answered(kTurn, {}).forbids, "");  // nothing is known: that is no fact
}

}  // namespace
}  // namespace tautmark::quick
