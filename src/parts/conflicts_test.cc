// SPDX-License-Identifier: Apache-2.0
#include "parts/conflicts.h"

#include <gmock/gmock.h>

#include "parts/parts_test_support.h"

namespace tautmark::parts {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

std::vector<std::string> found(const LoadedCase& loaded) {
  std::vector<std::string> words;
  for (const Conflict& one : conflicts(loaded.drives.front().drive, loaded.value))
    words.push_back(
        fmt::format("{}: {}: {}", one.is_proven ? "fail" : "open", one.subject, one.why));
  return words;
}

std::vector<std::string> on_vessgarth(const std::string& entries) {
  return found(test::with_entries("vessgarth-v6-12", entries));
}

const std::string kBox =
    "  - {id: b1, kind: part, part: bank 2 chain set, bank: 2, action: in the box, edition: B, "
    "date: 2026-01-15, found: [chain of 124 links, tensioner of bank 2 with gasket, fixed guide, "
    "tensioner arm], beside_old: [links, marks, feed hole, plunger side]}\n";
const std::string kOrder =
    "  - {id: o1, kind: part, part: bank 2 chain set, bank: 2, action: ordered, count: 1}\n";

// "Can I fit the tensioner from the other bank, it bolts on?" No: the project's notes on the
// trade, acceptance question 12.
TEST(PartsConflicts, ATensionerOfTheOtherBankFails) {
  for (const char* entry :
       {"  - {id: e1, kind: part, part: tensioner of bank 1 with gasket, bank: 2, action: "
        "fitted}\n",
        "  - {id: e1, kind: part, part: bank 1 tensioner, bank: 2, action: fitted}\n",
        "  - {id: e1, kind: part, part: bank 1 tensioner, bank: 2, action: reused}\n"})
    EXPECT_THAT(on_vessgarth(entry), Contains(HasSubstr("the part is of bank 1, and it is entered "
                                                        "for bank 2")))
        << entry;
}

TEST(PartsConflicts, ASetOfTheOtherBankFails) {
  EXPECT_THAT(
      on_vessgarth("  - {id: e1, kind: part, part: bank 1 chain set, bank: 2, action: ordered}\n"),
      Contains(HasSubstr("fail: bank 1 chain set, bank 2: the part is of bank 1")));
  std::string box = kBox;
  box.replace(box.find("tensioner of bank 2"), 19, "tensioner of bank 1");
  EXPECT_THAT(on_vessgarth(box),
              Contains("fail: bank 2 chain set: in the box lay a part of bank 1: tensioner of bank "
                       "1 with gasket"));
}

TEST(PartsConflicts, APartThatEachBankHasWantsItsBank) {
  EXPECT_THAT(on_vessgarth("  - {id: e1, kind: part, part: phaser, action: ordered}\n"),
              Contains(HasSubstr("open: phaser: each bank has its own")));
}

TEST(PartsConflicts, AChainOfOtherLinksFails) {
  EXPECT_THAT(on_vessgarth("  - {id: e1, kind: part, part: chain of 126 links, bank: 1, action: "
                           "ordered}\n"),
              Contains("fail: chain of 126 links, bank 1: chain of 126 links; the chain of this "
                       "engine has 124 links"));
}

TEST(PartsConflicts, EditionAndDate) {
  const std::string differs =
      "open: bank 2 chain set: the box is of edition C, 2026-01-15; the definition knows B, "
      "2026-01-15";
  std::string box = kBox;
  EXPECT_THAT(on_vessgarth(kOrder + box), IsEmpty());
  box.replace(box.find("edition: B"), 10, "edition: C");
  EXPECT_THAT(on_vessgarth(kOrder + box), Contains(differs));
  box = kBox;
  box.replace(box.find("date: 2026-01-15"), 16, "date: 2026-02-15");
  EXPECT_THAT(on_vessgarth(kOrder + box), Contains(HasSubstr("the box is of edition B, 2026-02")));
  box = kBox;
  box.replace(box.find("edition: B, "), 12, "");
  EXPECT_THAT(on_vessgarth(kOrder + box), Contains(HasSubstr("are not entered")));
  EXPECT_THAT(found(test::with_drive("parts: [{name: chain set, holds: [chain], edition: A}]\n",
                                     "  - {id: e1, kind: part, part: chain set, action: ordered}"
                                     "\n")),
              Contains(HasSubstr("the definition gives no date of its list")));
}

TEST(PartsConflicts, WhatLayInTheBox) {
  std::string box = kBox;
  box.replace(box.find(", fixed guide"), 13, ", top guide");
  EXPECT_THAT(on_vessgarth(box), Contains(HasSubstr("not in the box: fixed guide")));
  EXPECT_THAT(on_vessgarth(box), Contains(HasSubstr("not on its list: top guide")));
  EXPECT_THAT(on_vessgarth("  - {id: b1, kind: part, part: bank 2 chain set, bank: 2, action: in "
                           "the box, edition: B, date: 2026-01-15}\n"),
              Contains(HasSubstr("no entry says what lay in it")));
}

TEST(PartsConflicts, AClosedBoxGivesNothing) {
  const std::string fitted =
      "  - {id: f1, kind: part, part: fixed guide, bank: 2, action: fitted, count: 1}\n";
  EXPECT_THAT(on_vessgarth(kOrder + fitted),
              Contains(HasSubstr("no entry says that its box was opened")));
  EXPECT_THAT(on_vessgarth(kOrder + kBox + fitted), IsEmpty());
  EXPECT_THAT(on_vessgarth("  - {id: s1, kind: step, step: Lay the chain of bank 2 on}\n"),
              Contains(HasSubstr("open: bank 2 chain set: something of it was fitted")));
}

TEST(PartsConflicts, TwiceTheSame) {
  const std::string two =
      "parts: [{name: small set, holds: [chain, arm], edition: A, date: 2026-01-01},\n"
      "        {name: big set, holds: [chain, guide], edition: A, date: 2026-01-01}]\n";
  EXPECT_THAT(found(test::with_drive(two,
                                     "  - {id: e1, kind: part, part: small set, action: ordered}\n"
                                     "  - {id: e2, kind: part, part: big set, action: ordered}\n")),
              Contains("open: small set: this is also in big set: chain"));
  EXPECT_THAT(found(test::with_drive(two,
                                     "  - {id: e1, kind: part, part: small set, action: ordered}\n"
                                     "  - {id: e2, kind: part, part: arm, action: ordered}\n")),
              Contains("open: arm: ordered by itself, and it is also in small set"));
}

TEST(PartsConflicts, OldBesideNew) {
  const auto with = [](const std::string& more) {
    return on_vessgarth(
        "  - {id: f1, kind: part, part: tensioner of bank 2 with gasket, bank: 2, action: fitted" +
        more + "}\n");
  };
  EXPECT_THAT(with(""), Contains(HasSubstr("not compared with the old one: feed hole, plunger")));
  EXPECT_THAT(with(", beside_old: [feed hole]"),
              Contains(HasSubstr("not compared with the old one: plunger side")));
  EXPECT_THAT(with(", beside_old: [feed hole, plunger side]"),
              Not(Contains(HasSubstr("compared"))));
  for (const char* aspect : {"links", "teeth", "feed hole", "plunger side"})
    EXPECT_THAT(with(fmt::format(", differs: [{}]", aspect)),
                Contains(HasSubstr(fmt::format("fail: tensioner of bank 2 with gasket: new and old "
                                               "differ: {}",
                                               aspect))));
  EXPECT_THAT(with(", differs: [marks]"), Contains(HasSubstr("open: tensioner of bank 2 with "
                                                             "gasket: new and old differ: marks")));
}

TEST(PartsConflicts, FittedWithoutADecision) {
  const std::string fitted =
      "  - {id: f1, kind: part, part: phaser, bank: 2, action: fitted, beside_old: [teeth, marks]}"
      "\n";
  EXPECT_THAT(on_vessgarth(fitted), Contains(HasSubstr("no entry says that anybody decided")));
  EXPECT_THAT(on_vessgarth("  - {id: d1, kind: decision, about: bank 2 phaser, decided: replace, "
                           "reason: worn}\n" +
                           fitted),
              IsEmpty());
  // A decision about the other bank is none.
  EXPECT_THAT(on_vessgarth("  - {id: d1, kind: decision, about: bank 1 phaser, decided: replace, "
                           "reason: worn}\n" +
                           fitted),
              Contains(HasSubstr("no entry says that anybody decided")));
}

// Whatever is left out of a whole record is found to be missing.
TEST(PartsConflicts, NothingLeftOutPassesUnseen) {
  const std::string whole =
      kOrder + kBox +
      "  - {id: f1, kind: part, part: chain of 124 links, bank: 2, action: fitted, count: 1}\n"
      "  - {id: f2, kind: part, part: tensioner of bank 2 with gasket, bank: 2, action: fitted}\n";
  ASSERT_THAT(on_vessgarth(whole), IsEmpty());
  for (const char* left_out : {"edition: B, ", "date: 2026-01-15, ", "chain of 124 links, ",
                               ", fixed guide", "tensioner of bank 2 with gasket, ", "links, ",
                               "marks, ", ", plunger side", "feed hole, "}) {
    std::string box = kBox;
    box.erase(box.rfind(left_out), std::string(left_out).size());
    const std::string less = kOrder + box + whole.substr(kOrder.size() + kBox.size());
    EXPECT_THAT(on_vessgarth(less), Not(IsEmpty())) << left_out;
  }
  EXPECT_THAT(
      on_vessgarth(whole.substr(0, kOrder.size()) + whole.substr(kOrder.size() + kBox.size())),
      Not(IsEmpty()));
}

TEST(PartsConflicts, TheDemosHaveNone) {
  for (const char* name : {"vessgarth", "quellmere"})
    EXPECT_THAT(found(test::demo(name)), IsEmpty()) << name;
}

TEST(PartsConflicts, OfADefinition) {
  const auto of = [](const std::string& drive) {
    std::vector<std::string> words;
    for (const Conflict& one :
         definition_conflicts(test::with_drive(drive, "").drives.front().drive))
      words.push_back(one.why);
    return words;
  };
  EXPECT_THAT(of("chains: [{name: chain, links: 126}]\n"
                 "parts: [{name: set, holds: [chain of 124 links]}]\n"),
              Contains("chain of 124 links; the chain of this engine has 126 links"));
  EXPECT_THAT(of("parts: [{name: a set, holds: [arm]}, {name: b set, holds: [arms]}]\n"),
              Contains("this is also in b set: arm"));
  EXPECT_THAT(of("parts: [{name: a set, bank: 1, holds: [arm]}, {name: b set, bank: 2, holds: "
                 "[arm]}]\nbanks: [{number: 1}, {number: 2}]\n"),
              IsEmpty());
}

}  // namespace
}  // namespace tautmark::parts
