// SPDX-License-Identifier: Apache-2.0
#include "clearance/top_dead_center.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace tautmark::clearance {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

constexpr double kPrinted = 1e-6;

Slider engine(double offset = 0) {
  return {.half_throw = mm(43), .rod = mm(143), .pin_offset = mm(offset)};
}

StopPair pair(double before, double after) { return {crank_deg(before), crank_deg(after)}; }

// Source: trade.md 6.B and question 23.
TEST(TopFromStop, OfTheTrade) {
  const auto top = top_from_stop({.pairs = {pair(24.5, 22.1)}, .reading_u = crank_deg(0.2)});
  ASSERT_TRUE(top) << top.error().why;
  EXPECT_NEAR(in_crank_deg(top->wheel_reads), -1.2, 1e-12);
  EXPECT_NEAR(in_crank_deg(top->half_angle), 23.3, 1e-12);
  EXPECT_NEAR(in_crank_deg(top->u), 0.2 / std::sqrt(2), 1e-12);
  EXPECT_THAT(top->words, HasSubstr("the wheel reads 1.2° before top dead center when the piston "
                                    "is there"));
  EXPECT_THAT(top->words, HasSubstr("both stops read 23.3°, or add 1.2° to every reading after and "
                                    "take 1.2° off every reading before"));
  EXPECT_NEAR(in_crank_deg(true_angle(*top, crank_deg(22.1))), 23.3, 1e-12);
  EXPECT_NEAR(in_crank_deg(true_angle(*top, crank_deg(-24.5))), -23.3, 1e-12);
  const auto other = top_from_stop({.pairs = {pair(22.1, 24.5)}});
  EXPECT_THAT(other->words, HasSubstr("reads 1.2° after top dead center"));
  EXPECT_THAT(other->words, HasSubstr("add 1.2° to every reading before"));
  EXPECT_THAT(top_from_stop({.pairs = {pair(23, 23)}})->words, HasSubstr("leave it"));
}

// Source: geometry.md 5.2 (mid - TDC, exact), d and h in mm.
TEST(TopFromStop, CorrectsTheOffsetOfThePin) {
  struct Row {
    double offset, down, middle;
  };
  for (const Row& row : {Row{0.8, 10, -0.014002}, Row{2, 5, -0.017019}, Row{10, 5, -0.085091},
                         Row{10, 20, -0.371065}}) {
    const Slider slider = engine(row.offset);
    const auto stops = angles_at_drop(slider, mm(row.down));
    ASSERT_TRUE(stops);
    EXPECT_NEAR(in_crank_deg((stops->down + stops->up) / 2), row.middle, kPrinted);
    // The wheel set 1.5 deg late: it reads 1.5 less everywhere.
    const StopPair read{.before = -stops->up + crank_deg(1.5),
                        .after = stops->down - crank_deg(1.5)};
    const auto top = top_from_stop({.pairs = {read}, .slider = slider});
    ASSERT_TRUE(top) << top.error().why;
    EXPECT_NEAR(in_crank_deg(top->wheel_reads), -1.5, 1e-9);
    EXPECT_NEAR(in_crank_deg(top->offset_correction), row.middle, kPrinted);
    EXPECT_NEAR(in_mm(*top->drop), row.down, 1e-9);
  }
}

// Source: geometry.md 5.2: stop angle and deg per mm at h, d = 0.
TEST(TopFromStop, StatesWhatTheStopsRepeatCosts) {
  struct Row {
    double down, angle, per_mm;
  };
  for (const Row& row :
       {Row{1, 10.861140, 5.45722}, Row{3, 18.905522, 3.19824}, Row{5, 24.530668, 2.51573},
        Row{10, 35.149437, 1.85211}, Row{20, 51.145371, 1.43299}}) {
    const auto top = top_from_stop(
        {.pairs = {pair(row.angle, row.angle)}, .slider = engine(), .stop_u = mm(0.1)});
    ASSERT_TRUE(top);
    EXPECT_NEAR(in_mm(*top->drop), row.down, kPrinted);
    EXPECT_NEAR(in_crank_deg(top->u), 0.1 * row.per_mm / std::sqrt(2), 1e-6);
  }
}

// Source: closed form. Middles -1.2, -1.0, -1.4: mean -1.2, standard deviation 0.2, of the mean
// 0.2/√3; a promise of 0.01 deg is not believed against that.
TEST(TopFromStop, TakesTheScatterOfSeveralPairs) {
  const std::vector<StopPair> pairs{pair(24.5, 22.1), pair(24.3, 22.3), pair(24.7, 21.9)};
  const auto top = top_from_stop({.pairs = pairs, .reading_u = crank_deg(0.01)});
  ASSERT_TRUE(top);
  EXPECT_NEAR(in_crank_deg(top->wheel_reads), -1.2, 1e-12);
  EXPECT_NEAR(in_crank_deg(top->u), 0.2 / std::sqrt(3), 1e-12);
  const auto promised = top_from_stop({.pairs = pairs, .reading_u = crank_deg(0.5)});
  EXPECT_NEAR(in_crank_deg(promised->u), 0.5 / std::sqrt(6), 1e-12);
}

TEST(TopFromStop, RefusesStopsTooCloseAndTooFar) {
  EXPECT_FALSE(top_from_stop({}));
  const auto close = top_from_stop({.pairs = {pair(4.5, 5)}});
  ASSERT_FALSE(close);
  EXPECT_THAT(close.error().why, HasSubstr("only 4.8° from the top"));
  const auto far = top_from_stop({.pairs = {pair(95, 96)}});
  ASSERT_FALSE(far);
  EXPECT_THAT(far.error().why, HasSubstr("past the middle of the stroke"));
  EXPECT_FALSE(top_from_stop({.pairs = {pair(NAN, 20)}}));
  EXPECT_FALSE(top_from_stop({.pairs = {pair(20, 20)}, .slider = Slider{}}));
  EXPECT_THAT(top_from_stop({.pairs = {pair(12, 12)}})->cautions,
              Contains(HasSubstr("close to the top")));
}

// Source: geometry.md 5.2, exact and approximate half angles, d = 0.
TEST(DwellHalfAngle, OfTheNote) {
  struct Row {
    double within, exact, approximate;
  };
  for (const Row& row : {Row{0.005, 0.766135, 0.766126}, Row{0.01, 1.083491, 1.083465},
                         Row{0.02, 1.532326, 1.532251}, Row{0.05, 2.422996, 2.422702},
                         Row{0.1, 3.427051, 3.426218}}) {
    const auto half = dwell_half_angle(engine(), mm(row.within));
    ASSERT_TRUE(half);
    EXPECT_NEAR(in_crank_deg(*half), row.exact, kPrinted);
    EXPECT_NEAR(std::sqrt(2 * row.within / (43 * (1 + 43.0 / 143))) / kRadiansPerDegree,
                row.approximate, kPrinted);
  }
  EXPECT_FALSE(dwell_half_angle(engine(), mm(90)));
}

// Source: trade.md question 23: 2 deg of crank move the piston of a 90 mm stroke 0.04 mm.
TEST(DwellHalfAngle, OfAGaugeThroughThePlugHole) {
  EXPECT_NEAR(in_mm(drop({.half_throw = mm(45), .rod = mm(143)}, crank_deg(2))), 0.04, 0.005);
}

}  // namespace
}  // namespace tautmark::clearance
