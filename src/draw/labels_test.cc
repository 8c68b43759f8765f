// SPDX-License-Identifier: Apache-2.0
#include "draw/labels.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>

#include "draw/svg.h"

namespace tautmark::draw {
namespace {

TEST(Labels, HandBackWhatFindsNoPlace) {
  Labels labels({0, 0}, {100, 40});
  Svg svg;
  const Label label{.lines = {"twelve signs"}};
  const std::array places{Place{{50, 20}}};
  labels.keep_clear({50, 20}, 5);
  EXPECT_FALSE(labels.place(svg, label, places, Labels::Demand::clear));
  EXPECT_TRUE(labels.place(svg, label, places));
  EXPECT_FALSE(labels.place(svg, label, places));
  const std::array outside{Place{{95, 20}}};
  EXPECT_FALSE(labels.place(svg, label, outside));
}

TEST(SvgNumbers, HaveTwoDecimalsAndNoExponent) {
  EXPECT_EQ(number(0), "0");
  EXPECT_EQ(number(-0.001), "0");
  EXPECT_EQ(number(12.5), "12.5");
  EXPECT_EQ(number(-0.256), "-0.26");
  EXPECT_EQ(number(1234567.891), "1234567.89");
  EXPECT_EQ(number(std::numeric_limits<double>::quiet_NaN()), "0");
  EXPECT_EQ(number(1e300), "0");
}

TEST(Boxes, OverlapOnlyWhenNoLineParts) {
  const XY slanted{std::sqrt(0.5), std::sqrt(0.5)};
  const Box flat{{0, 0}, 10, 1};
  EXPECT_TRUE(overlap(flat, {{9, 0}, 5, 5}));
  EXPECT_FALSE(overlap(flat, {{0, 7}, 5, 5}));
  // Closed form: the corner of a unit square turned by 45° reaches sqrt(2) from its center.
  EXPECT_TRUE(overlap(flat, {{0, 1 + std::sqrt(2) - 0.01}, 1, 1, slanted}));
  EXPECT_FALSE(overlap(flat, {{0, 1 + std::sqrt(2) + 0.01}, 1, 1, slanted}));
}

TEST(Wrapped, BreaksAtBlanksAndCutsOnlyWhatIsTooLong) {
  using Lines = std::vector<std::string>;
  EXPECT_EQ(wrapped("one two", 100), (Lines{"one two"}));
  EXPECT_EQ(wrapped("one two", 3), (Lines{"one", "two"}));
  std::string whole;
  for (const std::string& line : wrapped("überlangeswort", 3)) {
    EXPECT_LE(text_width(line), 3);
    whole += line;
  }
  EXPECT_EQ(whole, "überlangeswort");
}

}  // namespace
}  // namespace tautmark::draw
