// SPDX-License-Identifier: Apache-2.0
#include "casework/mark_words.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace tautmark {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

// One line of what was read: "off 3 left", "off 1? early", "right", "at 60", "gone".
std::string heard(std::string_view text) {
  static constexpr const char* kSeen[] = {"right", "off", "at", "half turn", "cannot see", "gone"};
  static constexpr const char* kWays[] = {"early", "late",  "with",      "against",
                                          "left",  "right", "clockwise", "counterclockwise",
                                          "up",    "down"};
  const auto words = read_mark_words(text);
  if (!words) return "? " + words.error().problem;
  std::string line = kSeen[static_cast<int>(words->seen)];
  if (words->half_teeth) line += fmt::format(" {}", *words->half_teeth);
  if (words->doubt) line += "?";
  if (words->way) line += fmt::format(" {}", kWays[static_cast<int>(*words->way)]);
  if (words->clock) line += fmt::format(" @{:g}", in_deg(*words->clock));
  if (!words->sort.empty()) line += " " + words->sort;
  if (!words->color.empty()) line += " " + words->color;
  if (words->of_link) line += " link";
  for (const std::string& word : words->unheard) line += " !" + word;
  return line;
}

TEST(MarkWords, AreReadAsTheyAreSaid) {
  const struct {
    const char *text, *line;
  } kRows[] = {
      {"right", "right"},
      {"Right on the mark.", "right"},
      {"spot on", "right"},
      {"lined up", "right"},
      {"no tooth off", "right"},
      {"0 teeth", "right 0"},
      {"about right", "right?"},
      {"dot is on the mark", "right dot"},
      {"one tooth late", "off 2 late"},
      {"1 tooth late", "off 2 late"},
      {"a tooth and a half left", "off 3 left"},
      {"tooth and a half left", "off 3 left"},
      {"one and a half teeth early", "off 3 early"},
      {"1.5 teeth early", "off 3 early"},
      {"1,5 teeth early", "off 3 early"},
      {"1 1/2 teeth early", "off 3 early"},
      {"1½ teeth early", "off 3 early"},
      {"two teeth and a half behind", "off 5 against"},
      {"half a tooth", "off 1"},
      {"about half a tooth off", "off 1?"},
      {"½ tooth late?", "off 1? late"},
      {"half-tooth to the right", "off 1 right"},
      {"a tooth right", "off 2 right"},
      {"one tooth right of the pointer", "off 2 right"},
      {"off to the right", "off right"},
      {"2 teeth with the rotation", "off 4 with"},
      {"2 teeth ahead of the notch", "off 4 with notch"},
      {"three teeth against running direction", "off 6 against"},
      {"a tooth clockwise", "off 2 clockwise"},
      {"a tooth anti-clockwise", "off 2 counterclockwise"},
      {"one tooth up", "off 2 up"},
      {"late", "off late"},
      {"off", "off"},
      {"at 2 o'clock", "at @60"},
      {"at 2 o’clock", "at @60"},
      {"dot at twelve o'clock", "at @0 dot"},
      {"2:30", "at @75"},
      {"one tooth left at the top", "off 2 left @0"},
      {"one tooth left at 6 o clock", "off 2 left @180"},
      {"half a turn away", "half turn"},
      {"180°", "half turn"},
      {"upside down", "half turn"},
      {"cannot see", "cannot see"},
      {"can’t see it", "cannot see"},
      {"hidden by the cover", "cannot see"},
      {"paint gone", "gone"},
      {"cannot see, the paint is gone", "gone"},
      {"colored link one tooth ahead", "off 2 with link"},
      {"copper link 2 links behind", "off 4 against copper link"},
      {"one tooth early, grease everywhere", "off 2 early !grease !everywhere"},
  };
  for (const auto& row : kRows) EXPECT_EQ(heard(row.text), row.line) << row.text;
}

