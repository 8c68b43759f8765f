// SPDX-License-Identifier: Apache-2.0
#include "clearance/window.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "clearance/test_engine.h"

namespace tautmark::clearance {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;

void expect_window(const CrankWindow& window, double from, double to, double within) {
  EXPECT_NEAR(in_crank_deg(window.from), from, within);
  EXPECT_NEAR(in_crank_deg(window.to), to, within);
}

// Source: geometry.md 7.3.
TEST(CrankWindows, OfOneValve) {
  struct Case {
    EngineValve valve;
    double margin, drop, from, to;
  };
  const Case cases[] = {{note_intake(), 0, 5.640142, 26.088643, 333.895944},
                        {note_intake(), 1, 6.704320, 28.521130, 331.460441},
                        {note_exhaust(), 0, 5.500527, 25.754581, 334.230400},
                        {note_exhaust(), 1, 6.579062, 28.244337, 331.737591},
                        {note_intake({}, mm(3)), 0, 8.832676, 32.918790, 327.056638},
                        {note_exhaust({}, mm(3)), 0, 8.736131, 32.730061, 327.245649}};
  for (const Case& c : cases) {
    EXPECT_NEAR(in_mm(needed_drop(c.valve, mm(c.margin)).value()), c.drop, 1e-6);
    const auto windows = crank_windows({c.valve}, mm(c.margin)).value();
    ASSERT_EQ(windows.size(), 1U);
    expect_window(windows[0], c.from, c.to, 2e-6);
  }
}

// Source: geometry.md 7.3, pistons with the same geometry; edges given to 0.01 deg.
TEST(CrankWindows, OfSeveralPistons) {
  struct Case {
    std::vector<double> tops;
    double margin;
    std::vector<std::pair<double, double>> windows;
    double share;
  };
  const Case cases[] = {
      {{0, 180}, 0, {{26.09, 153.90}, {206.09, 333.90}}, 0.710},
      {{0, 120, 240}, 0, {{26.09, 93.90}, {146.09, 213.90}, {266.09, 333.90}}, 0.565},
      {{0, 90, 120, 210, 240, 330}, 0, {{26.09, 63.90}, {146.09, 183.90}, {266.09, 303.90}}, 0.315},
      {{0, 30, 120, 150, 240, 270}, 0, {{56.09, 93.90}, {176.09, 213.90}, {296.09, 333.90}}, 0.315},
  };
  for (const Case& c : cases) {
    const auto windows = crank_windows(note_engine(c.tops), mm(c.margin)).value();
    ASSERT_EQ(windows.size(), c.windows.size());
    double sum = 0;
    for (std::size_t i = 0; i < windows.size(); ++i) {
      expect_window(windows[i], c.windows[i].first, c.windows[i].second, 0.0101);
      sum += in_crank_deg(windows[i].to - windows[i].from);
    }
    EXPECT_NEAR(sum / 360, c.share, 0.0006);
  }
}

TEST(CrankWindows, OfASixWithTopsEverySixtyDegrees) {
  const std::vector<double> tops{0, 60, 120, 180, 240, 300};
  const auto windows = crank_windows(note_engine(tops), mm(0)).value();
  ASSERT_EQ(windows.size(), 6U);
  for (std::size_t i = 0; i < 6; ++i)
    expect_window(windows[i], 26.09 + 60.0 * static_cast<double>(i),
                  33.90 + 60.0 * static_cast<double>(i), 0.0101);
  const auto narrow = crank_windows(note_engine(tops), mm(1)).value();
  ASSERT_EQ(narrow.size(), 6U);
  expect_window(narrow[0], 28.52, 31.46, 0.0101);
  // With the wall, and with more asked than there is, none is left.
  EXPECT_THAT(crank_windows(note_engine(tops, mm(3)), mm(0)).value(), IsEmpty());
  EXPECT_THAT(crank_windows(note_engine(tops), mm(1.7)).value(), IsEmpty());
}

// Source: geometry.md 7.3: at 30 deg 1.636481 mm (intake) is left at full lift, 30 deg after one
// piston's top and before the next one's; the pin offset makes them unlike, the best is beside it.
TEST(CrankWindows, SayWhereToPark) {
  const std::vector<double> tops{0, 60, 120, 180, 240, 300};
  const CrankWindow window = crank_windows(note_engine(tops), mm(0)).value()[0];
  EXPECT_NEAR(in_crank_deg(window.park), (window.from + window.to).si() / 2 / kRadiansPerDegree,
              0.02);
  double best = -1e9;
  for (double at = 26; at < 34; at += 0.001) {
    double least = 1e9;
    for (const EngineValve& valve : note_engine(tops))
      least = std::min(least, in_mm(gap(valve.site, drop(valve.slider, crank_deg(at) - valve.top),
                                        valve.lift->highest)
                                        .axial));
    best = std::max(best, least);
  }
  EXPECT_NEAR(in_mm(window.at_park), best, 1e-4);
  EXPECT_GE(in_mm(window.at_park), 1.63);
  const CrankWindow single = crank_windows({note_intake()}, mm(0)).value()[0];
  EXPECT_NEAR(in_crank_deg(single.park), 179.788, 0.1);  // bottom dead center, 5.1
}

TEST(CrankWindows, AreAWholeTurnWhereNothingCanTouch) {
  EngineValve deep = note_intake();
  deep.site.gap_shut = mm(12);
  const auto windows = crank_windows({deep}, mm(0.5)).value();
  ASSERT_EQ(windows.size(), 1U);
  expect_window(windows[0], 0, 360, 1e-9);
  EngineValve hopeless = note_intake();
  hopeless.site.gap_shut = mm(-100);
  EXPECT_THAT(crank_windows({hopeless}, mm(0)).value(), IsEmpty());
}

TEST(CrankWindows, WithoutPocketDataTakeTheWallAsMet) {
  EngineValve valve = note_intake({}, mm(3));
  valve.site.sides.reset();
  expect_window(crank_windows({valve}, mm(0)).value()[0], 32.918790, 327.056638, 2e-6);
  valve.site.wall_height.reset();
  EXPECT_THAT(crank_windows({valve}, mm(0)).error().why, HasSubstr("intake: the height"));
  EXPECT_THAT(cam_ranges({"", {valve}}, mm(0)).error().why, HasSubstr("intake: the height"));
}

// Source: geometry.md 7.4, nodes of half a cam degree: the edges lie less than half a degree out.
TEST(CamRanges, OfTheWorkedCylinder) {
  const auto ranges = cam_ranges({"both", {note_intake(), note_exhaust()}}, mm(0)).value();
  ASSERT_EQ(ranges.size(), 2U);
  const double expected[][2] = {{165.5, 194.0}, {276.0, 444.5}};
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_LE(in_cam_deg(ranges[i].from), expected[i][0]);
    EXPECT_GT(in_cam_deg(ranges[i].from), expected[i][0] - 0.5);
    EXPECT_GE(in_cam_deg(ranges[i].to), expected[i][1]);
    EXPECT_LT(in_cam_deg(ranges[i].to), expected[i][1] + 0.5);
  }
  EngineValve deep = note_intake();
  deep.site.gap_shut = mm(12);
  const auto whole = cam_ranges({"", {deep}}, mm(0)).value();
  ASSERT_EQ(whole.size(), 1U);
  EXPECT_NEAR(in_cam_deg(whole[0].to - whole[0].from), 360, 1e-9);
}

// Against the two-part contact test at every drop.
TEST(CamRanges, CountTheWall) {
  EngineValve valve = note_intake({}, mm(3));
  valve.site.sides->offset_x = mm(-1.5);  // met at a drop of 0.9 mm, with 2 mm of lift
  const auto ranges = cam_ranges({"", {valve}}, mm(0)).value();
  ASSERT_EQ(ranges.size(), 1U);
  for (const CamRange& range : ranges) {
    const auto touches = [&](CamAngle cam) {
      for (double crank = 0; crank < 360; crank += 0.05)
        if (gap(valve.site, drop(valve.slider, crank_deg(crank)), lift(*valve.lift, to_crank(cam)))
                .least.si() < -1e-9)
          return true;
      return false;
    };
    EXPECT_FALSE(touches(range.from + cam_deg(1e-4)));
    EXPECT_FALSE(touches(range.to - cam_deg(1e-4)));
    EXPECT_TRUE(touches(range.from - cam_deg(0.2)));
    EXPECT_TRUE(touches(range.to + cam_deg(0.2)));
  }
}

}  // namespace
}  // namespace tautmark::clearance
