// SPDX-License-Identifier: Apache-2.0
#include "serve/weighted.h"

#include <gtest/gtest.h>

namespace tautmark {
namespace {

// RFC 9110, section 12.5.4: "I prefer Danish, but will accept British English and other types of
// English".
TEST(Weighted, ReadsTheExampleOfTheStandard) {
  const auto all = weighted("da, en-gb;q=0.8, EN ; q=0.7");
  ASSERT_EQ(all.size(), 3U);
  EXPECT_EQ(all[0].name, "da");
  EXPECT_EQ(all[0].weight, 1);
  EXPECT_EQ(all[1].name, "en-gb");
  EXPECT_EQ(all[1].weight, 0.8);
  EXPECT_EQ(all[2].name, "en");
  EXPECT_EQ(all[2].weight, 0.7);
}

TEST(Weighted, WhatCannotBeReadWeighsNothing) {
  for (const char* said : {"de;q=", "de;q=much", "de;level=1", "de;q=0"}) {
    const auto all = weighted(said);
    ASSERT_EQ(all.size(), 1U) << said;
    EXPECT_EQ(all[0].weight, 0) << said;
  }
}

}  // namespace
}  // namespace tautmark
