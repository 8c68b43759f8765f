// SPDX-License-Identifier: Apache-2.0
#include "parts/names.h"

#include <gtest/gtest.h>

namespace tautmark::parts {
namespace {

TEST(PartNames, APluralIsTheSamePart) {
  EXPECT_TRUE(same_part("Phaser  bolts", "phaser bolt"));
  EXPECT_FALSE(same_part("phaser", "phaser bolt"));
  EXPECT_FALSE(same_part("tensioner", "tensioner arm"));
}

TEST(PartNames, TheBankIsTakenOutOfTheWords) {
  for (const char* words :
       {"bank 2 phaser", "phaser, bank 2", "phaser of bank 2", "Phaser bank 2"}) {
    EXPECT_EQ(without_bank(words).part, "phaser") << words;
    EXPECT_EQ(without_bank(words).bank, 2) << words;
  }
  // Both banks, or a bank in the middle, is no bank.
  EXPECT_EQ(without_bank("chains of both banks").bank, std::nullopt);
  EXPECT_EQ(without_bank("tensioner of bank 1 with gasket").bank, std::nullopt);
  EXPECT_EQ(without_bank("bank 2").bank, std::nullopt);
}

TEST(PartNames, BankAndLinksOfAName) {
  EXPECT_EQ(bank_in("tensioner of bank 1 with gasket"), 1);
  EXPECT_EQ(bank_in("bank-notes 3"), std::nullopt);
  EXPECT_EQ(links_in("chain of 124 links"), 124);
  EXPECT_EQ(links_in("links of the chain"), std::nullopt);
  EXPECT_EQ(part_words("tensioner of bank 1", 1), "tensioner of bank 1");
  EXPECT_EQ(part_words("phaser", 2), "phaser, bank 2");
}

}  // namespace
}  // namespace tautmark::parts
