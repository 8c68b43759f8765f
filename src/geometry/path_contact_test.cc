// SPDX-License-Identifier: Apache-2.0
// What the chain touches, what the arm takes up, and where the pins lie.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>
#include <utility>
#include <vector>

#include "geometry/path.h"
#include "geometry/test_drives.h"

namespace tautmark {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

TEST(PathContacts, AGuideThatIsClearedIsLeftOutAndFoundAgain) {
  PathInputs in = worked_bank();
  in.elements[3].center = point_mm(300, 151);  // 14 mm off
  auto path = solve_path(in);
  ASSERT_TRUE(path) << path.error().why;
  EXPECT_THAT(path->not_touched, ElementsAre(3u));
  // Source: geometry.md 3.4: T = 37.616116 without guide.
  EXPECT_NEAR(path->strands.back().pitches, 37.616116, 1e-6);
  in.elements[3].center = point_mm(286, 151);
  path = solve_path(in);
  ASSERT_TRUE(path);
  EXPECT_THAT(path->not_touched, IsEmpty());
}

// Of two guides behind each other the chain touches the one that stands out; each alone is touched.
TEST(PathContacts, AGuideBehindAnotherIsNotTouched) {
  PathInputs in = worked_bank();
  in.elements.insert(in.elements.begin() + 3, guide("front", 284, 152, 250));
  const auto path = solve_path(in);
  ASSERT_TRUE(path) << path.error().why;
  EXPECT_THAT(path->not_touched, ElementsAre(4u));
  in.elements.erase(in.elements.begin() + 3);
  EXPECT_THAT(solve_path(in)->not_touched, IsEmpty());
}

// An arm held back off the chain is not touched and takes up nothing.
TEST(PathContacts, AnArmHeldBack) {
  const auto path = path_at(worked_bank(), deg(-20));
  ASSERT_TRUE(path) << path.error().why;
  EXPECT_THAT(path->not_touched, ElementsAre(1u));
  EXPECT_EQ(path->pitches_per_arm, 0);
  EXPECT_GT(path->spare, 0);
}

// Source: geometry.md 3.1 and 3.4: dLength/dpsi = 18.432524 mm/rad; (u_in - u_out) . dc/dpsi.
TEST(PathContacts, WhatTheArmTakesUp) {
  const PathInputs in = worked_bank();
  const Path path = *solve_path(in);
  const double h = 1e-6;
  const double length = (path_at(in, Angle::from_si(path.arm.si() + h))->length -
                         path_at(in, Angle::from_si(path.arm.si() - h))->length)
                            .si() /
                        (2 * h);
  EXPECT_NEAR(length * 1e3, 18.432524, 1e-5);
  EXPECT_NEAR((*path_at(in, Angle::from_si(path.arm.si() + h))->stroke -
               *path_at(in, Angle::from_si(path.arm.si() - h))->stroke)
                      .si() /
                  (2 * h),
              path.stroke_per_length * path.pitches_per_arm * 8e-3, 1e-8);
}

// Source: geometry-checks.yaml arm_pressed_back: spare pitches with the plunger pressed back.
TEST(PathContacts, ArmPressedBackLeavesSpareLinks) {
  const PathInputs in = worked_bank();
  const Path path = *solve_path(in);
  for (const auto& [back, spare] :
       {std::pair{1.0, 0.020200}, std::pair{2.0, 0.039199}, std::pair{4.0, 0.073751}}) {
    double low = -0.2;
    double high = path.arm.si();
    for (int i = 0; i < 60; ++i) {
      const double middle = (low + high) / 2;
      const double stroke = in_mm(*path_at(in, Angle::from_si(middle))->stroke);
      (stroke < in_mm(*path.stroke) - back ? low : high) = middle;
    }
    EXPECT_NEAR(path_at(in, Angle::from_si(low))->spare, spare, 1e-6);
  }
}

// A belt lies on its pitch line: sprockets of p N / (2 pi), arcs counted as arcs. Closed form of
// geometry.md 2.4 for two pulleys.
TEST(PathBelt, TwoPulleysClosedForm) {
  PathInputs in;
  in.belt = true;
  in.pitch = mm(8);
  in.links = 130;
  in.elements = {sprocket("crank", 0, 0, 22), sprocket("cam", 10, 380, 44)};
  const auto path = solve_path(in);
  ASSERT_TRUE(path) << path.error().why;
  const double r = 8 * 22 / (2 * std::numbers::pi);
  const double c = std::hypot(10.0, 380.0);
  const double a = std::asin(r / c);  // the cam is twice as large
  EXPECT_NEAR(in_mm(path->length),
              2 * std::sqrt(c * c - r * r) + r * (std::numbers::pi - 2 * a) +
                  2 * r * (std::numbers::pi + 2 * a),
              1e-9);
  EXPECT_NEAR(path->pitches * 8, in_mm(path->length), 1e-9);
}

// ---- pins --------------------------------------------------------------------------------------

// Spare links hang on the slack side; elsewhere pins stand a worn pitch apart.
TEST(PinPoints, SpareLinksHangOnTheSlackSide) {
  PathInputs in = two_cams();
  in.elongation = Ratio::from_si(0.01);
  const Path path = *solve_path(in);
  in.links = static_cast<int>(std::ceil(path.pitches)) + 1;
  const Path slack = *solve_path(in);
  const auto pins = pin_points(in, slack, 0.5);
  const auto apart = [&](std::size_t i) {
    const Point& a = pins[i % pins.size()];
    const Point& b = pins[(i + 1) % pins.size()];
    return std::hypot(in_mm(a.x - b.x), in_mm(a.y - b.y));
  };
  ASSERT_EQ(pins.size(), static_cast<std::size_t>(in.links));
  int closer = 0;
  for (std::size_t i = 0; i < pins.size(); ++i) {
    EXPECT_LT(apart(i), 8.09);  // between strand and sprocket a chord is an arc's part longer
    if (apart(i) < 8.07) ++closer;
  }
  // The strand between crank and intake has 38.2 pitches of 8 mm, so 37 gaps wholly on it.
  EXPECT_NEAR(closer, 37, 3);
  EXPECT_LT(apart(20), 8.0);
  EXPECT_NEAR(apart(pins.size() - 10), 8.08, 1e-9);
}

// ---- every choice of contacts ------------------------------------------------------------------

// Two sprockets with three guides along the driving strand, on either side, some cutting it, some
// behind another, some clear.
PathInputs crowded(std::mt19937& dice) {
  const auto between = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(dice()) / 4294967295.0;
  };
  PathInputs in;
  in.pitch = mm(8);
  in.links = 130;
  in.elements = {sprocket("crank", 0, 0, 20), sprocket("cam", between(-30, 30), 340, 40)};
  for (int i = 1; i <= 3; ++i) {  // driving side, downwards
    const double y = 340 - 85 * i + between(-10, 10);
    const double x = 38 + (y - 170) * 0.075;
    const double radius = between(40, 120);
    const bool outside = dice() % 2 == 0;
    const double cut = between(-4, 5);
    in.elements.push_back(
        guide("guide", outside ? x + radius - cut : x - radius + cut, y, radius, outside));
  }
  return in;
}

