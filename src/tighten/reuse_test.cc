// SPDX-License-Identifier: Apache-2.0
#include "tighten/reuse.h"

#include <gtest/gtest.h>

namespace tautmark::tighten {
namespace {

TEST(Reuse, UnknownIsSingleUse) {
  EXPECT_EQ(reuse({}).answer, Reuse::replace);
  EXPECT_EQ(
      reuse({.single_use = true, .longest = mm(60.5), .length = Measured{mm(60), mm(0.01)}}).answer,
      Reuse::replace);
  EXPECT_EQ(reuse({.single_use = false}).answer, Reuse::may_go_in_again);
}

// fasteners.md 4.4: length new 60.000, stretched by 0.130, limit 60.5: passes by length; the rule
// is L + U <= limit.
TEST(Reuse, LengthWithItsUncertainty) {
  const auto at = [](double length, double expanded) {
    return reuse({.single_use = false,
                  .longest = mm(60.5),
                  .length = Measured{mm(length), mm(expanded)}})
        .answer;
  };
  EXPECT_EQ(at(60.130, 0.02), Reuse::may_go_in_again);
  EXPECT_EQ(at(60.490, 0.02), Reuse::not_decided);
  EXPECT_EQ(at(60.530, 0.02), Reuse::replace);
}

TEST(Reuse, NeckingCountsBesideTheLength) {
  UsedBolt bolt{.single_use = false,
                .longest = mm(60.5),
                .thinnest = mm(9.7),
                .length = Measured{mm(60.1), mm(0.02)}};
  EXPECT_EQ(reuse(bolt).answer, Reuse::not_decided);
  bolt.diameter = Measured{mm(9.6), mm(0.02)};
  EXPECT_EQ(reuse(bolt).answer, Reuse::replace);
  bolt.diameter = Measured{mm(9.8), mm(0.02)};
  EXPECT_EQ(reuse(bolt).answer, Reuse::may_go_in_again);
}

// trade.md 7, question 15: torque and angle into yield: no, unless below the maker's length.
TEST(Reuse, DrawnPastYieldGoesInAgainOnlyWithinASize) {
  UsedBolt bolt{.single_use = false, .to_yield = true};
  EXPECT_EQ(reuse(bolt).answer, Reuse::replace);
  bolt.longest = mm(60.5);
  EXPECT_EQ(reuse(bolt).answer, Reuse::not_decided);
  bolt.length = Measured{mm(60.1), mm(0.02)};
  EXPECT_EQ(reuse(bolt).answer, Reuse::may_go_in_again);
}

}  // namespace
}  // namespace tautmark::tighten
