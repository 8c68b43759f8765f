// SPDX-License-Identifier: Apache-2.0
// Contours of fields whose level lines are known in closed form.
#include "draw/contours.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace tautmark::draw {
namespace {

template <class Value>
Field field(int columns, int rows, Value value) {
  Field out;
  for (int i = 0; i < columns; ++i) out.x.push_back(i);
  for (int j = 0; j < rows; ++j) out.y.push_back(100 - j);  // upward on the sheet
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < columns; ++i) out.values.push_back(value(i, j));
  return out;
}

double area(const std::vector<Contour>& rings) {
  double sum = 0;
  for (const Contour& ring : rings)
    for (std::size_t i = 0; i < ring.points.size(); ++i) {
      const XY a = ring.points[i], b = ring.points[(i + 1) % ring.points.size()];
      sum += (a.x * b.y - b.x * a.y) / 2;
    }
  return std::abs(sum);
}

// A cone: circles, whose straight pieces lie inside by less than a hundredth.
TEST(Contours, ConeGivesCircles) {
  const Field cone = field(41, 41, [](double x, double y) { return std::hypot(x - 20, y - 20); });
  const auto lines = contours(cone, 12.3);
  ASSERT_EQ(lines.size(), 1U);
  EXPECT_TRUE(lines[0].closed);
  for (const XY p : lines[0].points) EXPECT_NEAR(std::hypot(p.x - 20, 100 - p.y - 20), 12.3, 0.02);
  EXPECT_NEAR(area(lines), 3.14159265 * 12.3 * 12.3, 3);
}

// A ring has its hole: the areas of the two circles are of opposite sense.
TEST(Contours, RingsHaveHoles) {
  const Field ring =
      field(61, 61, [](double x, double y) { return std::abs(std::hypot(x - 30, y - 30) - 15); });
  const auto lines = contours(ring, 4);
  ASSERT_EQ(lines.size(), 2U);
  EXPECT_NEAR(area(lines), 3.14159265 * (19.0 * 19 - 11.0 * 11), 4);
}

TEST(Contours, LinesEndAtTheEdgeAndRegionsCloseAlongIt) {
  const Field ramp = field(11, 6, [](double x, double) { return x; });
  const auto lines = contours(ramp, 2.5);
  ASSERT_EQ(lines.size(), 1U);
  EXPECT_FALSE(lines[0].closed);
  ASSERT_EQ(lines[0].points.size(), 2U);
  EXPECT_DOUBLE_EQ(lines[0].points[0].x, 2.5);
  const std::string region = region_below(ramp, 2.5).d();
  EXPECT_EQ(region.back(), 'Z');
  for (const char* corner : {"0 100", "0 95", "2.5 100", "2.5 95"})
    EXPECT_NE(region.find(corner), std::string::npos) << region;
}

// Two low corners across: joined where the middle is low, else apart; never a line too many.
TEST(Contours, SaddlesByTheirMiddle) {
  for (const double low : {0.0, 0.9}) {
    const Field saddle = field(2, 2, [&](int x, int y) { return x == y ? low : 2.0 - 1.0 * low; });
    const auto lines = contours(saddle, 1.02);
    ASSERT_EQ(lines.size(), 2U) << low;
  }
}

TEST(Contours, NothingToDraw) {
  const double none = std::numeric_limits<double>::infinity();
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_TRUE(contours(field(5, 5, [&](int, int) { return none; }), 1).empty());
  EXPECT_TRUE(contours(field(5, 5, [&](int, int) { return nan; }), 1).empty());
  EXPECT_TRUE(contours({}, 1).empty());
  const auto around =
      contours(field(5, 5, [&](int x, int y) { return x == 2 && y == 2 ? 0 : none; }), 1);
  ASSERT_EQ(around.size(), 1U);
  for (const XY p : around[0].points) EXPECT_TRUE(std::isfinite(p.x) && std::isfinite(p.y));
}

}  // namespace
}  // namespace tautmark::draw
