// SPDX-License-Identifier: Apache-2.0
#include "geometry/returns.h"

#include <gtest/gtest.h>

#include <numeric>

#include "geometry/counts.h"

namespace tautmark {
namespace {

// geometry.md 4.5, the rows of its table; "with cam mark".
TEST(MarkReturns, AreThoseOfTheTableForOneChain) {
  struct Row {
    int links, crank, crank_mark, with_cam;
  };
  for (const Row& row : {Row{174, 18, 29, 58}, Row{106, 20, 53, 106}, Row{126, 20, 63, 126},
                         Row{110, 20, 11, 22}, Row{120, 20, 6, 6}, Row{124, 21, 124, 124},
                         Row{100, 23, 100, 100}, Row{138, 19, 138, 138}}) {
    const auto found = mark_returns({{{1, 1}, {1, 2}}, {{row.links, row.crank, {1, 1}}}});
    ASSERT_TRUE(found);
    EXPECT_EQ(found->sprocket_marks, 2);
    EXPECT_EQ(found->links[0], row.crank_mark) << row.links;
    EXPECT_EQ(found->links_marks[0], row.with_cam) << row.links;
  }
}

// geometry.md 4.5: two chains 106 and 126: 6678; 106 and 110: 1166.
TEST(MarkReturns, OfTwoChainsAreTheTableValues) {
  EXPECT_EQ(mark_returns({{{1, 2}}, {{106, 20, {1, 1}}, {126, 20, {1, 1}}}})->all, 6678);
  EXPECT_EQ(mark_returns({{{1, 2}}, {{106, 20, {1, 1}}, {110, 20, {1, 1}}}})->all, 1166);
}

// Brute force: turn the crank one turn at a time until everything stands as it did.
TEST(MarkReturns, AgreeWithTurningOneByOne) {
  // 20 -> 30, 21 -> 28, 24 -> 24: idler 2/3, camshafts 1/2 of a crank turn.
  const ReturnInputs in{{{1, 1}, {2, 3}, {1, 2}},
                        {{64, 20, {1, 1}}, {74, 21, {2, 3}}, {54, 24, {1, 2}}}};
  const auto found = mark_returns(in);
  ASSERT_TRUE(found);
  const auto marks_at = [&](long long r) {
    for (const Fraction& v : in.shafts)
      if (r * v.over % v.under != 0) return false;
    return true;
  };
  const auto links_at = [&](long long r, const ChainTurns& c) {
    return r * c.driver.over * c.driver_teeth % (c.driver.under * c.links) == 0;
  };
  long long marks = 1;
  while (!marks_at(marks)) ++marks;
  EXPECT_EQ(found->sprocket_marks, marks);
  for (std::size_t i = 0; i < in.chains.size(); ++i) {
    long long alone = 1, both = 1;
    while (!links_at(alone, in.chains[i])) ++alone;
    while (!links_at(both, in.chains[i]) || !marks_at(both)) ++both;
    EXPECT_EQ(found->links[i], alone);
    EXPECT_EQ(found->links_marks[i], both);
  }
}

TEST(MarkReturns, RefuseWhatIsNoCount) {
  EXPECT_FALSE(mark_returns({{{1, 2}}, {{0, 20, {1, 1}}}}));
  EXPECT_FALSE(mark_returns({{{1, 0}}, {}}));
  EXPECT_FALSE(mark_returns({{{1, 2}}, {{124, 100'001, {1, 1}}}}));
}

}  // namespace
}  // namespace tautmark
