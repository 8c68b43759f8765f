// SPDX-License-Identifier: Apache-2.0
#include "store/search_words.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "base/text.h"

namespace tautmark {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::IsEmpty;
using testing::IsSupersetOf;
using testing::Not;

TEST(SearchWords, SplitAtSignsButNumbersStayWhole) {
  EXPECT_THAT(words_of("Rattle, bank 2: 27.98 mm (P0016) and 12-3"),
              ElementsAre("rattle", "bank", "2", "27.98", "mm", "p0016", "and", "12-3"));
  EXPECT_THAT(words_of("Ölstand … ø 27,98 ± 0,01 µm"),
              ElementsAre("ölstand", "ø", "27.98", "0.01", "μm"));
  EXPECT_THAT(words_of("quellmere-i4-16/cranking.csv"),
              ElementsAre("quellmere", "i4-16", "cranking", "csv"));
  EXPECT_THAT(words_of("-.,"), IsEmpty());
}

// Fault 18 of a tester: ÄRGER did not find Ärger.
TEST(SearchWords, StoredAndSearchedWordsAreFoldedAlike) {
  WordSet words;
  add_text_words("Ärger, Müller, Lange Straße 7, Σίσυφος, Зубцы, 27.98 and 1,5; bank 2", words);
  for (const char* query : {"ÄRGER", "ärger", "MÜLLER", "STRASSE", "strasse", "straße", "ΣΊΣΥΦΟΣ",
                            "ЗУБЦЫ", "27,98", "27.98", "1.5", "bank2", "BANK2", "bank"})
    for (const SearchTerm& term : search_terms(query).terms)
      EXPECT_THAT(words, Contains(term.text)) << query;
  EXPECT_THAT(words, Not(Contains("and1.5")));
}

TEST(SearchWords, NoWordIsLongerThanItsColumnOrCutInsideACharacter) {
  for (std::size_t ascii = 0; ascii < 4; ++ascii) {
    std::string text(ascii, 'a');
    for (int i = 0; i < 60; ++i) text += "€";
    const auto words = words_of(text);
    ASSERT_EQ(words.size(), 1U);
    EXPECT_LE(words[0].size(), kMostWordBytes);
    EXPECT_GT(words[0].size(), kMostWordBytes - 3);
    EXPECT_FALSE(first_invalid_utf8(words[0]));
  }
}

TEST(SearchWords, PartsOfANumberAreWordsToo) {
  WordSet words;
  add_text_words("i4-16 27.98", words);
  EXPECT_THAT(words, testing::UnorderedElementsAre("i4-16", "i4", "16", "27.98", "27", "98"));
}

TEST(SearchWords, FieldsCarryTheirKeyButQuantitiesDoNot) {
  const auto tree = parse_yaml(make_text_file(
      "entry",
      "- kind: reading\n  place: bank 2 / journal 1\n  values: 27.98 27.97 mm\n  serial: "
      "4711\n  at: 2026-04-14\n  codes: [P0016]\n"));
  ASSERT_TRUE(tree);
  WordSet words;
  add_tree_words(*tree, words);
  EXPECT_THAT(words,
              IsSupersetOf({"kind=reading", "place=bank", "place=2", "place=bank2", "place=journal",
                            "serial=4711", "at=2026-04-14", "codes=p0016", "27.98", "bank"}));
  EXPECT_THAT(words, Not(Contains("values=27.98")));
  EXPECT_THAT(words, Not(Contains("kind")));
}

TEST(SearchWords, CommentsAreSearchedToo) {
  WordSet words;
  add_comment_words("# heard by Ann\n- id: e1  # after lunch\n  url: a#b\n", words);
  EXPECT_THAT(words, testing::UnorderedElementsAre("heard", "by", "ann", "after", "lunch"));
}

std::vector<std::string> terms(std::string_view query) {
  std::vector<std::string> found;
  for (const SearchTerm& term : search_terms(query).terms)
    found.push_back(term.text + (term.whole ? "" : "*"));
  return found;
}

TEST(SearchTermsTest, WordsPhrasesAndFields) {
  EXPECT_THAT(terms("  Rattle  VESSGARTH "), ElementsAre("rattle*", "vessgarth*"));
  EXPECT_THAT(terms("\"bank 2\" rattle"), ElementsAre("2", "bank", "rattle*"));
  EXPECT_THAT(terms("place:bank kind:codes"), ElementsAre("kind=codes*", "place=bank*"));
  EXPECT_THAT(terms("place:\"bank 2\""), ElementsAre("place=2", "place=bank"));
  EXPECT_THAT(terms("08:15"), ElementsAre("08*", "15*"));
  EXPECT_THAT(terms("serial:"), ElementsAre("serial=*"));
  EXPECT_THAT(terms("\"open"), ElementsAre("open"));
  EXPECT_THAT(terms("a A"), ElementsAre("a*"));
  EXPECT_FALSE(search_terms(" \t").anything_typed);
  EXPECT_TRUE(search_terms("???").anything_typed);
  EXPECT_THAT(terms("???"), IsEmpty());
}

}  // namespace
}  // namespace tautmark
