// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

const Typed kTwo = {
    {"readings", "60000 km 0.10 %; 120000 km 0.20 %"}, {"doubt", "± 0.02 %"}, {"limit", "0.35 %"}};

// Closed form: 0.10 % in 60 000 km, 0.15 % more is 90 000 km on.
TEST(Life, TwoReadingsMakeALine) {
  EXPECT_THAT(answered(kLife, kTwo).lines.front(), HasSubstr("at about 210000 km"));
  EXPECT_FALSE(answered(kLife, kTwo).verdict);
}

TEST(Life, ThePlungerCountsAsWell) {
  EXPECT_THAT(answered(kLife, {{"readings", "1000 h 6.0 mm; 3000 h 9.0 mm"},
                               {"doubt", "0.5 mm"},
                               {"limit", "15 mm"}})
                  .lines.front(),
              HasSubstr("at about 7000 h"));
}

TEST(Life, AReadingPastTheLimitIsSaidToBePast) {
  EXPECT_THAT(answered(kLife, with(kTwo, {{"readings", "60000 km 0.09 %; 118000 km 0.40 %"}}))
                  .lines.front(),
              HasSubstr("reached it"));
}

TEST(Life, OneReadingHasNoTrend) {
  EXPECT_EQ(asked(kLife, with(kTwo, {{"readings", "120000 km 0.20 %"}})).input, "readings");
  EXPECT_EQ(asked(kLife, with(kTwo, {{"readings", "0.10 %; 0.20 %"}})).input, "readings");
  EXPECT_EQ(asked(kLife, with(kTwo, {{"doubt", "1 mm"}})).input, "doubt");
}

}  // namespace
}  // namespace tautmark::quick