bool cleared(const PathInputs& in, const Path& path, const PathElement& guide) {
  for (const PathStrand& strand : path.strands) {
    if (strand.from == 0) continue;  // the slack side has no guides
    const double ux = (strand.arrives.x - strand.leaves.x) / strand.length;
    const double uy = (strand.arrives.y - strand.leaves.y) / strand.length;
    const double x = (guide.center.x - strand.leaves.x).si();
    const double y = (guide.center.y - strand.leaves.y).si();
    const double along = x * ux + y * uy;
    const double left = (ux * y - uy * x) * (guide.outside ? -in.turn : in.turn);
    if (along > 0 && along < strand.length.si() && left < guide.radius.si() - 1e-11) return false;
  }
  return true;
}

// All choices of contacts tried one by one: the one found is a taut chain around everything, and no
// other is.
TEST(PathContacts, TheOnlyChoiceOfContactsThatHolds) {
  std::mt19937 dice(3);
  int mixed = 0;
  int solved = 0;
  for (int run = 0; run < 2'000; ++run) {
    const PathInputs in = crowded(dice);
    const auto found = solve_path(in);
    if (!found) {  // a guide drawn into a sprocket
      EXPECT_THAT(found.error().why, HasSubstr("no strand fits"));
      continue;
    }
    ++solved;
    int valid = 0;
    const std::size_t guides = in.elements.size() - 2;
    for (unsigned choice = 0; choice < (1u << guides); ++choice) {
      PathInputs some = in;
      std::vector<PathElement> left_out;
      some.elements.resize(2);
      for (std::size_t g = 0; g < guides; ++g) {
        const PathElement& guide = in.elements[2 + g];
        (choice >> g & 1 ? some.elements : left_out).push_back(guide);
      }
      const auto path = solve_path(some);
      if (!path || !path->not_touched.empty()) continue;
      bool taut = true;
      for (const PathElement& guide : left_out) taut = taut && cleared(some, *path, guide);
      if (!taut) continue;
      ++valid;
      EXPECT_NEAR(path->length.si(), found->length.si(), 1e-12) << run;
    }
    EXPECT_EQ(valid, 1) << run;
    if (!found->not_touched.empty() && found->contacts.size() > 2) ++mixed;
  }
  EXPECT_GT(solved, 1500);
  EXPECT_GT(mixed, 200);  // else the drives were too tame
}

}  // namespace
}  // namespace tautmark
