// SPDX-License-Identifier: Apache-2.0
#include "geometry/chain_length.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "geometry/path.h"
#include "geometry/test_drives.h"

namespace tautmark {
namespace {

using ::testing::HasSubstr;

constexpr double kPrinted = 1e-6;

// Source: geometry.md 2.1: the first two rows as printed by a textbook (source S5 there), the rest
// computed there. The rows of pitch 1 agree with the unit tables of the standards to four decimals.
TEST(ChainLength, PitchDiameters) {
  const struct {
    double pitch;
    int teeth;
    double diameter;
  } rows[] = {{19.05, 17, 103.673741}, {19.05, 34, 206.462975}, {8, 18, 46.070164},
              {8, 19, 48.604271},      {8, 20, 51.139626},      {8, 21, 53.676049},
              {8, 40, 101.963959},     {8, 42, 107.051920},     {9.525, 18, 54.852289},
              {9.525, 19, 57.869460},  {9.525, 20, 60.888117},  {9.525, 36, 109.287119},
              {9.525, 38, 115.343612}, {9.525, 40, 121.400838}, {9.525, 42, 127.458692},
              {6.35, 24, 48.649240},   {6.35, 48, 97.090156},   {7, 23, 51.407595},
              {7, 46, 102.575505},     {1, 17, 5.442191},       {1, 18, 5.758770},
              {1, 19, 6.075534},       {1, 20, 6.392453},       {1, 21, 6.709506},
              {1, 25, 7.978730}};
  for (const auto& row : rows) {
    const auto d = pitch_diameter(mm(row.pitch), row.teeth);
    ASSERT_TRUE(d) << d.error().why;
    EXPECT_NEAR(in_mm(*d), row.diameter, kPrinted) << row.pitch << ' ' << row.teeth;
  }
}

// Source: geometry.md 2.3: handbook columns of the first two rows printed by a textbook (S5), the
// third by a paper (S9) to its decimals; exact columns computed there.
TEST(ChainLength, HandbookAndExact) {
  const struct {
    TwoSprockets sprockets;
    double center, handbook, exact;
  } rows[] = {{{mm(12.7), 21, 63}, 500, 121.875097, 121.877845},
              {{mm(19.05), 17, 34}, 40 * 19.05, 105.683011, 105.683080},
              {{mm(1), 20, 63}, 36, 114.800992, 114.804951},
              {{mm(8), 20, 40}, 300, 105.270190, 105.270351},
              {{mm(8), 20, 40}, 96, 54.844343, 54.849398}};
  for (const auto& row : rows) {
    const auto length = chain_length(row.sprockets, mm(row.center));
    ASSERT_TRUE(length) << length.error().why;
    EXPECT_NEAR(length->handbook, row.handbook, kPrinted);
    EXPECT_NEAR(length->exact, row.exact, kPrinted);
    const auto back = center_distance(row.sprockets, length->exact);
    ASSERT_TRUE(back) << back.error().why;
    EXPECT_NEAR(in_mm(back->exact), row.center, 1e-9);
  }
}

// Source: geometry.md 2.3, inverse; 763.496160 is 0.998 of the center distance, as the textbook
// prints it; the paper's own "exact" 35.8447 is for 114.5 pitches (half a pitch lost there).
TEST(ChainLength, CenterForLinks) {
  const auto a = center_distance({mm(12.7), 21, 63}, 122);
  ASSERT_TRUE(a) << a.error().why;
  EXPECT_NEAR(in_mm(a->handbook), 500.804717, kPrinted);
  EXPECT_NEAR(in_mm(a->exact), 500.787093, kPrinted);
  const auto b = center_distance({mm(19.05), 17, 34}, 106);
  ASSERT_TRUE(b) << b.error().why;
  EXPECT_NEAR(in_mm(b->handbook) * 0.998, 763.496160, kPrinted);
  EXPECT_NEAR(in_mm(b->exact), 765.025567, kPrinted);
  const auto c = center_distance({mm(1), 20, 63}, 114);
  ASSERT_TRUE(c) << c.error().why;
  EXPECT_NEAR(in_mm(c->handbook), 35.592048, kPrinted);
  EXPECT_NEAR(in_mm(c->exact), 35.589960, kPrinted);
  EXPECT_NEAR(in_mm(center_distance({mm(1), 20, 63}, 114.5)->exact), 35.844680, kPrinted);
}

TEST(ChainLength, IsThePathOfTwoSprockets) {
  PathInputs in;
  in.pitch = mm(8);
  in.links = 106;
  in.elements = {sprocket("crank", 3, 4, 20), sprocket("cam", 103, 254, 40)};
  const Length center = mm(std::hypot(100, 250));
  EXPECT_NEAR(solve_path(in)->pitches, chain_length({mm(8), 20, 40}, center)->exact, 1e-11);
}

// Source: geometry.md 2.5 (derived there from the chord; the formula is in textbooks, from memory).
TEST(ChainLength, ChordalAction) {
  const double rows[][4] = {{17, 0.046332, 1.712420, 1.702690}, {18, 0.043744, 1.526965, 1.519225},
                            {19, 0.041431, 1.370104, 1.363870}, {20, 0.039351, 1.236244, 1.231166},
                            {21, 0.037470, 1.121094, 1.116917}, {25, 0.031457, 0.790609, 0.788530},
                            {40, 0.019645, 0.308584, 0.308267}};
  for (const auto& row : rows) {
    const auto action = chordal_action(static_cast<int>(row[0]));
    ASSERT_TRUE(action) << action.error().why;
    EXPECT_NEAR(action->rise, row[1], kPrinted);
    EXPECT_NEAR(action->speed_over_mean * 100, row[2], kPrinted);
    EXPECT_NEAR(action->speed_over_most * 100, row[3], kPrinted);
  }
}

TEST(ChainLength, Refusals) {
  EXPECT_FALSE(pitch_diameter(mm(8), 2));
  EXPECT_FALSE(pitch_diameter(Length{}, 20));
  EXPECT_FALSE(chordal_action(0));
  const auto inside = chain_length({mm(8), 20, 40}, mm(20));
  ASSERT_FALSE(inside);
  EXPECT_THAT(inside.error().why, HasSubstr("more than 25.412 mm"));  // 50.981979 - 25.569813
  const auto none = center_distance({mm(8), 20, 40}, 30);
  ASSERT_FALSE(none);
  EXPECT_THAT(none.error().why, HasSubstr("needed"));
  EXPECT_FALSE(center_distance({mm(8), 20, 40}, std::nan("")));
}

}  // namespace
}  // namespace tautmark
