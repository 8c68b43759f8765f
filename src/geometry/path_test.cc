// SPDX-License-Identifier: Apache-2.0
#include "geometry/path.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <limits>

#include "geometry/loop.h"
#include "geometry/test_drives.h"

namespace tautmark {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

constexpr double kPrinted = 1e-6;  // geometry.md prints six decimals of mm, degrees and pitches

double length_of(std::span<const Circle<double>> circles, std::array<double, 2>& wraps) {
  const std::size_t order[] = {0, 1};
  std::array<LoopPart<double>, 2> parts;
  EXPECT_FALSE(lay_loop<double>(circles, order, parts));
  double length = 0;
  for (std::size_t k = 0; k < 2; ++k) {
    wraps[k] = parts[k].wrap / kRadiansPerDegree;
    length += parts[k].strand + circles[k].r * parts[k].wrap;
  }
  return length;
}

// Source: geometry.md 2.4 checks, closed belt forms 2 sqrt(C² - (R2 -+ R1)²) + ...
TEST(Loop, OpenAndCrossedBeltOfTheNote) {
  std::array<double, 2> wraps{};
  std::array<Circle<double>, 2> circles{{{0, 0, 25, 1, 0}, {200, 0, 50, 1, 0}}};
  EXPECT_NEAR(length_of(circles, wraps), 638.748537237, 1e-8);
  EXPECT_NEAR(wraps[0], 165.638488, kPrinted);
  EXPECT_NEAR(wraps[1], 194.361512, kPrinted);
  circles[1].side = -1;  // figure of eight: the turn sum is 0, both wraps are equal
  EXPECT_NEAR(length_of(circles, wraps), 664.088889548, 1e-8);
  EXPECT_NEAR(wraps[0], 224.048626, kPrinted);
  EXPECT_NEAR(wraps[1], 224.048626, kPrinted);
}

void expect_point(Point p, double x, double y) {
  EXPECT_NEAR(in_mm(p.x), x, kPrinted);
  EXPECT_NEAR(in_mm(p.y), y, kPrinted);
}

// Source: geometry.md 3.4, result at e = 0 (there against a Newton solution of all tangencies).
TEST(SolvePath, WorkedBankAtNew) {
  const auto path = solve_path(worked_bank());
  ASSERT_TRUE(path) << path.error().why;
  EXPECT_NEAR(in_deg(path->arm), 0.217684, kPrinted);
  ASSERT_TRUE(path->stroke);
  EXPECT_NEAR(in_mm(*path->stroke), 6.417879, kPrinted);
  EXPECT_NEAR(in_mm(path->length), 848.513549571, 1e-8);
  EXPECT_NEAR(path->pitches, 106, 1e-12);
  ASSERT_EQ(path->contacts.size(), 4u);
  const double strands[] = {103.617542, 158.049771, 118.350531, 169.287561};
  const double wraps[] = {179.368800, 13.374690, 196.642847, 2.636956};
  for (std::size_t k = 0; k < 4; ++k) {
    EXPECT_EQ(path->contacts[k].element, k);
    EXPECT_NEAR(in_mm(path->strands[k].length), strands[k], kPrinted);
    EXPECT_NEAR(in_deg(path->contacts[k].wrap), wraps[k], kPrinted);
  }
  EXPECT_NEAR(path->contacts[0].pitches, 9.964933, kPrinted);
  EXPECT_NEAR(path->contacts[2].pitches, 21.849205, kPrinted);
  expect_point(path->contacts[0].leaves, -25.532416, 1.382412);
  expect_point(path->contacts[2].arrives, -50.164296, 292.905736);
  expect_point(path->contacts[2].leaves, 50.667489, 296.345991);
  expect_point(path->contacts[3].arrives, 37.542166, 178.725525);
  expect_point(path->contacts[3].leaves, 36.529680, 167.265286);
  expect_point(path->contacts[0].arrives, 25.515638, -1.663601);
  EXPECT_NEAR(path->pitches_per_arm, 2.288997, kPrinted);
}

// Source: geometry.md 3.4, elongation and guide wear tables.
TEST(SolvePath, WorkedBankWorn) {
  const double elongation[][3] = {
      {0.002, 3.331403, 12.382093}, {0.005, 6.704062, 18.800501}, {0.010, 10.744033, 26.401209}};
  for (const auto& row : elongation) {
    PathInputs in = worked_bank(-30);
    in.elongation = Ratio::from_si(row[0]);
    const auto path = solve_path(in);
    ASSERT_TRUE(path) << path.error().why;
    EXPECT_NEAR(in_deg(path->arm), row[1], kPrinted);
    EXPECT_NEAR(in_mm(*path->stroke), row[2], kPrinted);
  }
  const double wear[][4] = {{1, 0.334795, 6.642655, 1.821082}, {2, 0.407270, 6.781745, 1.018099}};
  for (const auto& row : wear) {
    PathInputs in = worked_bank();
    in.elements[3].wear = mm(row[0]);
    const auto path = solve_path(in);
    ASSERT_TRUE(path) << path.error().why;
    EXPECT_NEAR(in_deg(path->arm), row[1], kPrinted);
    EXPECT_NEAR(in_mm(*path->stroke), row[2], kPrinted);
    EXPECT_NEAR(in_deg(path->contacts[3].wrap), row[3], kPrinted);
  }
}

// Source: geometry.md 3.4: engine frame centers; a turned drive has the same lengths.
TEST(SolvePath, EngineFrameIsTheBankTurned) {
  const PathInputs in = worked_bank(-30);
  expect_point(in.elements[1].center, -82.564065, 176.994845);
  const auto path = solve_path(in);
  ASSERT_TRUE(path) << path.error().why;
  expect_point(path->arm_center, -82.117775, 177.219155);
  EXPECT_NEAR(in_mm(path->length), 848.513549571, 1e-8);
}

}  // namespace
}  // namespace tautmark