TEST(MarkWords, AskBackWhatCannotBeTaken) {
  const struct {
    const char *text, *problem, *hint;
  } kRows[] = {
      {"", "how does the mark stand?", "1 tooth late"},
      {"blue", "how does the mark stand?", "paint gone"},
      {"not right", "\"not\" leaves it open", "say how it stands"},
      {"isn't right", "\"isn't\" leaves it open", "say how it stands"},
      {"one or two teeth late", "of what?", "1 tooth"},
      {"1-2 teeth", "of what?", "1 tooth"},
      {"1 tooth late, 2 teeth early", "two", "one"},
      {"1 tooth 2 teeth", "two amounts", "about"},
      {"a tooth left, late", "two ways", "one of them"},
      {"a quarter of a tooth", "\"quarter\" leaves", "whole and half"},
      {"0.7 teeth", "no number of teeth", "1.5"},
      {"3/4 tooth", "no number of teeth", "1.5"},
      {"5 degrees late", "of what?", "teeth"},
      {"1 late", "of what?", "1 tooth"},
      {"a bit late", "\"bit\" leaves", "half a tooth"},
      {"at 13 o'clock", "1 to 12", "2 o'clock"},
      {"2:75", "no time", "2 o'clock"},
      {"paint gone, 1 tooth late", "exclude", "one of them"},
      {"half a turn away, cannot see", "exclude", "one of them"},
      {"lined up, late", "right, and off", "1 tooth late"},
      {"one tooth before the mark", "\"before\" leaves", "ahead of it or behind"},
      {"999999999999999999 teeth", "no number", "1.5"},
  };
  for (const auto& row : kRows) {
    const auto words = read_mark_words(row.text);
    ASSERT_FALSE(words) << row.text << ": " << heard(row.text);
    EXPECT_THAT(words.error().problem, HasSubstr(row.problem)) << row.text;
    EXPECT_THAT(words.error().hint, HasSubstr(row.hint)) << row.text;
  }
  EXPECT_FALSE(read_mark_words(std::string(100'000, 'a')));
}

TEST(MarkWords, PointAtTheWord) {
  const auto words = read_mark_words("stands a quarter left");
  ASSERT_FALSE(words);
  EXPECT_EQ(words.error().offset, 9u);
  EXPECT_EQ(words.error().length, 7u);
}

// Any bytes: no crash, and an error lies inside the text.
RC_GTEST_PROP(MarkWordsAnyText, IsReadOrRefusedInPlace, (const std::string& junk)) {
  static const std::vector<std::string> kPieces = {
      "a",  "half", "tooth", "and",        "1",  "1/2",           "½",   "o'clock",
      "’",  "\xC2", "left",  "right",      "2:", "not",           "180", "about",
      "\n", "link", "top",   "cannot see", ":",  "9999999999999", "."};
  std::string text;
  for (const int piece :
       *rc::gen::container<std::vector<int>>(rc::gen::inRange(0, static_cast<int>(kPieces.size()))))
    text += kPieces[static_cast<std::size_t>(piece)] + " ";
  for (const std::string& one : {junk, text, text + junk}) {
    const auto words = read_mark_words(one);
    if (words) {
      RC_ASSERT(words->half_teeth.value_or(0) >= 0);
      RC_ASSERT(!mark_reading(*words, {}).read_back.empty());
    } else {
      RC_ASSERT(!words.error().problem.empty());
      RC_ASSERT(words.error().offset + words.error().length <= one.size() + 1);
    }
  }
}

MarkReading meant(std::string_view text, const MarkView& view) {
  const auto words = read_mark_words(text);
  EXPECT_TRUE(words) << text;
  return words ? mark_reading(*words, view) : MarkReading{};
}

MarkView front(double place_deg) {
  return {ViewedFrom::front, Rotation::clockwise, deg(place_deg)};
}

// By turning a wheel on paper: clockwise, its top moves to the viewer's right, its bottom to the
// left; at 3 o'clock it moves down, at 9 up. Seen from behind all of it is mirrored.
TEST(MarkReading, TakesLeftAndRightWithTheirPlaceOnly) {
  EXPECT_THAT(meant("1 tooth right", front(0)).possible, ElementsAre(2));
  EXPECT_THAT(meant("1 tooth left", front(0)).possible, ElementsAre(-2));
  EXPECT_THAT(meant("1 tooth left", front(180)).possible, ElementsAre(2));
  EXPECT_THAT(meant("1 tooth right", front(180)).possible, ElementsAre(-2));
  EXPECT_THAT(meant("1 tooth right", front(60)).possible, ElementsAre(2));
  EXPECT_THAT(meant("1 tooth right", front(90)).possible, ElementsAre(2, -2));
  EXPECT_THAT(meant("1 tooth left", front(270)).possible, ElementsAre(2, -2));
  // The place that was said beats the one of the sheet.
  EXPECT_THAT(meant("1 tooth left at 6 o'clock", front(0)).possible, ElementsAre(2));

  MarkView behind = front(0);
  behind.seen_from = ViewedFrom::flywheel_end;
  EXPECT_THAT(meant("1 tooth right", behind).possible, ElementsAre(-2));
  EXPECT_THAT(meant("1 tooth clockwise", behind).possible, ElementsAre(-2));
  MarkView other = front(0);
  other.rotation = Rotation::counterclockwise;
  EXPECT_THAT(meant("1 tooth right", other).possible, ElementsAre(-2));
  EXPECT_THAT(meant("1 tooth clockwise", front(90)).possible, ElementsAre(2));
}

TEST(MarkReading, CarriesBothWhereSomethingIsNotKnown) {
  for (MarkView view : {MarkView{}, MarkView{ViewedFrom::front, {}, deg(0)},
                        MarkView{{}, Rotation::clockwise, deg(0)},
                        MarkView{ViewedFrom::front, Rotation::clockwise, {}}}) {
    const MarkReading reading = meant("1 tooth left", view);
    EXPECT_THAT(reading.possible, ElementsAre(2, -2));
    EXPECT_THAT(reading.ask, HasSubstr("?"));
  }
  EXPECT_THAT(meant("1 tooth", front(0)).possible, ElementsAre(2, -2));
  EXPECT_THAT(meant("1 tooth up", front(90)).possible, ElementsAre(2, -2));
  EXPECT_THAT(meant("1 tooth up", front(90)).ask, HasSubstr("up and down say nothing"));
  EXPECT_THAT(meant("late", front(0)).possible, IsEmpty());
  EXPECT_THAT(meant("late", front(0)).ask, HasSubstr("how many teeth"));
  EXPECT_THAT(meant("1 tooth late", {}).possible, ElementsAre(-2));
}

TEST(MarkReading, IsReadBackAsASentence) {
  EXPECT_EQ(meant("a tooth and a half right", front(0)).read_back,
            "you said: “a tooth and a half right”; that is 1.5 teeth with rotation, so early, seen "
            "from the front at 12 o'clock, where it turns clockwise");
  EXPECT_EQ(meant("about half a tooth late", {}).read_back,
            "you said: “about half a tooth late”; that is about half a tooth against rotation, so "
            "late");
  EXPECT_EQ(meant("1 tooth left", {}).read_back,
            "you said: “1 tooth left”; that is 1 tooth, early or late");
  EXPECT_EQ(meant("paint gone", {}).read_back,
            "you said: “paint gone”; that is: there is no mark to see");
}

TEST(MarkReading, OfAClockIsAnAngleFromItsPlace) {
  const MarkReading reading = meant("at 2 o'clock", front(30));
  ASSERT_TRUE(reading.from_place);
  EXPECT_NEAR(in_deg(*reading.from_place), 30, 1e-9);
  EXPECT_THAT(reading.possible, IsEmpty());
  MarkView behind = front(30);  // stands at 11 o'clock, seen from behind
  behind.seen_from = ViewedFrom::flywheel_end;
  EXPECT_NEAR(in_deg(*meant("at 10 o'clock", behind).from_place), 30, 1e-9);
  EXPECT_FALSE(meant("at 2 o'clock", {}).from_place);
  EXPECT_NEAR(in_deg(*meant("half a turn away", {}).from_place), 180, 1e-9);
}

TEST(MarkReading, SaysWhatWasNotUnderstood) {
  EXPECT_THAT(meant("one tooth early, greasy", front(0)).ask, HasSubstr("not understood: greasy"));
}

}  // namespace
}  // namespace tautmark
