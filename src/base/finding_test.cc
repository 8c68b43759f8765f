// SPDX-License-Identifier: Apache-2.0
#include "base/finding.h"

#include <gtest/gtest.h>

#include <set>
#include <string_view>

namespace tautmark {
namespace {

TEST(FindingWords, VerdictsAreThreeWords) {
  EXPECT_EQ(verdict_word(Verdict::pass), "pass");
  EXPECT_EQ(verdict_word(Verdict::fail), "fail");
  EXPECT_EQ(verdict_word(Verdict::open), "open");
}

TEST(FindingWords, EveryKindOfOpenHasItsOwnWords) {
  std::set<std::string_view> words;
  constexpr int kKindsOfOpen = static_cast<int>(OpenBecause::forecast) + 1;
  for (int i = 0; i < kKindsOfOpen; ++i) {
    words.insert(open_because_text(static_cast<OpenBecause>(i)));
  }
  EXPECT_EQ(words.size(), static_cast<std::size_t>(kKindsOfOpen));
  EXPECT_EQ(open_because_text(OpenBecause::too_close), "too close to call");
  EXPECT_EQ(open_because_text(OpenBecause::limit_origin), "limit without authority");
}

TEST(FindingWords, OnlyMakerAndShopCarryAPass) {
  EXPECT_TRUE(can_carry_pass(Origin::maker));
  EXPECT_TRUE(can_carry_pass(Origin::shop));
  EXPECT_FALSE(can_carry_pass(Origin::common_practice));
  EXPECT_FALSE(can_carry_pass(Origin::program_default));
  EXPECT_FALSE(can_carry_pass(Origin::unknown));
  EXPECT_EQ(origin_text(Origin::common_practice), "common practice");
}

}  // namespace
}  // namespace tautmark
