// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

const Typed kStraight = {
    {"wanted", "28 N·m"}, {"wrench", "350 mm"}, {"adapter", "40 mm"}, {"angle", "straight"}};

// Source: fasteners.md F5.5: 28 × 350 / 390 = 25.128205.
TEST(Adapter, SetsLessOnAStraightAdapter) {
  const Answer done = answered(kAdapter, kStraight);
  EXPECT_THAT(done.lines.front(), HasSubstr("25.1 N·m (18.5 lbf·ft, 222 lbf·in)"));
  EXPECT_THAT(done.cautions, Contains(HasSubstr("maker")));
  EXPECT_THAT(done.cautions, Contains(HasSubstr("angle step")));
}

// Source: fasteners.md F5.1 to F5.4; the last is 112.5 N·m, a tie when rounded, so in lbf·in.
TEST(Adapter, FollowsTheAngle) {
  for (const auto& [angle, set] :
       {std::pair{"0 deg", "90.0 N·m"}, std::pair{"45 deg", "92.7 N·m"},
        std::pair{"90 deg", "100 N·m"}, std::pair{"folded back", "996 lbf·in"}}) {
    const Answer done = answered(
        kAdapter,
        {{"wanted", "100 N·m"}, {"wrench", "450 mm"}, {"adapter", "50 mm"}, {"angle", angle}});
    EXPECT_THAT(done.lines.front(), HasSubstr(set)) << angle;
  }
}

TEST(Adapter, NeedsNoCorrectionAtNinetyDegrees) {
  const Answer done = answered(kAdapter, with(kStraight, {{"angle", "90 deg"}}));
  EXPECT_THAT(done.lines.front(), HasSubstr("28.0 N·m"));
  EXPECT_THAT(done.lines.front(), HasSubstr("no correction"));
}

TEST(Adapter, AsksWhatIsMissingOrUnclear) {
  EXPECT_EQ(asked(kAdapter, {}).input, "wanted");
  EXPECT_EQ(asked(kAdapter, with(kStraight, {{"wanted", "28 lb"}})).input, "wanted");
  EXPECT_EQ(asked(kAdapter, with(kStraight, {{"wanted", "28"}})).input, "wanted");
  EXPECT_EQ(asked(kAdapter, with(kStraight, {{"wanted", "-28 N·m"}})).input, "wanted");
  EXPECT_EQ(asked(kAdapter, with(kStraight, {{"wrench", "350"}})).input, "wrench");
  EXPECT_EQ(asked(kAdapter, with(kStraight, {{"adapter", "0 mm"}})).input, "adapter");
  EXPECT_EQ(asked(kAdapter, with(kStraight, {{"angle", ""}})).input, "angle");
  EXPECT_EQ(asked(kAdapter, with(kStraight, {{"angle", "270 deg"}})).input, "angle");
  EXPECT_EQ(
      asked(kAdapter, with(kStraight, {{"angle", "folded back"}, {"adapter", "350 mm"}})).input,
      "adapter");
}

}  // namespace
}  // namespace tautmark::quick
