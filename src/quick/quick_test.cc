// SPDX-License-Identifier: Apache-2.0
// What holds for every question of the table.
#include "quick/quick.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <set>

#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::Pair;

TEST(Table, HasUniqueNamesAndInputsThatCanBeAsked) {
  std::set<std::string_view> names;
  for (const QuickQuestion* question : kQuickQuestions) {
    EXPECT_TRUE(names.insert(question->name).second) << question->name;
    EXPECT_FALSE(question->help.empty()) << question->name;
    EXPECT_NE(question->run, nullptr);
    std::set<std::string_view> inputs;
    for (const Input& input : question->inputs) {
      EXPECT_TRUE(inputs.insert(input.name).second) << question->name << " " << input.name;
      EXPECT_TRUE(input.ask.ends_with("?") || input.ask.ends_with(".") || input.ask.ends_with(")"))
          << input.name;
      EXPECT_FALSE(input.example.empty()) << question->name << " " << input.name;
      EXPECT_EQ(input.form == Form::choice, !input.choices.empty()) << input.name;
    }
  }
}

TEST(FindQuestion, KnowsNamesAndAliases) {
  EXPECT_EQ(find_question("clearance"), &kClearance);
  EXPECT_EQ(find_question(" Dead-Centre "), &kDeadCenter);
  EXPECT_EQ(find_question("centreline"), &kCenterline);
  EXPECT_EQ(find_question("units"), &kConvert);
  EXPECT_EQ(find_question("weather"), nullptr);
  EXPECT_EQ(find_question(""), nullptr);
}

TEST(Answer, AsksForRequiredInputsInOrder) {
  EXPECT_EQ(asked(kReturns, {}).input, "links");
  EXPECT_EQ(asked(kReturns, {{"links", "124"}}).input, "crank");
  EXPECT_EQ(asked(kReturns, {{"links", "124"}, {"crank", "  "}}).input, "crank");
  const Ask cam = asked(kReturns, {{"links", "124"}, {"crank", "21"}});
  EXPECT_EQ(cam.input, "cam");
  EXPECT_THAT(cam.sentence, HasSubstr("teeth"));
  EXPECT_EQ(cam.example, "42");
}

TEST(Answer, NamesAnInputThatIsNotThere) {
  const Ask ask = asked(kReturns, {{"link", "124"}});
  EXPECT_EQ(ask.input, "link");
  EXPECT_THAT(ask.sentence, HasSubstr("links"));
}

TEST(Answer, KeepsWhatWasTyped) {
  const Answer done =
      answered(kReturns, {{"links", " 124 links "}, {"crank", "21"}, {"cam", "42"}});
  EXPECT_EQ(done.question, "returns");
  EXPECT_THAT(done.asked, Contains(Pair("links", "124 links")));
  EXPECT_EQ(done.asked.size(), 3u);
}

// Every example of the table is understood by its own question: it never comes back as the input
// that is asked about.
TEST(Answer, UnderstandsTheExamplesOfTheTable) {
  for (const QuickQuestion* question : kQuickQuestions) {
    Typed typed;
    for (const Input& input : question->inputs) typed[std::string(input.name)] = input.example;
    if (question == &kClearance) typed.erase("clearance");  // bore and journal are there
    const Outcome outcome = answer(*question, typed);
    if (const auto* ask = std::get_if<Ask>(&outcome)) {
      ADD_FAILURE() << question->name << " asks for " << ask->input << ": " << ask->sentence;
    }
  }
}

// What is printed as the example of a question: its required inputs, and the first two where the
// question begins with inputs that may be left out. It is answered as it stands.
TEST(Answer, AnswersThePrintedExample) {
  for (const QuickQuestion* question : kQuickQuestions) {
    Typed typed;
    const bool first_is_optional = question->inputs.front().need == Need::optional;
    for (std::size_t i = 0; i < question->inputs.size(); ++i) {
      const Input& input = question->inputs[i];
      if (input.need == Need::required || (first_is_optional && i < 2))
        typed[std::string(input.name)] = input.example;
    }
    EXPECT_FALSE(answered(*question, typed).lines.empty()) << question->name;
  }
}

// A verdict always has its finding, and a finding that is open says why.
void expect_consistent(const Answer& done) {
  EXPECT_THAT(done.lines, Not(IsEmpty()));
  EXPECT_EQ(done.verdict.has_value(), done.finding.has_value());
  if (!done.finding) return;
  EXPECT_EQ(*done.verdict, done.finding->verdict);
  EXPECT_EQ(done.finding->verdict == Verdict::open, done.finding->open_because.has_value());
  EXPECT_FALSE(done.finding->why.empty());
}

// Whatever is said, there is an answer or a question back, never a crash; and nothing passes on a
// limit without a document.
RC_GTEST_PROP(Answer, NeverFallsOverWhateverIsSaid, ()) {
  static const std::vector<std::string> kPieces = {
      "1",   "38",    "0.108", "-3",           "±",       " ",     "mm",
      "deg", "crank", "cam",   "late",         "early",   "lb",    "in",
      "N·m", ",",     "/",     "..",           "at most", "%",     "both",
      "pit", "1e9",   "∞",     "999999999999", "unknown", "maker", "+/-",
      ";",   "\xff",  "0",     "after",        "straight"};
  const auto* question =
      kQuickQuestions[*rc::gen::inRange<std::size_t>(0, std::size(kQuickQuestions))];
  Typed typed;
  for (const Input& input : question->inputs) {
    const int how = *rc::gen::inRange(0, 4);
    if (how == 0) continue;
    if (how == 1) {
      typed[std::string(input.name)] = input.example;
      continue;
    }
    std::string text;
    for (const std::string& piece :
         *rc::gen::container<std::vector<std::string>>(rc::gen::elementOf(kPieces))) {
      text += piece + " ";
    }
    typed[std::string(input.name)] = text;
  }
  if (question->inputs.back().name == std::string_view("source")) typed.erase("source");
  const Outcome outcome = answer(*question, typed);
  if (const auto* ask = std::get_if<Ask>(&outcome)) {
    RC_ASSERT(!ask->sentence.empty());
    RC_ASSERT(find_input(*question, ask->input) != nullptr);
  } else {
    const auto& done = std::get<Answer>(outcome);
    expect_consistent(done);
    RC_ASSERT(done.verdict != Verdict::pass);
  }
}

TEST(Answer, SaysDoNotTurnWhereTurningComesUp) {
  for (const auto& [question, typed] :
       {std::pair<const QuickQuestion*, Typed>{&kReturns,
                                               {{"links", "124"}, {"crank", "21"}, {"cam", "42"}}},
        {&kDeadCenter, {{"before", "24.5 deg crank"}, {"after", "22.1 deg crank"}}},
        {&kCenterline, {{"pairs", "70.6/174.4 deg crank"}, {"side", "after"}}},
        {&kTeeth, {{"angle", "21.4 deg crank late"}, {"teeth", "38"}}}}) {
    const std::string cautions = all_of(answered(*question, typed).cautions);
    EXPECT_THAT(cautions, HasSubstr("DO NOT TURN"));
    EXPECT_THAT(cautions, HasSubstr("by hand only, in the running direction"));
    EXPECT_THAT(cautions, HasSubstr("first resistance"));
    EXPECT_THAT(cautions, HasSubstr("never on the starter"));
  }
}

}  // namespace
}  // namespace tautmark::quick
