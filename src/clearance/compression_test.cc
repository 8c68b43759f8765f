// SPDX-License-Identifier: Apache-2.0
#include "clearance/compression.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "clearance/events.h"

namespace tautmark::clearance {
namespace {

// The invented four of trade.md 6.B: stroke 90, rod 143, ratio 10.5.
CompressionInputs engine(double closes) {
  return {.slider = {.half_throw = mm(45), .rod = mm(143)},
          .ratio = 10.5,
          .closes_after_bottom = crank_deg(closes)};
}

// Source: trade.md 6.B: closing at 1.0 mm lift 40.7 after the bottom, moved by 21.36: 0.8545,
// 1154 kPa of 1350; with the seat closing (67) 0.756.
TEST(PressureShare, OfTheTrade) {
  const auto lift = pressure_share(engine(40.7), crank_deg(21.36));
  ASSERT_TRUE(lift) << lift.error().why;
  EXPECT_NEAR(*lift, 0.8545, 5e-5);
  EXPECT_NEAR(in_kPa(expected_reading(kPa(1350), *lift, {})), 1154, 0.5);
  EXPECT_NEAR(*pressure_share(engine(67), crank_deg(21.36)), 0.756, 5e-4);
}

// Source: trade.md 6.B: lift 9.5 cos² of 250 deg on a center of 122 closes at 1.0 mm 40.7 deg after
// the bottom.
TEST(PressureShare, TheClosingIsThatOfTheLobeAtOneMillimeter) {
  const auto span = open_span(
      lift_curve(LawLobe{LiftLaw::harmonic, mm(9.5), crank_deg(125), crank_deg(360 + 122)}), mm(1));
  ASSERT_TRUE(span);
  EXPECT_NEAR(in_crank_deg(span->closes) - 540, 40.7, 0.05);
}

// Source: closed form. Closing at the bottom the effective ratio is the geometric one; a quarter
// turn from the top with the rod along the 3-4-5 triangle, s = 60 of 90: 1 + 9.5 * 60/90.
TEST(EffectiveRatio, OfClosedForms) {
  EXPECT_NEAR(*effective_ratio(engine(0)), 10.5, 1e-12);
  CompressionInputs triangle = engine(90);
  triangle.slider.rod = mm(75);
  EXPECT_NEAR(*effective_ratio(triangle), 1 + 9.5 * 60 / 90, 1e-12);
  EXPECT_NEAR(*effective_ratio(triangle, crank_deg(-90)), 10.5, 1e-12);
}

// Source: closed form: the gauge's zero is the air's pressure. (1350 + 100) 0.8 - 100 = 1060.
TEST(ExpectedReading, CountsTheAir) {
  EXPECT_NEAR(in_kPa(expected_reading(kPa(1350), 0.8, kPa(100))), 1060, 1e-9);
}

// Even and above the minimum proves nothing: by trade.md 6.B the minimum is 1000 of 1350 kPa, and
// more than one tooth (18.95) of lateness stays above it.
TEST(LatestAtShare, IsMoreThanAToothAboveTheMinimum) {
  const auto latest = latest_at_share(engine(40.7), 1000.0 / 1350);
  ASSERT_TRUE(latest);
  EXPECT_GT(in_crank_deg(*latest), 720.0 / 38);
  EXPECT_LT(in_crank_deg(*latest), 2 * 720.0 / 38);
  EXPECT_NEAR(*pressure_share(engine(40.7), *latest), 1000.0 / 1350, 1e-12);
  EXPECT_FALSE(latest_at_share(engine(40.7), 1.1));
  EXPECT_FALSE(latest_at_share(engine(40.7), 0.001));
}

// Closed form: without pin offset the piston is as high 10 after the bottom as 10 before it, so a
// valve that closes 10 before loses nothing by 20 of lateness, and has gained on the way.
TEST(LatestAtShare, OfAClosingBeforeTheBottom) {
  EXPECT_NEAR(in_crank_deg(*latest_at_share(engine(-10), 1)), 20, 1e-5);
  EXPECT_NEAR(in_crank_deg(*latest_at_share(engine(-10), 1.001)), 20, 5);
}

TEST(Compression, RefusesWhatCompressesNothing) {
  EXPECT_FALSE(pressure_share(engine(40.7), crank_deg(120)));
  EXPECT_FALSE(pressure_share(engine(NAN), {}));
  CompressionInputs bad = engine(40.7);
  bad.ratio = 1;
  EXPECT_FALSE(effective_ratio(bad));
  bad = engine(40.7);
  bad.exponent = 2;
  EXPECT_FALSE(effective_ratio(bad));
  bad = engine(40.7);
  bad.slider.rod = mm(40);
  EXPECT_FALSE(effective_ratio(bad));
}

}  // namespace
}  // namespace tautmark::clearance
