// SPDX-License-Identifier: Apache-2.0
// Conflicts of parts as findings of a case.
#include <gmock/gmock.h>

#include "judge/judge_test_support.h"

namespace tautmark {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

constexpr const char* kSets =
    "parts: [{name: chain set, bank: 1, holds: [chain of 124 links], edition: A, date: "
    "2026-01-01}]\n";

Finding parts_finding(const std::string& entries, const std::string& subject) {
  return test::find(test::judged(test::kCaseHead + entries, test::small_drive(kSets)), "parts",
                    subject);
}

TEST(PartsCheck, AProvenConflictFails) {
  const Finding finding = parts_finding(
      "  - {id: e1, kind: part, part: chain of 126 links, bank: 1, action: fitted, reason: r}\n",
      "chain of 126 links, bank 1");
  EXPECT_EQ(finding.verdict, Verdict::fail);
  EXPECT_FALSE(finding.open_because);
  EXPECT_THAT(finding.why, HasSubstr("the chain of this engine has 124 links"));
  EXPECT_THAT(finding.follows, Contains(HasSubstr("do not fit it")));
  EXPECT_THAT(finding.evidence, Contains("e1"));
}

TEST(PartsCheck, WhatIsMissingIsOpenAndNothingPasses) {
  const std::string entries[] = {
      "  - {id: e1, kind: part, part: chain set, bank: 1, action: ordered}\n",
      "  - {id: e2, kind: part, part: chain set, bank: 1, action: in the box, edition: A, date: "
      "2026-01-01, found: [chain of 124 links], beside_old: [links, marks]}\n",
      "  - {id: e3, kind: part, part: chain of 124 links, bank: 1, action: fitted}\n"};
  // Every subset of the three.
  for (unsigned taken = 0; taken < 8; ++taken) {
    std::string some = "  - {id: e0, kind: note, words: w}\n";
    for (unsigned i = 0; i < 3; ++i)
      if ((taken >> i) % 2 == 1) some += entries[i];
    const Judgement judgement = test::judged(test::kCaseHead + some, test::small_drive(kSets));
    bool is_open = false;
    for (const Finding& finding : judgement.findings) {
      if (finding.check != "parts") continue;
      EXPECT_NE(finding.verdict, Verdict::pass) << taken;
      is_open = is_open || finding.verdict == Verdict::open;
    }
    // Fitted without box, or without order: the two that lack something.
    EXPECT_EQ(is_open, taken == 4 || taken == 5 || taken == 6) << taken;
  }
}

}  // namespace
}  // namespace tautmark
