// SPDX-License-Identifier: Apache-2.0
#include "procedure/facts.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

namespace tautmark::procedure {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

const std::vector<int> kBanks = {1, 2};

std::vector<std::string> read(std::string_view words, std::optional<int> bank = {}) {
  const auto facts = read_fact(words, bank, kBanks);
  if (!facts) return {"refused: " + facts.error().why};
  std::vector<std::string> texts;
  for (const Fact& fact : *facts) texts.push_back(fact_text(fact));
  return texts;
}

TEST(Facts, AreOfTheStepsBankOrOfEveryBank) {
  EXPECT_THAT(read("chain on"), ElementsAre("bank 1: chain on", "bank 2: chain on"));
  EXPECT_THAT(read("Chain  On", 2), ElementsAre("bank 2: chain on"));
  EXPECT_THAT(read("bank 1: chain on", 2), ElementsAre("bank 1: chain on"));
  EXPECT_THAT(read("covers off", 2), ElementsAre("covers off"));
}

TEST(Facts, OfTheProceduresOwnKeepTheirWords) {
  EXPECT_THAT(read("parts laid out"), ElementsAre("parts laid out"));
  EXPECT_THAT(read("bank 1: head fitted", 2), ElementsAre("bank 1: head fitted"));
  EXPECT_THAT(read("note: seen"), ElementsAre("note: seen"));
}

TEST(Facts, RefuseWhatIsNearlyAWordOfTheList) {
  EXPECT_THAT(read("chian on"), ElementsAre(HasSubstr("\"chain on\" is meant?")));
  EXPECT_THAT(read("marks confirmd", 1), ElementsAre(HasSubstr("\"marks confirmed\" is meant?")));
  EXPECT_THAT(read("bank 3: chain on"), ElementsAre("refused: the engine has no bank 3"));
  EXPECT_THAT(read("chain on", 3), ElementsAre("refused: the engine has no bank 3"));
  EXPECT_THAT(read("bank 1: covers off"), ElementsAre(HasSubstr("of the engine, not of a bank")));
  EXPECT_THAT(read("  "), ElementsAre("refused: a condition has words"));
  EXPECT_THAT(read("bank 1: "), ElementsAre("refused: a condition has words"));
}

TEST(Facts, EachWordOfTheListReadsBackToItself) {
  std::set<std::string> seen;
  for (const FactWords& words : all_facts()) {
    const auto facts = read_fact(words.words, 1, kBanks);
    ASSERT_TRUE(facts) << words.words;
    ASSERT_EQ(facts->size(), 1U);
    EXPECT_EQ(facts->front().item, words.item) << words.words;
    EXPECT_EQ(facts->front().value, words.value) << words.words;
    EXPECT_TRUE(seen.insert(fact_text(facts->front())).second) << words.words;
  }
}

TEST(State, OfWhatNobodySetNothingHolds) {
  const State empty;
  for (const FactWords& words : all_facts())
    EXPECT_FALSE(empty.holds({.item = words.item, .value = words.value, .bank = 1}));
  EXPECT_FALSE(empty.holds({.own = "parts laid out"}));
}

TEST(State, KeepsBanksApartAndOneValueOfEachItem) {
  State state;
  state.set({.item = Item::chain, .value = 0, .bank = 1});
  EXPECT_TRUE(state.holds({.item = Item::chain, .value = 0, .bank = 1}));
  EXPECT_FALSE(state.holds({.item = Item::chain, .value = 0, .bank = 2}));
  state.set({.item = Item::chain, .value = 1, .bank = 1});
  EXPECT_FALSE(state.holds({.item = Item::chain, .value = 0, .bank = 1}));
  state.end({.item = Item::chain, .value = 0, .bank = 1});  // does not hold: nothing to end
  EXPECT_TRUE(state.holds({.item = Item::chain, .value = 1, .bank = 1}));
  state.end({.item = Item::chain, .value = 1, .bank = 1});
  EXPECT_EQ(state.value_of(Item::chain, 1), std::nullopt);
}

TEST(State, MarksProvenAreConfirmedAndAChainAsFoundIsOn) {
  State state;
  state.set({.item = Item::marks, .value = 2, .bank = 1});
  EXPECT_TRUE(state.holds({.item = Item::marks, .value = 1, .bank = 1}));
  state.set({.item = Item::marks, .value = 0, .bank = 1});
  EXPECT_FALSE(state.holds({.item = Item::marks, .value = 1, .bank = 1}));
  state.set({.item = Item::chain, .value = 2, .bank = 1});
  EXPECT_TRUE(state.holds({.item = Item::chain, .value = 0, .bank = 1}));
  EXPECT_FALSE(state.holds({.item = Item::chain, .value = 1, .bank = 1}));
  EXPECT_THAT(state_text(state), ElementsAre("bank 1: chain as found", "bank 1: marks set"));
}

}  // namespace
}  // namespace tautmark::procedure
