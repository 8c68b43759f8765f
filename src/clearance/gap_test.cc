// SPDX-License-Identifier: Apache-2.0
#include "clearance/gap.h"

#include <gtest/gtest.h>

#include <cmath>

#include "clearance/test_engine.h"

namespace tautmark::clearance {
namespace {

struct Row {
  double theta, drop, lift_in, axial_in, radial_in, lift_ex, axial_ex, radial_ex;
};
// Source: geometry.md 7.2.
constexpr Row kRows[] = {
    {340, 3.350035, 0.149085, 7.198918, 1.054221, 2.746967, 4.259131, 0.845055},
    {350, 0.848161, 0.478437, 4.518574, 1.690088, 1.683334, 3.003068, 1.782273},
    {355, 0.212724, 0.743279, 3.656616, 1.472756, 1.244617, 2.852617, 1.579688},
    {360, 0, 1.081451, 3.118549, 1.400000, 0.876790, 3.023210, 1.500000},
    {365, 0.212772, 1.493216, 2.906724, 1.472772, 0.581801, 3.515478, 1.579706},
    {370, 0.848543, 1.975030, 3.022340, 1.690219, 0.357684, 4.329071, 1.782130},
    {380, 3.353016, 3.117014, 4.233790, 1.053201, 0.095771, 6.913092, 0.843938}};

TEST(Gap, OfTheWorkedCylinder) {
  const EngineValve intake = note_intake(), exhaust = note_exhaust();
  for (const Row& row : kRows) {
    const CrankAngle at = crank_deg(row.theta);
    const Length s = drop(note_slider(), at);
    EXPECT_NEAR(in_mm(s), row.drop, 1e-6);
    EXPECT_NEAR(in_mm(lift(*intake.lift, at)), row.lift_in, 1e-5);
    const Gap in = gap(intake.site, s, lift(*intake.lift, at));
    EXPECT_NEAR(in_mm(in.axial), row.axial_in, 1e-5);
    EXPECT_NEAR(in_mm(in.radial.value()), row.radial_in, 2e-6);
    const Gap ex = gap(exhaust.site, s, lift(*exhaust.lift, at));
    EXPECT_NEAR(in_mm(ex.axial), row.axial_ex, 1e-5);
    EXPECT_NEAR(in_mm(ex.radial.value()), row.radial_ex, 2e-6);
    EXPECT_EQ(in.nearest, Nearest::floor);
  }
}

// Source: geometry.md 7.1: g0 = 1.0, γ = 20 deg: along the bore -0.007378, "touch".
TEST(Gap, OfAFlatCrown) {
  const ValveSite site{.inclination = deg(20), .flat_crown = true, .gap_shut = mm(1.0)};
  const Gap found = gap(site, mm(0.848543), mm(1.975030));
  EXPECT_NEAR(in_mm(found.axial) * std::cos(20 * kRadiansPerDegree), -0.007378, 1e-6);
  EXPECT_EQ(found.nearest, Nearest::crown);
  EXPECT_TRUE(wall_is_computed(site));
  EXPECT_FALSE(found.wall);
}

// Source: geometry.md 7.1 and 7.3: a contact if c_ax < 0, or c_rad < 0 and c_ax < P.
TEST(Gap, BelowZeroExactlyWhereTheTwoPartTestSaysContact) {
  const ValveSite site = note_intake({}, mm(3)).site;
  const double sine = std::sin(20 * kRadiansPerDegree), cosine = std::cos(20 * kRadiansPerDegree);
  int of_wall = 0;
  for (double s = 0; s < 20; s += 0.037)
    for (double open = 0; open < 9.5; open += 0.11) {
      const double axial = 4.2 + s * cosine - open, radial = 1.8 - std::abs(0.4 - s * sine);
      const Gap found = gap(site, mm(s), mm(open));
      const bool contact = axial < 0 || (radial < 0 && axial < 3);
      ASSERT_EQ(found.least.si() < 0, contact) << s << " " << open;
      of_wall += contact && axial >= 0 && found.nearest == Nearest::wall;
    }
  EXPECT_GT(of_wall, 100);
}

TEST(Gap, SaysWhenTheWallIsNotComputed) {
  ValveSite site = note_intake({}, mm(3)).site;
  EXPECT_TRUE(wall_is_computed(site));
  site.sides.reset();
  EXPECT_FALSE(wall_is_computed(site));
  EXPECT_FALSE(gap(site, mm(1), mm(1)).wall);
  EXPECT_FALSE(gap(site, mm(1), mm(1)).radial);
  site.wall_height = mm(0);
  EXPECT_TRUE(wall_is_computed(site));
  site.wall_height.reset();
  EXPECT_FALSE(wall_is_computed(site));
}

}  // namespace
}  // namespace tautmark::clearance
