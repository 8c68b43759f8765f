// SPDX-License-Identifier: Apache-2.0
// Impossible drives are refused with the element and the amount; elements that the chain does not
// touch are left out and found again.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <string>
#include <utility>

#include "geometry/path.h"
#include "geometry/phase.h"
#include "geometry/test_drives.h"

namespace tautmark {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

constexpr double kNotANumber = std::numeric_limits<double>::quiet_NaN();

std::string why_not(const PathInputs& in) {
  const auto path = solve_path(in);
  EXPECT_TRUE(path || !path_derivatives(in));
  return path ? "a path" : path.error().why;
}

// The worked bank with the arm off the chain needs 105.48 links: 37.616116 on the driving side
// without its guide (geometry.md 3.4) and the sprockets'; 104 are 1.4 too few.
TEST(PathRefusal, AChainTooShortSaysByHowMuch) {
  PathInputs in = worked_bank();
  in.links = 104;
  const std::string why = why_not(in);
  EXPECT_THAT(why, AllOf(HasSubstr("links ("), HasSubstr("mm) too short"), HasSubstr("it has 104"),
                         HasSubstr("at least 10")));
  // The number that it names is enough and one less is not.
  in.links = std::stoi(why.substr(why.find("at least ") + 9));
  EXPECT_TRUE(solve_path(in)) << why_not(in);
  in.links -= 1;
  EXPECT_FALSE(solve_path(in));
}

TEST(PathRefusal, AChainTooLongNamesTheArm) {
  PathInputs in = worked_bank();
  in.links = 120;
  EXPECT_THAT(why_not(in), AllOf(HasSubstr("too long"), HasSubstr("\"arm\""), HasSubstr("mm)"),
                                 HasSubstr("it has 120")));
}

TEST(PathRefusal, WithoutAnArmTheSpareLinksAreSaid) {
  PathInputs in = two_cams();
  const auto path = solve_path(in);
  ASSERT_TRUE(path) << path.error().why;
  EXPECT_NEAR(path->spare + path->pitches, 140, 1e-12);
  in.links = 100;
  const auto shorter = solve_path(in);
  ASSERT_TRUE(shorter);
  EXPECT_NEAR(shorter->spare, path->spare - 40, 1e-12);
}

TEST(PathRefusal, CountsOutsideValidity) {
  PathInputs in = worked_bank();
  in.elements[2].teeth = 0;
  EXPECT_THAT(why_not(in), AllOf(HasSubstr("\"cam\""), HasSubstr("not 0")));
  in = worked_bank();
  in.links = 100'001;
  EXPECT_THAT(why_not(in), AllOf(HasSubstr("links"), HasSubstr("not 100001")));
  in.links = 100'000;
  EXPECT_THAT(why_not(in), HasSubstr("too long"));
  in.elements.resize(1);
  EXPECT_THAT(why_not(in), HasSubstr("at least 2 elements"));
}

TEST(PathRefusal, APivotInsideASprocketSaysHowFar) {
  PathInputs in = worked_bank();
  in.pivot = point_mm(0, 20);
  // Pitch radius 25.569813 (geometry.md 2.1), so 5.570 mm are missing.
  EXPECT_THAT(why_not(in),
              AllOf(HasSubstr("\"arm\""), HasSubstr("\"crank\""), HasSubstr("5.570 mm missing")));
  in.pivot.reset();
  EXPECT_THAT(why_not(in), HasSubstr("no pivot"));
}

TEST(PathRefusal, OverlapNamesBothAndTheAmount) {
  PathInputs in = two_cams();
  in.elements.insert(in.elements.begin() + 2, sprocket("shaft", 0, 330, 15));
  in.elements[2].outside = true;
  // r = 50.981979 and 8 / (2 sin(pi/15)) = 19.238934 (own); sqrt(65² + 30²) = 71.589105 is enough,
  // sqrt(30² + 30²) = 42.426407 is not: 27.794506 missing.
  EXPECT_THAT(why_not(in), Not(HasSubstr("missing")));
  in.elements[2].center = point_mm(-35, 330);
  EXPECT_THAT(why_not(in), AllOf(HasSubstr("\"intake\""), HasSubstr("\"shaft\""),
                                 HasSubstr("(27.795 mm missing)")));
}

TEST(PathRefusal, WrongOrderOrDirection) {
  PathInputs in = two_cams();
  std::swap(in.elements[1], in.elements[2]);
  EXPECT_THAT(why_not(in), HasSubstr("turn 2 times"));
  in = two_cams();
  in.turn = 1;
  EXPECT_THAT(why_not(in), HasSubstr("turn 2 times"));
  in.turn = 0;
  EXPECT_THAT(why_not(in), HasSubstr("running direction"));
  in = two_cams();
  in.elements.push_back(sprocket("pump", 0, 150, 15));  // inside, the chain passes it by
  EXPECT_THAT(why_not(in), HasSubstr("\"pump\""));
}

TEST(PathRefusal, NumbersThatAreNone) {
  const auto refused = [](auto&& spoil) {
    PathInputs in = worked_bank();
    spoil(in);
    EXPECT_NE(why_not(in), "a path");
    EXPECT_FALSE(path_at(in, {}));
    EXPECT_FALSE(path_derivatives(in));
    EXPECT_FALSE(phase_change(worked_bank(), in));
  };
  const Length none = Length::from_si(kNotANumber);
  refused([&](PathInputs& in) { in.pitch = none; });
  refused([&](PathInputs& in) { in.pitch = Length{}; });
  refused([&](PathInputs& in) { in.elongation = Ratio::from_si(kNotANumber); });
  refused([&](PathInputs& in) { in.elongation = Ratio::from_si(-1); });
  for (std::size_t i = 0; i < 4; ++i) {
    refused([&](PathInputs& in) { in.elements[i].center.x = none; });
    refused([&](PathInputs& in) { in.elements[i].center.y = none; });
  }
  refused([&](PathInputs& in) { in.elements[3].radius = none; });
  refused([&](PathInputs& in) { in.elements[3].radius = Length{}; });
  refused([&](PathInputs& in) { in.elements[3].wear = none; });
  refused([&](PathInputs& in) { in.elements[3].wear = mm(247); });  // 3 mm left, 4 needed
  refused([&](PathInputs& in) { in.pivot->x = none; });
  refused([&](PathInputs& in) { in.plunger->pad.y = none; });
  refused([&](PathInputs& in) { in.elements[3].kind = ElementKind::arm; });
  refused([&](PathInputs& in) { in.elements[0].kind = ElementKind::guide; });
  EXPECT_FALSE(path_at(worked_bank(), Angle::from_si(kNotANumber)));
  EXPECT_TRUE(pin_points(worked_bank(), *solve_path(worked_bank()), kNotANumber).empty());
}

TEST(PathRefusal, AnArmThatCannotPush) {
  PathInputs in = worked_bank();
  // Square to the strand between the sprockets, whose slope is (r_C - r_K) / C: it would slide.
  const double slope = std::asin((50.981979 - 25.569813) / 302);
  in.pivot = point_mm(-160 + 300 * std::cos(slope), 112 + 300 * std::sin(slope));
  EXPECT_THAT(why_not(in), HasSubstr("along the chain"));
}

// ---- what is not touched -----------------------------------------------------------------------

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

}  // namespace
}  // namespace tautmark
