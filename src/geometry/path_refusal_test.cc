// SPDX-License-Identifier: Apache-2.0
// Impossible drives are refused with the element and the amount.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <string>
#include <utility>

#include "geometry/path.h"
#include "geometry/phase.h"
#include "geometry/test_drives.h"

namespace tautmark {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;

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

}  // namespace
}  // namespace tautmark
