// SPDX-License-Identifier: Apache-2.0
#include "clearance/piston.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <initializer_list>
#include <limits>

namespace tautmark::clearance {
namespace {

using ::testing::HasSubstr;

constexpr double kPrinted = 1e-6;  // geometry.md prints six decimals of mm and degrees

Slider engine() { return {.half_throw = mm(43), .rod = mm(143), .pin_offset = mm(0.8)}; }

// Crank angle from true top dead center of a throw angle, as the note's tables count.
CrankAngle at_throw(const Slider& slider, double degrees) {
  return crank_deg(degrees) +
         CrankAngle::from_si(std::asin(slider.pin_offset / (slider.rod + slider.half_throw)));
}

// Source: geometry.md 5.1, the textbook example: pin 126.838005 mm above the crank center.
TEST(PistonDrop, OfTheTextbookExample) {
  const Slider slider{.half_throw = mm(40), .rod = mm(120), .pin_offset = mm(20)};
  const double x_max = std::sqrt(160.0 * 160 - 20.0 * 20);
  EXPECT_NEAR(x_max - in_mm(drop(slider, at_throw(slider, 60))), 126.838005, kPrinted);
}

// Source: geometry.md 5.1, the invented engine.
TEST(PistonDrop, OfTheInventedEngine) {
  const Slider slider = engine();
  EXPECT_NEAR(in_mm(stroke_of(slider)), 86.001480, kPrinted);
  EXPECT_NEAR(in_crank_deg(bottom_dead_center(slider)), 179.541629 + 0.246434, kPrinted);
  EXPECT_NEAR(in_mm(drop(slider, bottom_dead_center(slider))), 86.001480, kPrinted);
  struct Row {
    double at, down;
  };
  for (const Row& row : {Row{0, 0.000517}, Row{30, 7.508665}, Row{60, 26.650438},
                         Row{90, 49.871280}, Row{120, 69.650438}, Row{150, 81.986850},
                         Row{180, 86.000517}, Row{270, 49.366804}, Row{330, 7.265336}})
    EXPECT_NEAR(in_mm(drop(slider, at_throw(slider, row.at))), row.down, kPrinted) << row.at;
  EXPECT_EQ(drop(slider, {}).si(), 0);
}

// Source: closed form. At 90 deg the throw (45), the rod (75) and the bore (60) are a 3-4-5
// triangle: 45 + 75 - 60 = 60 mm exactly.
TEST(PistonDrop, IsSixtyMillimetersForThe345TriangleAt90Degrees) {
  const Slider slider{.half_throw = mm(45), .rod = mm(75)};
  EXPECT_NEAR(in_mm(drop(slider, crank_deg(90))), 60, 1e-12);
  EXPECT_NEAR(in_mm(drop(slider, crank_deg(90 - 7200))), 60, 1e-11);
}

// Source: geometry.md 5.1, angle and value of the greatest piston speed: r = 0.3, l = 1 m at
// 200 1/min, 74.528932 deg and 6.561732 m/s; r = 2, l = 6: 73.175297 deg.
TEST(PistonSlope, IsGreatestWhereTheExamplesSay) {
  const auto greatest = [](const Slider& slider) {
    double low = 60, high = 90;  // golden section is not needed: thirds do
    while (high - low > 1e-9) {
      const double a = low + (high - low) / 3, b = high - (high - low) / 3;
      (drop_slope(slider, crank_deg(a)) < drop_slope(slider, crank_deg(b)) ? low : high) =
          drop_slope(slider, crank_deg(a)) < drop_slope(slider, crank_deg(b)) ? a : b;
    }
    return low;
  };
  const Slider textbook{.half_throw = mm(300), .rod = mm(1000)};
  EXPECT_NEAR(greatest(textbook), 74.528932, 1e-5);
  EXPECT_NEAR(drop_slope(textbook, crank_deg(74.528932)) * 200 * 2 * std::acos(-1) / 60, 6.561732,
              kPrinted);
  EXPECT_NEAR(greatest({.half_throw = mm(2), .rod = mm(6)}), 73.175297, 1e-5);
}

// Source: the difference quotient of drop() itself, h = 1e-5 rad: error about 1e-10 of the throw.
TEST(PistonSlope, IsTheSlopeOfTheDrop) {
  const Slider slider{.half_throw = mm(43), .rod = mm(120), .pin_offset = mm(-12)};
  const CrankAngle h = CrankAngle::from_si(1e-5);
  for (double at = -360; at <= 720; at += 7.3) {
    const CrankAngle here = crank_deg(at);
    EXPECT_NEAR(drop_slope(slider, here),
                (drop(slider, here + h) - drop(slider, here - h)).si() / 2e-5, 1e-10)
        << at;
  }
}

TEST(AnglesAtDrop, AreTheInverseOfDrop) {
  for (const double offset : {-15.0, -0.8, 0.0, 0.8, 10.0}) {
    const Slider slider{.half_throw = mm(43), .rod = mm(143), .pin_offset = mm(offset)};
    const double bottom = in_crank_deg(bottom_dead_center(slider));
    for (double at = 0.5; at < bottom; at += 1.7) {
      const auto down = angles_at_drop(slider, drop(slider, crank_deg(at)));
      ASSERT_TRUE(down);
      EXPECT_NEAR(in_crank_deg(down->down), at, 1e-9) << offset;
      EXPECT_NEAR(in_mm(drop(slider, down->up)), in_mm(drop(slider, crank_deg(at))), 1e-11);
      EXPECT_LT(down->up.si(), 0);
      EXPECT_GT(in_crank_deg(down->up), bottom - 360);
    }
  }
}

// Source: geometry.md 7.3, window edges of the invented engine: 5.640142 mm of drop at 26.088643
// and 333.895944 crank deg.
TEST(AnglesAtDrop, OfTheWindowOfTheNote) {
  const auto edges = angles_at_drop(engine(), mm(5.640142));
  ASSERT_TRUE(edges);
  EXPECT_NEAR(in_crank_deg(edges->down), 26.088643, 2e-6);
  EXPECT_NEAR(in_crank_deg(edges->up) + 360, 333.895944, 2e-6);
}

TEST(AnglesAtDrop, AreNothingBeyondTheStroke) {
  EXPECT_FALSE(angles_at_drop(engine(), mm(-0.001)));
  EXPECT_FALSE(angles_at_drop(engine(), mm(86.0015)));
  EXPECT_FALSE(angles_at_drop(engine(), mm(std::numeric_limits<double>::quiet_NaN())));
  const auto top = angles_at_drop(engine(), Length{});
  ASSERT_TRUE(top);
  EXPECT_NEAR(in_crank_deg(top->down), 0, 1e-5);
  EXPECT_NEAR(in_crank_deg(top->up), 0, 1e-5);
}

TEST(SliderFromStroke, GivesTheStrokeBack) {
  const auto slider = slider_from_stroke(mm(86.001480), mm(143), mm(0.8));
  ASSERT_TRUE(slider);
  EXPECT_NEAR(in_mm(slider->half_throw), 43, kPrinted);  // geometry.md 5.1
  for (const double offset : {-15.0, 0.0, 4.0, 12.0}) {
    const auto other = slider_from_stroke(mm(90), mm(150), mm(offset));
    ASSERT_TRUE(other);
    EXPECT_NEAR(in_mm(stroke_of(*other)), 90, 1e-11) << offset;
  }
}

TEST(SliderFromStroke, RefusesWhatNoCrankCanBe) {
  EXPECT_FALSE(slider_from_stroke(mm(0), mm(143), {}));
  EXPECT_FALSE(slider_from_stroke(mm(86), mm(43), {}));
  EXPECT_FALSE(slider_from_stroke(mm(86), mm(143), mm(142)));
  EXPECT_FALSE(slider_from_stroke(mm(86), mm(143), mm(std::numeric_limits<double>::infinity())));
  EXPECT_FALSE(check({.half_throw = mm(-43), .rod = mm(143)}));
  const auto refused = check({.half_throw = mm(43), .rod = mm(43.5), .pin_offset = mm(0.8)});
  ASSERT_FALSE(refused);
  EXPECT_THAT(refused.error().why, HasSubstr("43.5 mm is too short"));
}

}  // namespace
}  // namespace tautmark::clearance
