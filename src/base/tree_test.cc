// SPDX-License-Identifier: Apache-2.0
#include "base/tree.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>
#include <sys/stat.h>

#include <filesystem>
#include <fstream>
#include <random>
#include <set>
#include <string>

#include "base/text.h"
#include "support/random_record.h"

namespace tautmark {
namespace {

using ::testing::HasSubstr;

Parsed<Node> yaml(std::string text) {
  return parse_yaml(make_text_file("a.yaml", std::move(text)));
}
Parsed<Node> json(std::string text) {
  return parse_json(make_text_file("a.json", std::move(text)));
}

// "line:column message" of the first mistake.
std::string mistake(const Parsed<Node>& parsed) {
  if (parsed) return "none";
  const Diagnostic& first = parsed.error().front();
  return std::to_string(first.place.line) + ":" + std::to_string(first.place.column) + " " +
         first.message;
}

std::string place(const Node* node) {
  if (node == nullptr) return "no node";
  return std::to_string(node->line) + ":" + std::to_string(node->column) + "+" +
         std::to_string(node->length);
}

TEST(ParseYaml, GivesShapesTextsAndPlaces) {
  const auto root = yaml("name: \"a b\"\nchains:\n  - links: 124\n    empty:\n");
  ASSERT_TRUE(root) << diagnostics_text(root.error());
  EXPECT_EQ(place(root->find("name")), "1:7+3");
  EXPECT_TRUE(root->find("name")->quoted);
  const Node* chains = root->find("chains");
  ASSERT_EQ(chains->shape, NodeShape::list);
  EXPECT_EQ(place(chains->items[0].find("links")), "3:12+3");
  EXPECT_EQ(chains->items[0].find("links")->text, "124");
  EXPECT_EQ(chains->items[0].find("empty")->shape, NodeShape::null);
}

TEST(ParseYaml, CountsColumnsInCharacters) {
  const auto root = yaml("{größe: a, maß: 5 µm, c: d}\n");
  ASSERT_FALSE(root.has_value() && root->find("c") == nullptr);
  const auto flow = yaml("x: {größe: a, maß: 5 µm, c: d}\n");
  ASSERT_TRUE(flow);
  EXPECT_EQ(place(flow->find("x")->find("c")), "1:29+1");
}

// The parser names the place of what comes next, which may be many lines below.
TEST(ParseYaml, PlacesAMissingValueBehindItsKey) {
  const auto root = yaml("a:   # to be filled in\n\n# more\nb: {c: , d: ~}\ne:\n  -\n  - x\n");
  ASSERT_TRUE(root) << diagnostics_text(root.error());
  EXPECT_EQ(place(root->find("a")), "1:3+1");
  EXPECT_EQ(place(root->find("b")->find("c")), "4:7+1");
  EXPECT_EQ(place(root->find("b")->find("d")), "4:13+1");
  EXPECT_EQ(place(&root->find("e")->items[0]), "6:4+1");
}

TEST(ParseYaml, NamesBothPlacesOfADuplicateKey) {
  const auto root = yaml("a: 1\nb: 2\na: 3\n");
  EXPECT_EQ(mistake(root), "3:1 key \"a\" stands here a second time");
  ASSERT_TRUE(root.error().front().second);
  EXPECT_EQ(root.error().front().second->place.line, 1);
}

TEST(ParseYaml, ReportsEveryDuplicateAndEveryTab) {
  EXPECT_EQ(yaml("a: 1\na: 2\nb: 1\nb: 2\n").error().size(), 2U);
  const auto tabs = yaml("a:\n\tb: 1\n\tc: 2\n");
  EXPECT_EQ(tabs.error().size(), 2U);
  EXPECT_EQ(mistake(tabs), "2:1 a tab is used as indentation");
}

TEST(ParseYaml, RefusesWhatTheseFilesDoNotUse) {
  EXPECT_THAT(mistake(yaml("a: &x 1\n")), HasSubstr("1:4 anchors"));
  EXPECT_THAT(mistake(yaml("a: !!int 1\n")), HasSubstr("1:4 tags"));
  EXPECT_THAT(mistake(yaml("a: 1\n---\nb: 2\n")), HasSubstr("3:1 a second document"));
  EXPECT_THAT(mistake(yaml("[a, b]: 1\n")), HasSubstr("a key must be a plain word"));
  EXPECT_THAT(mistake(yaml("")), HasSubstr("1:1 the file is empty"));
  EXPECT_THAT(mistake(yaml("# only\n")), HasSubstr("1:1 the file is empty"));
}

// Found while writing this test: yaml-cpp takes the end of the file for the closing quote, and all
// that follows the quote would silently belong to the text.
TEST(ParseYaml, RefusesAQuoteThatIsNeverClosed) {
  EXPECT_EQ(mistake(yaml("a: \"b\nc: d\n")), "1:4 not readable as YAML: a quote is not closed");
  EXPECT_EQ(mistake(yaml("a: 'b\nc: d\n")), "1:4 not readable as YAML: a quote is not closed");
  EXPECT_EQ(mistake(yaml("a: 'it''s\nc: d\n")), "1:4 not readable as YAML: a quote is not closed");
  EXPECT_EQ(mistake(yaml("a: \"b\\\"\nc: d\n")), "1:4 not readable as YAML: a quote is not closed");
  EXPECT_EQ(mistake(yaml("a: 'it''s'\nb: \"c\\\"\"\nc: \"two\n  lines\"\n")), "none");
}

TEST(ParseYaml, RefusesControlCharactersWrittenOrEscaped) {
  EXPECT_EQ(mistake(yaml(std::string("a: b\0c\n", 7))), "1:5 control character 0x00 in the text");
  EXPECT_EQ(mistake(yaml("a: \"\\x1B[31m\"\n")), "1:4 control character 0x1B in the text");
  EXPECT_EQ(mistake(yaml("a: \xC2\x9B\n")), "1:4 control character 0x9B in the text");
  EXPECT_EQ(mistake(yaml("a: b\rc: d\r")), "1:5 control character 0x0D in the text");
  EXPECT_EQ(mistake(yaml("a: b\r\nc: d\r\n")), "none");
  EXPECT_EQ(mistake(yaml("ab\n\xFF\n")), "2:1 this is not UTF-8 text");
}

// Found by fuzzing: yaml-cpp gives these escapes as single bytes.
TEST(ParseYaml, ReadsTheEscapesOfOneCharacterAsUtf8) {
  const auto root = yaml("a: \"x\\_y\\L\\P\\u00b5\"\n");
  ASSERT_TRUE(root) << diagnostics_text(root.error());
  EXPECT_EQ(root->find("a")->text, "x\u00A0y\u2028\u2029\u00B5");
  EXPECT_EQ(mistake(yaml("a: \"x\\Ny\"\n")), "1:4 control character 0x85 in the text");
}

// Found by fuzzing: written with its escapes a key can be longer than YAML allows.
TEST(ParseYaml, RefusesKeysThatCouldNotBeWrittenAgain) {
  const std::string key(kMaxKeyBytes + 1, 'k');
  EXPECT_EQ(mistake(yaml(key + ": 1\n")), "1:1 no key of these files is so long");
  EXPECT_EQ(mistake(json("{\"" + key + "\": 1}")), "1:2 no key of these files is so long");
  std::string escaped;
  while (escaped.size() + 3 <= kMaxKeyBytes) escaped += "\uFEFF";
  Node map;
  add_member(map, escaped, scalar_node("v"));
  EXPECT_EQ(mistake(yaml(yaml_text(map))), "none");
}

TEST(ParseYaml, HintsAtTheUsualSlips) {
  const auto hint = [](const char* text) { return yaml(text).error().front().hint; };
  EXPECT_THAT(hint("a: b: c\n"), HasSubstr("needs quotes"));
  EXPECT_THAT(hint("a: [b, c\n"), HasSubstr("close the ["));
  EXPECT_THAT(hint("a:\n    b: 1\n   c: 2\n"), HasSubstr("same column"));
  EXPECT_THAT(hint("a: \"C:\\drives\"\n"), HasSubstr("backslash"));
}

TEST(ParseYaml, RefusesDepthAndAmountBeyondItsBounds) {
  EXPECT_THAT(mistake(yaml("a: " + std::string(10000, '[') + "\n")), HasSubstr("nested deeper"));
  std::string items = "a: [";
  for (std::size_t i = 0; i < kMaxNodes; ++i) items += "b,";
  EXPECT_THAT(mistake(yaml(items + "]\n")), HasSubstr("more parts than any file"));
}

TEST(ParseJson, GivesTheSamePlacesAsYaml) {
  const auto root = json("{\"größe\": \"5 µm\",\n \"n\": -12.50, \"t\": true, \"z\": null}\n");
  ASSERT_TRUE(root) << diagnostics_text(root.error());
  EXPECT_EQ(place(root->find("größe")), "1:11+6");
  EXPECT_EQ(place(root->find("n")), "2:7+6");
  EXPECT_EQ(root->find("n")->text, "-12.50");  // as typed
  EXPECT_EQ(root->find("t")->text, "true");
  EXPECT_EQ(root->find("z")->shape, NodeShape::null);
}

TEST(ParseJson, RefusesWithPlaces) {
  EXPECT_EQ(mistake(json("{\"a\": 1,\n \"a\": 2}")), "2:2 key \"a\" stands here a second time");
  EXPECT_THAT(mistake(json("{\"a\": 1,\n}")), HasSubstr("2:1 not readable as JSON: syntax error"));
  EXPECT_THAT(mistake(json("{\"a\": \"\\u001b\"}")), HasSubstr("1:7 control character 0x1B"));
  EXPECT_THAT(mistake(json("{\"a\": \"\\u0000\"}")), HasSubstr("1:7 control character 0x00"));
  EXPECT_THAT(mistake(json("{\"a\": 1} x")), HasSubstr("1:10 not readable as JSON"));
  EXPECT_THAT(mistake(json("")), HasSubstr("1:1 not readable as JSON"));
  EXPECT_THAT(mistake(json(std::string(10000, '['))), HasSubstr("nested deeper"));
  EXPECT_THAT(mistake(json("{\"a\": 1e999}")), HasSubstr("number overflow"));
}

// Found by fuzzing: the library quotes what it has read, cut inside a character.
TEST(ParseJson, SaysNothingThatIsNoText) {
  const auto root = json("{\"a\": \"\\u00b\u02EB\"}");
  ASSERT_FALSE(root);
  EXPECT_FALSE(first_invalid_utf8(diagnostics_text(root.error())));
  const auto large = json("{\"a\": \"" + std::string(1U << 20U, 'x') + "\n\"}");
  ASSERT_FALSE(large);
  EXPECT_LT(diagnostics_text(large.error()).size(), 2000U);
}

TEST(ParseTree, ChoosesByContent) {
  EXPECT_TRUE(parse_tree(make_text_file("a", "\xEF\xBB\xBF {\"a\": 1}")));
  EXPECT_TRUE(parse_tree(make_text_file("a",
                                        "\xEF\xBB\xBF"
                                        "a: 1\n")));
}

TEST(PlaceOf, PointsInsideAScalar) {
  const auto root = yaml("a: \"27.9 mmm\"\nb: >\n  folded\n  text\n");
  const Node* a = root->find("a");
  EXPECT_EQ(place_of(*a, 5, 3).column, 10);
  EXPECT_EQ(place_of(*a, 5, 3).length, 3);
  EXPECT_EQ(place_of(*root->find("b"), 4, 2).column, 4);  // the start: the text is not on the line
}

// A line of five megabytes must cost neither its square in time nor a copy for each of its parts.
TEST(Places, AreQuickInOneLongLine) {
  std::string text = "{\"a\": [";
  for (int i = 0; i < 90000; ++i) text += "{\"k\": \"" + std::string(40, 'v') + "\"}, ";
  const auto root = json(text + "1]}");
  ASSERT_TRUE(root);
  EXPECT_EQ(place_of(*root).line_text, "");
  EXPECT_EQ(root->find("a")->items.back().column, static_cast<int>(text.size()) + 1);
  std::string flow = "x: [";
  for (int i = 0; i < 90000; ++i) flow += "{k: " + std::string(40, 'v') + "}, ";
  EXPECT_TRUE(yaml(flow + "1]\n"));
}

TEST(LoadTextFile, RefusesWhatIsNoFileWithoutWaiting) {
  namespace fs = std::filesystem;
  const fs::path folder = fs::path(testing::TempDir()) / "tautmark_load_text_file";
  fs::remove_all(folder);
  fs::create_directories(folder);
  const auto problem = [&](const char* name) {
    const auto file = load_text_file(folder / name, "shown");
    return file ? std::string("none") : diagnostics_text(file.error());
  };
  EXPECT_EQ(problem("none"), "shown: error: no such file\n");
  EXPECT_EQ(problem("."), "shown: error: this is a folder, not a file\n");
  ASSERT_EQ(mkfifo((folder / "pipe").c_str(), 0600), 0);
  EXPECT_EQ(problem("pipe"), "shown: error: not a regular file\n");
  std::ofstream(folder / "large").close();
  fs::resize_file(folder / "large", kMaxTextBytes + 1);
  EXPECT_THAT(problem("large"), HasSubstr("a file of this kind has at most 16 MB"));
  fs::remove_all(folder);
}

// --- what is written is read back as it was ---------------------------------------------------

bool same(const Node& a, const Node& b) {
  if (a.shape != b.shape || a.text != b.text || a.items.size() != b.items.size() ||
      a.members.size() != b.members.size())
    return false;
  for (std::size_t i = 0; i < a.items.size(); ++i)
    if (!same(a.items[i], b.items[i])) return false;
  for (std::size_t i = 0; i < a.members.size(); ++i)
    if (a.members[i].key.text != b.members[i].key.text ||
        !same(a.members[i].value, b.members[i].value))
      return false;
  return true;
}

Node random_tree(std::mt19937& random, int depth) {
  const auto pick = [&](unsigned n) { return static_cast<unsigned>(random() % n); };
  Node node;
  switch (depth == 0 ? pick(3) : 3 + pick(2)) {
    case 0:
      return node;
    case 1:
      return scalar_node(test::nasty_text(random), true);
    case 2:
      return scalar_node(pick(2) == 0 ? "true" : std::to_string(random()), false);
    case 3:
      node.shape = NodeShape::list;
      for (unsigned i = pick(4); i > 0; --i) node.items.push_back(random_tree(random, depth - 1));
      return node;
    default:
      node.shape = NodeShape::map;
      std::set<std::string> keys;
      for (unsigned i = pick(4); i > 0; --i) {
        const std::string key = test::nasty_text(random);
        if (keys.insert(key).second) add_member(node, key, random_tree(random, depth - 1));
      }
      return node;
  }
}

RC_GTEST_PROP(WriteThenRead, GivesTheSameTreeInYaml, (unsigned seed)) {
  std::mt19937 random(seed);
  const Node tree = random_tree(random, 1 + static_cast<int>(random() % 5));
  const std::string text = yaml_text(tree);
  const auto again = yaml(text);
  if (!again) RC_FAIL(text + diagnostics_text(again.error()));
  if (!same(tree, *again)) RC_FAIL(text);
  RC_ASSERT(yaml_text(*again) == text || same(*yaml(yaml_text(*again)), tree));
}

RC_GTEST_PROP(WriteThenRead, GivesTheSameTreeInJson, (unsigned seed)) {
  std::mt19937 random(seed);
  const Node tree = random_tree(random, 1 + static_cast<int>(random() % 5));
  const std::string text = json_text(tree);
  const auto again = json(text);
  if (!again) RC_FAIL(text + diagnostics_text(again.error()));
  if (!same(tree, *again)) RC_FAIL(text);
  RC_ASSERT(json_text(*again) == text);
}

TEST(WriteThenRead, KeepsEveryNastyText) {
  for (const std::string& text : test::nasty_texts()) {
    Node map;
    add_member(map, "key", scalar_node(text, true));
    add_member(map, text, scalar_node("value", true));
    Node list;
    list.shape = NodeShape::list;
    list.items = {scalar_node(text, true), map};
    const auto from_yaml = yaml(yaml_text(list));
    ASSERT_TRUE(from_yaml) << yaml_text(list) << diagnostics_text(from_yaml.error());
    EXPECT_TRUE(same(list, *from_yaml)) << yaml_text(list);
    const auto from_json = json(json_text(list));
    ASSERT_TRUE(from_json) << json_text(list) << diagnostics_text(from_json.error());
    EXPECT_TRUE(same(list, *from_json)) << json_text(list);
  }
}

TEST(WriteYaml, QuotesOnlyWhereItIsNeeded) {
  Node map;
  add_member(map, "range", scalar_node("27.96..27.98 mm", true));
  add_member(map, "limit", scalar_node(">= 140 kPa", true));
  add_member(map, "count", scalar_node("4", false));
  add_member(map, "word", scalar_node("yes", true));
  EXPECT_EQ(yaml_text(map),
            "range: 27.96..27.98 mm\nlimit: \">= 140 kPa\"\ncount: 4\nword: \"yes\"\n");
}

TEST(WriteYaml, WritesAListItemReadyToBeAppended) {
  Node entry;
  add_member(entry, "id", scalar_node("e1", true));
  add_member(entry, "words", scalar_node("a: b", true));
  EXPECT_EQ(yaml_list_item_text(entry), "  - id: e1\n    words: \"a: b\"\n");
}

}  // namespace
}  // namespace tautmark
