// SPDX-License-Identifier: Apache-2.0
// Outside check: the two lists of parts written by hand for the invented engines, before this
// program had any (the project's notes on the trade, scenarios 6.A and 6.B, "Parts list").
#include "parts/list.h"

#include <gmock/gmock.h>

#include "parts/coverage.h"
#include "parts/items.h"
#include "parts/parts_test_support.h"

namespace tautmark::parts {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::UnorderedElementsAre;

List list_of(const LoadedCase& loaded, const std::vector<Doubt>& doubts = {}) {
  return parts_list(loaded.drives.front().drive, &loaded.value, doubts);
}

// "1 phaser, bank 2", "1 (+1) phaser bolt".
std::vector<std::string> said_rows(const List& list) {
  std::vector<std::string> rows;
  for (const Row& row : list.rows) rows.push_back(test::row_words(row));
  return rows;
}

const Row& row(const List& list, const std::string& part, std::optional<int> bank = {}) {
  for (const Row& one : list.rows)
    if (one.part == part && one.bank == bank) return one;
  throw std::runtime_error("no row " + part);
}

std::vector<std::string> not_ordered(const List& list) {
  std::vector<std::string> parts;
  for (const NotOrdered& one : list.not_ordered) parts.push_back(test::named(one.part, one.bank));
  return parts;
}

TEST(PartsList, ABoltUsedOnceThatGoesInAgainIsOpenThoughItGoesWithAnotherPart) {
  const std::string reused =
      "  - {kind: part, id: e1, part: phaser bolt, bank: 1, action: reused, reason: looks good}\n";
  EXPECT_THAT(test::open_words(list_of(test::with_entries("vessgarth-v6-12", reused))),
              Contains("phaser bolt, bank 1: entered as going in again, and it is used once"));
}

TEST(PartsList, WithoutAProcedureWhatIsUsedOnceIsSaidAllTheSame) {
  const LoadedCase thin = test::with_drive(
      "fasteners:\n"
      "  - {name: phaser bolt, single_use: true, steps: [{torque: 30 lbf·ft}]}\n"
      "  - {name: cap bolts, steps: [{torque: 12 N·m}]}\n"
      "  - {name: guide bolts, single_use: false, steps: [{torque: 10 N·m}]}\n",
      "");
  const List list = parts_list(thin.drives.front().drive, nullptr);
  EXPECT_THAT(list.rows, IsEmpty());
  EXPECT_THAT(test::open_words(list),
              ElementsAre(HasSubstr("no procedure"),
                          "phaser bolt: used once: a new one wherever it comes out",
                          "cap bolts: single use not said: a new one wherever it comes out"));
}

TEST(PartsList, VessgarthAsWrittenByHand) {
  const List list = list_of(test::demo("vessgarth"));
  EXPECT_THAT(
      said_rows(list),
      UnorderedElementsAre(
          "1 cylinder head with camshaft caps, bank 2", "1 head gasket, bank 2",
          "8 cylinder head bolts, bank 2", "1 exhaust gasket, bank 2", "1 intake gasket, bank 2",
          "1 phaser, bank 2", "1 phaser bolt, bank 1", "1 phaser bolt, bank 2",
          "1 chain of 124 links, bank 1", "1 chain of 124 links, bank 2",
          "1 tensioner of bank 1 with gasket, bank 1", "1 tensioner of bank 2 with gasket, bank 2",
          "1 fixed guide, bank 1", "1 fixed guide, bank 2", "1 tensioner arm, bank 1",
          "1 tensioner arm, bank 2", "1 crank bolt", "1 front seal", "1 cover gasket set",
          "2 camshaft cover gaskets", "1 sealant", "1 specified oil, 6.0 L",
          "1 oil filter with anti-drain-back valve"));
  EXPECT_THAT(not_ordered(list), Contains("oil pump"));
  EXPECT_THAT(not_ordered(list), Contains("camshaft sensor"));
  EXPECT_THAT(not_ordered(list), Contains("oil control valve"));
  EXPECT_THAT(not_ordered(list), Contains("camshaft, bank 2"));
  EXPECT_THAT(not_ordered(list), Contains("phaser, bank 1"));
  EXPECT_THAT(not_ordered(list), Contains("head gasket, bank 1"));
  // "bank 1 needs one because its chain comes off".
  const Row& bolt = row(list, "phaser bolt", 1);
  EXPECT_THAT(bolt.why.front().words, HasSubstr("the chain or the bolt was off"));
  EXPECT_EQ(bolt.why.front().entry, "e11");
  EXPECT_THAT(bolt.from, IsEmpty());
  // "tensioner bank 1, tensioner bank 2: different parts", each in the set of its bank.
  EXPECT_THAT(row(list, "tensioner of bank 2 with gasket", 2).from,
              ElementsAre("bank 2 chain set"));
  EXPECT_EQ(row(list, "tensioner of bank 2 with gasket", 2).standing, Standing::ordered);
  EXPECT_EQ(row(list, "crank bolt").standing, Standing::to_order);
  // Words about several parts order nothing by themselves.
  EXPECT_THAT(list.in_words, Contains(HasSubstr("e57")));
}

TEST(PartsList, QuellmereAsWrittenByHand) {
  const List list = list_of(test::demo("quellmere"));
  EXPECT_THAT(
      said_rows(list),
      UnorderedElementsAre("1 chain of 138 links", "1 tensioner with gasket", "1 tensioner arm",
                           "1 fixed guide", "1 top guide", "1 intake phaser", "1 (+1) phaser bolt",
                           "1 crank bolt", "1 friction washer of the crank sprocket",
                           "1 front seal", "1 cover gasket", "1 camshaft cover gasket", "1 sealant",
                           "1 specified oil, 4.8 L", "1 oil filter", "1 crank sprocket"));
  EXPECT_THAT(not_ordered(list),
              UnorderedElementsAre("exhaust phaser", "head gasket", "valves", "camshaft sensor",
                                   "oil control valve", "cylinder head"));
  // "second only if exhaust phaser is loosened".
  EXPECT_EQ(row(list, "phaser bolt").only_if_words, "only if it comes off: exhaust phaser");
  // "sold in the set", as everything beside the chain; the phaser is not.
  EXPECT_THAT(row(list, "crank sprocket").from, ElementsAre("timing chain set"));
  EXPECT_THAT(row(list, "intake phaser").from, IsEmpty());
}

TEST(PartsList, OneMoreBoltWhereTheOtherIsOut) {
  const List list = list_of(test::with_entries(
      "quellmere-i4-16",
      "  - {id: e1, kind: part, part: intake phaser, action: ordered, count: 1, reason: burred}\n"
      "  - {id: e2, kind: decision, about: exhaust phaser, decided: reuse, reason: clean}\n"
      "  - {id: e3, kind: step, step: Take the phaser bolts out}\n"));
  EXPECT_EQ(row(list, "phaser bolt").count, 2);
  EXPECT_EQ(row(list, "phaser bolt").only_if, 0);
}

TEST(PartsList, WhatNobodyDecidedIsOpenAndOrdersNothing) {
  const List list = list_of(test::with_entries("vessgarth-v6-12", ""));
  EXPECT_THAT(said_rows(list), Not(Contains(HasSubstr("head"))));
  EXPECT_THAT(said_rows(list), Not(Contains(HasSubstr("phaser"))));
  EXPECT_THAT(test::open_words(list),
              Contains("phaser, bank 2: nothing is decided: a new one, or the old one again"));
  EXPECT_THAT(test::open_words(list), Contains(HasSubstr("head gasket, bank 1: goes with this")));
}

constexpr const char* kSmall =
    "banks: [{number: 1, camshafts: [{name: camshaft}]}]\n"
    "parts: [{name: chain set, holds: [chain, arm]}, {name: seal, single_use: true},\n"
    "        {name: cover, single_use: false, count: 1}]\n"
    "fasteners: [{name: bolt, count: 3}]\n"
    "procedure: [{name: one, what: w, fits: [chain, seal, cover, bolts, clip]}]\n";

TEST(PartsList, SingleUseNotSaidIsTreatedAsUsedOnce) {
  const List list = list_of(test::with_drive(kSmall, ""));
  EXPECT_EQ(row(list, "bolt").count, 3);
  EXPECT_THAT(row(list, "bolt").why.front().words,
              HasSubstr("single use not said, so treated as used once"));
  EXPECT_THAT(row(list, "chain").from, ElementsAre("chain set"));
}

TEST(PartsList, NothingIsGuessed) {
  const List list = list_of(test::with_drive(kSmall, ""));
  EXPECT_EQ(row(list, "seal").count, std::nullopt);
  EXPECT_EQ(row(list, "clip").count, std::nullopt);
  EXPECT_THAT(test::open_words(list), Contains("seal: how many is not said"));
  EXPECT_THAT(test::open_words(list), Contains(HasSubstr("clip: not in the definition")));
  EXPECT_THAT(test::open_words(list), Contains(HasSubstr("cover: nothing is decided")));
}

TEST(PartsList, TheOldOneAgainOnlyWhereTheDefinitionAllows) {
  const List list = list_of(test::with_drive(
      kSmall,
      "  - {id: e1, kind: part, part: bolts, action: reused, reason: measured}\n"
      "  - {id: e2, kind: part, part: seal, action: reused, reason: looks good}\n"));
  EXPECT_THAT(not_ordered(list), ElementsAre("bolt"));
  EXPECT_THAT(test::open_words(list),
              Contains("seal: entered as going in again, and it is used once"));
  EXPECT_NO_THROW(row(list, "seal"));
}

TEST(PartsList, FewerOrderedThanNeededIsOpen) {
  const List list = list_of(test::with_drive(
      kSmall, "  - {id: e1, kind: part, part: bolt, action: ordered, count: 2}\n"));
  EXPECT_THAT(test::open_words(list), Contains("bolt: 3 needed, 2 ordered"));
}

TEST(PartsList, ADoubtedPartWithoutADecisionIsOpen) {
  const std::vector<Doubt> doubts = {{"bank 2 / camshaft / phaser", "phaser-lock-play fail"},
                                     {"bank 1 chain", "chain-elongation fail"},
                                     {"main gallery", "oil-pressure fail"}};
  const List list = list_of(test::with_entries("vessgarth-v6-12", ""), doubts);
  EXPECT_THAT(test::open_words(list),
              Contains("bank 2 / camshaft / phaser: doubted, and nothing is decided: "
                       "phaser-lock-play fail"));
  // The chain is on the list anyway; of the oil nothing is ordered.
  EXPECT_THAT(test::open_words(list), Not(Contains(HasSubstr("chain-elongation"))));
  EXPECT_THAT(test::open_words(list), Not(Contains(HasSubstr("oil-pressure"))));
}

TEST(PartsList, OfADefinitionWhatItsWholeProcedureUsesUp) {
  const LoadedCase loaded = test::with_entries("quellmere-i4-16", "");
  const List list = parts_list(loaded.drives.front().drive, nullptr);
  EXPECT_THAT(said_rows(list), Contains("2 phaser bolt"));
  EXPECT_THAT(said_rows(list), Not(Contains("1 intake phaser")));
  EXPECT_THAT(said_rows(list), Not(Contains(HasSubstr("head gasket"))));
}

TEST(PartsList, WithoutAProcedureItSaysSo) {
  const List list = list_of(test::with_drive("parts: [{name: seal, single_use: true}]\n", ""));
  EXPECT_THAT(list.rows, IsEmpty());
  EXPECT_THAT(test::open_words(list), Contains(HasSubstr("the definition has no procedure")));
}

TEST(Coverage, GapsAndSetsOfTheWrongChain) {
  const Drive base = test::with_entries("vessgarth-v6-12", "").drives.front().drive;
  Drive tall = test::with_entries("vessgarth-v6-12-tall", "").drives.front().drive;
  const auto cell = [](const Coverage& coverage, const std::string& part, std::size_t drive) {
    for (const CoverageRow& row : coverage.rows)
      if (row.part == part && row.bank.value_or(1) == 1) return row.cells[drive].covered;
    throw std::runtime_error("no row " + part);
  };
  Coverage coverage =
      coverage_of({list_for_coverage(base, nullptr), list_for_coverage(tall, nullptr)});
  EXPECT_EQ(cell(coverage, "chain of 124 links", 0), Covered::by_set);
  EXPECT_EQ(cell(coverage, "chain of 124 links", 1), Covered::not_needed);
  EXPECT_EQ(cell(coverage, "chain of 126 links", 1), Covered::by_set);
  EXPECT_EQ(cell(coverage, "phaser bolt", 0), Covered::gap);
  // The set of the base taken over without its chain: 126 links are in no set.
  tall.parts = base.parts;
  tall.procedure = base.procedure;
  coverage = coverage_of({list_for_coverage(tall, nullptr)});
  EXPECT_EQ(cell(coverage, "chain of 124 links", 0), Covered::gap);
  // Without a procedure nothing is known not to be needed.
  Drive thin = base;
  thin.procedure.clear();
  coverage = coverage_of({list_for_coverage(base, nullptr), list_for_coverage(thin, nullptr)});
  EXPECT_EQ(cell(coverage, "crank bolt", 1), Covered::not_known);
}

}  // namespace
}  // namespace tautmark::parts
