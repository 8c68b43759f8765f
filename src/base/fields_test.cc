// SPDX-License-Identifier: Apache-2.0
#include "base/fields.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <nlohmann/json.hpp>
#include <string>

#include "support/random_record.h"

namespace tautmark {

// A small record of this test's own, with one of everything that a description can hold.
enum class Color { dark_red, blue };

struct Maker {
  std::string name;
  std::optional<std::string> town;
  bool operator==(const Maker&) const = default;
};
struct Circle {
  Written<Length> radius;
  bool operator==(const Circle&) const = default;
};
struct Square {
  Written<Length> side;
  std::optional<int> holes;
  bool operator==(const Square&) const = default;
};
struct Part {
  std::string name;
  std::variant<Circle, Square> shape;
  bool operator==(const Part&) const = default;
};
struct Box {
  std::string name;
  int count = 0;
  std::optional<Color> color;
  std::optional<bool> open;
  std::optional<Written<Length>> width;
  std::optional<WrittenRange<Pressure>> pressure;
  std::optional<WrittenList> readings;
  std::optional<Date> made;
  std::vector<std::string> words;
  std::vector<Maker> makers;
  std::vector<Part> parts;
  bool operator==(const Box&) const = default;
};

template <>
struct ChoiceNames<Color> {
  static constexpr std::string_view names[] = {"dark red", "blue"};
};
template <>
struct Description<Maker> {
  static constexpr std::string_view name = "maker";
  static constexpr std::string_view help = "Who made it.";
  static constexpr std::string_view short_form = "name";
  static std::span<const FieldInfo> fields() {
    static const FieldInfo kFields[] = {field<&Maker::name>("name", "Name.", "Thornholm"),
                                        field<&Maker::town>("town", "Town.", "Quell")};
    return kFields;
  }
};
template <>
struct Description<Circle> {
  static constexpr std::string_view name = "circle";
  static constexpr std::string_view help = "Round.";
  static std::span<const FieldInfo> fields() {
    static const FieldInfo kFields[] = {
        field<&Circle::radius>("radius", "Radius.", "2 mm", {.bounds = kPositive})};
    return kFields;
  }
};
template <>
struct Description<Square> {
  static constexpr std::string_view name = "square";
  static constexpr std::string_view help = "Square.";
  static std::span<const FieldInfo> fields() {
    static const FieldInfo kFields[] = {
        field<&Square::side>("side", "Side.", "3 mm"),
        field<&Square::holes>("holes", "Holes.", "2", {.bounds = between(1, 9)})};
    return kFields;
  }
};
template <>
struct Description<Part> {
  static constexpr std::string_view name = "part";
  static constexpr std::string_view help = "A part.";
  static std::span<const FieldInfo> fields() {
    static const FieldInfo kFields[] = {field<&Part::name>("name", "Name.", "lid")};
    return kFields;
  }
  static const TagInfo& tag() { return tag_of<&Part::shape>("shape", "Its shape."); }
};
template <>
struct Description<Box> {
  static constexpr std::string_view name = "box";
  static constexpr std::string_view help = "A box.";
  static std::span<const FieldInfo> fields() {
    static const FieldInfo kFields[] = {
        field<&Box::name>("name", "Name.", "box 1"),
        field<&Box::count>("count", "How many.", "2", {.bounds = between(1, 99)}),
        field<&Box::color>("color", "Color.", "blue"),
        field<&Box::open>("open", "Whether it is open.", "yes"),
        field<&Box::width>("width", "Width over all.", "2 km", {.bounds = kPositive}),
        field<&Box::pressure>("pressure", "Pressure.", "at least 140 kPa"),
        field<&Box::readings>("readings", "Readings.", "1 2 mm"),
        field<&Box::made>("made", "When.", "2026-03-02"),
        field<&Box::words>("words", "Words.", "[a]"),
        field<&Box::makers>("makers", "Makers.", ""),
        field<&Box::parts>("parts", "Parts.", ""),
    };
    return kFields;
  }
};

struct Odd {
  std::int64_t large = std::int64_t{1} << 32;
  std::string name;
  std::vector<std::string> words;
};
template <>
struct Description<Odd> {
  static constexpr std::string_view name = "odd";
  static constexpr std::string_view help = "Against the rules.";
  static std::span<const FieldInfo> fields() {
    static const FieldInfo kFields[] = {
        field<&Odd::large>("large", "A large number."),
        field<&Odd::name>("name", "Name.", "", {.required = false}),
        field<&Odd::words>("words", "Words.", "", {.required = true})};
    return kFields;
  }
};

namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

struct Read {
  Box box;
  Diagnostics diagnostics;
  Places places;
  bool ok = false;
};

Read read(const std::string& text) {
  Read result;
  const auto node = parse_tree(make_text_file("box.yaml", text));
  if (!node) {
    result.diagnostics = node.error();
    return result;
  }
  ReadContext context;
  context.diagnostics = &result.diagnostics;
  context.places = &result.places;
  result.ok = read_record(*node, result.box, context);
  return result;
}

// "line:column message | hint" of every mistake.
std::vector<std::string> mistakes(const std::string& text) {
  std::vector<std::string> all;
  for (const Diagnostic& d : read(text).diagnostics)
    all.push_back(fmt::format("{}:{} {}{}{}", d.place.line, d.place.column, d.message,
                              d.hint.empty() ? "" : " | ", d.hint));
  return all;
}

std::vector<std::string> mistakes_in(const std::string& more) {
  return mistakes("name: a\ncount: 2\n" + more);
}

TEST(ReadRecord, ReadsEveryKindOfField) {
  const Read got = read(
      "name: a\ncount: 2\ncolor: Dark Red\nopen: no\nwidth: 1.102 in\npressure: 140..150 kPa\n"
      "readings: [1 mm, 2 mm]\nmade: 2026-03-02\nwords: [b, c]\nmakers: [short, {name: n, town: "
      "t}]\nparts:\n  - {shape: circle, name: lid, radius: 2 mm}\n  - {shape: square, name: box, "
      "side: 3 mm, holes: 4}\n");
  ASSERT_TRUE(got.ok) << diagnostics_text(got.diagnostics);
  EXPECT_EQ(got.box.color, Color::dark_red);
  EXPECT_EQ(got.box.open, false);
  EXPECT_EQ(got.box.width->text, "1.102 in");
  EXPECT_DOUBLE_EQ(got.box.width->value.si(), 1.102 * 0.0254);
  EXPECT_EQ(got.box.readings->value.values.size(), 2U);
  EXPECT_EQ(got.box.makers[0], (Maker{"short", std::nullopt}));
  EXPECT_EQ(got.box.makers[1], (Maker{"n", "t"}));
  EXPECT_EQ(std::get<Square>(got.box.parts[1].shape).holes, 4);
}

TEST(ReadRecord, LeavesOutWhatIsOptionalAndMissesWhatIsRequired) {
  EXPECT_THAT(mistakes("name: a\ncount: 2\n"), IsEmpty());
  EXPECT_THAT(mistakes("name: a\n"), ElementsAre("1:1 \"count\" is missing: How many. | count: 2"));
}

TEST(ReadRecord, SuggestsTheNearestKey) {
  EXPECT_THAT(mistakes_in("witdh: 2 mm\n"),
              ElementsAre("3:1 unknown key \"witdh\" in box | did you mean \"width\"?"));
  EXPECT_THAT(mistakes_in("zzzzzz: 2 mm\n"),
              ElementsAre(HasSubstr("known here: name, count, color")));
}

TEST(ReadRecord, RefusesEmptyTextsAndMissingValues) {
  EXPECT_THAT(mistakes("name: \"\"\ncount: 2\n"), ElementsAre(HasSubstr("1:7 a text is wanted")));
  EXPECT_THAT(mistakes("name:\ncount: 2\n"),
              ElementsAre("1:6 a text is wanted here, nothing stands here | give a value or remove "
                          "the key"));
  EXPECT_THAT(mistakes_in("words: [a, \"  \"]\n"), ElementsAre(HasSubstr("this one is empty")));
}

TEST(ReadRecord, NamesTheShapeThatIsWanted) {
  EXPECT_THAT(mistakes_in("words: a\n"),
              ElementsAre("3:8 a list is wanted here, not a single value | [a]"));
  EXPECT_THAT(mistakes_in("words: {a: b}\n"), ElementsAre(HasSubstr("not a group of keys")));
  EXPECT_THAT(mistakes_in("open: [yes]\n"), ElementsAre(HasSubstr("yes or no is wanted here")));
  EXPECT_THAT(mistakes_in("parts: [lid]\n"),
              ElementsAre(HasSubstr("a part is wanted here as a group of keys")));
  EXPECT_THAT(mistakes("[]"), ElementsAre(HasSubstr("a box is wanted here as a group of keys")));
}

TEST(ReadRecord, ChecksBoundsAtBothEnds) {
  EXPECT_THAT(mistakes("name: a\ncount: 0\n"),
              ElementsAre("2:8 count 0 is not possible: it must be at least 1"));
  EXPECT_THAT(mistakes("name: a\ncount: 100\n"), ElementsAre(HasSubstr("at most 99")));
  EXPECT_THAT(mistakes_in("width: 0 mm\n"),
              ElementsAre("3:8 width 0 mm is not possible: it must be more than 0 mm"));
  EXPECT_THAT(mistakes_in("width: -3 um\n"), ElementsAre(HasSubstr("more than 0 mm")));
}

TEST(ReadRecord, HintsTheUnitOfTheExample) {
  EXPECT_THAT(mistakes_in("width: 146000\n"),
              ElementsAre("3:8 146000 has no unit | write \"146000 km\""));
}

TEST(ReadRecord, PointsIntoTheItemOfAList) {
  EXPECT_THAT(mistakes_in("readings: [27.95 mm, \"27,96 mm\", 3 mm]\n"),
              ElementsAre(HasSubstr("3:23 27,96 can be 27.96 or 2796")));
  EXPECT_THAT(mistakes_in("readings: 27.95 27.96\n"),
              ElementsAre(HasSubstr("3:17 27.96 has no unit")));
}

TEST(ReadRecord, ReadsTheFieldsOfTheTagAndNoOthers) {
  EXPECT_THAT(mistakes_in("parts: [{name: lid}]\n"),
              ElementsAre("3:9 \"shape\" is missing: Its shape. | shape: circle"));
  EXPECT_THAT(mistakes_in("parts: [{shape: sqare, name: lid}]\n"),
              ElementsAre(HasSubstr("did you mean \"square\"?")));
  EXPECT_THAT(mistakes_in("parts: [{shape: circle, name: lid, radius: 2 mm, side: 3 mm}]\n"),
              ElementsAre(HasSubstr("unknown key \"side\" in part of kind circle")));
}

TEST(ReadRecord, ReportsAllMistakesAtOnce) {
  EXPECT_THAT(mistakes("name: a\ncolor: bleu\nopen: maybe\nwidth: 3\npressure: 3 mm\n"
                       "made: 2026-02-30\nwords: a\nmakers: [{town: t}]\nextra: 1\n")
                  .size(),
              9U);
}

TEST(ReadRecord, ReadsTheRestOfAFileWithMistakes) {
  const Read got = read("name: a\ncount: none\nwords: [b]\n");
  EXPECT_FALSE(got.ok);
  EXPECT_THAT(got.box.words, ElementsAre("b"));
  EXPECT_TRUE(got.places.failed("count"));
  EXPECT_FALSE(got.places.failed("words"));
}

TEST(ReadRecord, BoundsTheNumberOfMistakes) {
  std::string text = "name: a\ncount: 2\nparts:\n";
  for (int i = 0; i < 5000; ++i) text += "  - {shape: circle, name: lid}\n";
  EXPECT_EQ(mistakes(text).size(), kMostDiagnostics + 1);
}

TEST(ReadDate, KnowsTheCalendarAndTheClock) {
  const auto problem = [](std::string_view text) {
    const auto date = read_date(text);
    return date ? std::string() : date.error().problem;
  };
  for (const char* good : {"2026-03-02", "2024-02-29", "2026-03-02T10:15", "2026-03-02 10:15:30",
                           "2026-03-02T10:15Z", "2026-03-02T10:15:30+01:00", "2000-02-29"})
    EXPECT_EQ(problem(good), "") << good;
  for (const char* bad : {"",
                          "2026",
                          "2026-3-2",
                          "02.03.2026",
                          "2026-13-01",
                          "2026-00-01",
                          "2026-02-29",
                          "1900-02-29",
                          "2026-04-31",
                          "2026-03-00",
                          "0226-03-02",
                          "2026-03-02T",
                          "2026-03-02T24:00",
                          "2026-03-02T10:60",
                          "2026-03-02T1:15",
                          "2026-03-02T10:15:61",
                          "2026-03-02T10:15:3",
                          "2026-03-02T10:15+99:00",
                          "2026-03-02T10:15+01:99",
                          "2026-03-02T10:15x",
                          "2026-03-02x",
                          "yesterday",
                          "２０２６-03-02"})
    EXPECT_NE(problem(bad), "") << bad;
}

TEST(Places, FallsBackToWhatIsThere) {
  const Read got =
      read("name: a\ncount: 2\nparts:\n  - {shape: circle, name: lid, radius: 2 mm}\n");
  EXPECT_EQ(got.places.at("parts[0].radius").column, 40);
  EXPECT_EQ(got.places.at("parts[0].nothing").line, 4);
  EXPECT_EQ(got.places.at("parts[7].radius").line, 4);
  EXPECT_EQ(got.places.at("nothing.at.all").line, 1);
}

TEST(JsonSchema, SaysWhatTheReaderSays) {
  const auto schema = nlohmann::json::parse(json_schema_text(type_of<Box>(), "box"));
  const auto& box = schema["$defs"]["box"];
  EXPECT_EQ(box["required"], (nlohmann::json{"name", "count"}));
  EXPECT_EQ(box["additionalProperties"], false);
  EXPECT_EQ(box["properties"]["count"]["type"], "integer");
  EXPECT_EQ(box["properties"]["count"]["maximum"], 99);
  EXPECT_EQ(box["properties"]["color"]["enum"], (nlohmann::json{"dark red", "blue"}));
  EXPECT_EQ(box["properties"]["words"]["items"]["type"], "string");
  EXPECT_EQ(schema["$defs"]["part"]["oneOf"].size(), 2U);
  EXPECT_EQ(schema["$defs"]["part"]["oneOf"][0]["properties"]["shape"]["const"], "circle");
  EXPECT_EQ(schema["$defs"]["maker"]["anyOf"][0]["type"], "string");
}

TEST(FieldOptions, RequiredGoesAgainstTheRuleOfTheType) {
  const auto node = write_record(Odd{});
  EXPECT_EQ(json_text(node), "{\n  \"large\": 4294967296,\n  \"words\": []\n}\n");
  const auto schema = nlohmann::json::parse(json_schema_text(type_of<Odd>(), "odd"));
  EXPECT_EQ(schema["$defs"]["odd"]["required"], (nlohmann::json{"large", "words"}));
  EXPECT_EQ(schema["$defs"]["odd"]["properties"]["large"]["type"], "integer");

  Diagnostics diagnostics;
  ReadContext context;
  context.diagnostics = &diagnostics;
  Odd odd;
  EXPECT_TRUE(read_record(*parse_tree(make_text_file("odd.json", json_text(node))), odd, context));
  EXPECT_EQ(odd.large, std::int64_t{1} << 32);
  EXPECT_FALSE(
      read_record(*parse_tree(make_text_file("odd.json", R"({"large": 1})")), odd, context));
  EXPECT_THAT(diagnostics_text(diagnostics), HasSubstr("\"words\" is missing"));
}

RC_GTEST_PROP(RoundTrip, ARandomBoxReadsBackAsItWas, (unsigned seed)) {
  const std::string problem = test::round_trip_problem(test::RandomRecord(seed).make<Box>());
  if (!problem.empty()) RC_FAIL(problem);
}

}  // namespace
}  // namespace tautmark
