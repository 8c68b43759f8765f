// SPDX-License-Identifier: Apache-2.0
#include "oil/choice.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace tautmark::oil {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

const std::vector<double> kEven(20, 0.05);

std::vector<double> about(double middle, double spread) {
  std::vector<double> out;
  for (int i = 0; i < 20; ++i) out.push_back(middle + spread * (i - 9.5) / 9.5);
  return out;
}

TEST(Choice, OneThatIsHighestInEveryDraw) {
  const auto found = about(88, 3), cam = about(98, 20), head = about(138, 12);
  const std::vector<OptionDraws> options{
      {"as found", "", found}, {"cam", "journals", cam}, {"head", "bores", head}};
  const Choice choice = choose(options, kEven);
  EXPECT_TRUE(choice.can_choose);
  ASSERT_TRUE(choice.best);
  EXPECT_EQ(*choice.best, 2U);
  EXPECT_THAT(choice.ranking, ElementsAre(2, 1, 0));
  EXPECT_THAT(choice.said, HasSubstr("head gives the highest"));
}

// Two ways to the same bearing: no choice of the oil's, and no reason to measure again.
TEST(Choice, TwoWaysToTheSameBearing) {
  const auto found = about(88, 3), head = about(138, 12);
  auto repaired = about(139, 12);
  for (int i = 0; i < 20; i += 2) repaired[static_cast<std::size_t>(i)] -= 3;
  const std::vector<OptionDraws> options{
      {"as found", "", found}, {"head", "bores", head}, {"repaired", "bores", repaired}};
  const Choice choice = choose(options, kEven);
  EXPECT_TRUE(choice.can_choose);
  EXPECT_FALSE(choice.best);
  EXPECT_THAT(choice.rivals, testing::UnorderedElementsAre(1, 2));
  EXPECT_THAT(choice.said, HasSubstr("either gives the highest"));
}

TEST(Choice, RangesThatCross) {
  const auto found = about(88, 3), cam = about(120, 5);
  auto head = about(125, 30);
  const std::vector<OptionDraws> options{
      {"as found", "", found}, {"cam", "journals", cam}, {"head", "bores", head}};
  const Choice choice = choose(options, kEven);
  EXPECT_FALSE(choice.can_choose);
  EXPECT_FALSE(choice.best);
  EXPECT_THAT(choice.said, HasSubstr("cannot choose between head; cam"));
}

TEST(Choice, WhatRenewsNothingIsNoChoice) {
  const auto found = about(140, 3);
  auto other = about(140, 3);
  for (std::size_t i = 0; i < 20; ++i) other[i] += i % 2 == 0 ? 1 : -1;
  const std::vector<OptionDraws> options{{"as found", "", found}, {"other", "", other}};
  EXPECT_FALSE(choose(options, kEven).can_choose);
  EXPECT_FALSE(choose(std::span(options).first(1), kEven).can_choose);
  EXPECT_TRUE(choose({}, kEven).ranking.empty());
}

}  // namespace
}  // namespace tautmark::oil
