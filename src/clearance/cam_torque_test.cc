// SPDX-License-Identifier: Apache-2.0
#include "clearance/cam_torque.h"

#include <gtest/gtest.h>

#include <cmath>

namespace tautmark::clearance {
namespace {

// Source of all values: geometry.md 8, harmonic lobe, h = 9 mm, b = 60 cam deg, F0 = 250 N,
// k = 30 N/mm, lobes at the given cam angles.
CamSprings lobes_at(const std::vector<double>& angles) {
  CamSprings springs;
  for (const double angle : angles)
    springs.valves.push_back({.lift = std::make_shared<const LiftCurve>(lift_curve(LawLobe{
                                  LiftLaw::harmonic, mm(9), crank_deg(120), crank_deg(2 * angle)})),
                              .preload = Force::from_si(250),
                              .rate = 30000,
                              .moving_mass = 0.1});
  return springs;
}

double torque_at(const CamSprings& springs, double angle) {
  return spring_torque(springs, cam_deg(angle)).si();
}

TEST(SpringTorque, OfOneLobe) {
  const CamSprings one = lobes_at({180});
  EXPECT_NEAR(torque_at(one, 150), 5.197500, 1e-5);
  EXPECT_NEAR(torque_at(one, 210), -5.197500, 1e-5);
  double most = 0, at = 0;
  for (double angle = 120; angle < 180; angle += 0.001)
    if (torque_at(one, angle) > most) {
      most = torque_at(one, angle);
      at = angle;
    }
  EXPECT_NEAR(most, 5.479964, 1e-5);
  EXPECT_NEAR(at - 180, -24.356997, 0.02);
  CamSprings soft = one;
  soft.valves[0].rate = 0;
  EXPECT_NEAR(torque_at(soft, 150), 3.375, 1e-5);
}

TEST(StoredEnergy, IsTheWorkOfOpening) {
  const CamSprings one = lobes_at({180});
  EXPECT_NEAR(stored_energy(one, cam_deg(180)), 3.465, 1e-9);
  EXPECT_EQ(stored_energy(one, cam_deg(100)), 0);
  double work = 0, round = 0;
  for (int i = 0; i < 36000; ++i) {
    const double part = torque_at(one, (i + 0.5) / 100) * kRadiansPerDegree / 100;
    round += part;
    if (i < 18000) work += part;
  }
  EXPECT_NEAR(work, 3.465, 1e-6);
  EXPECT_NEAR(round, 0, 1e-9);
}

// Inertia peak 0.615094 N m at +-15 and +-45 deg for 150 rad/s; 6843.4569 crank rpm at lift-off.
TEST(DrivingTorque, HoldsTheInertiaOfTheValve) {
  const CamSprings one = lobes_at({180});
  const RotationalSpeed speed = RotationalSpeed::from_si(150 / (2 * std::acos(-1.0)));
  for (const double angle : {-45.0, -15.0, 15.0, 45.0}) {
    const double inertia =
        driving_torque(one, cam_deg(180 + angle), speed).si() - torque_at(one, 180 + angle);
    EXPECT_NEAR(std::abs(inertia), 0.615094, 1e-3) << angle;
    EXPECT_EQ(inertia > 0, angle == -45 || angle == 15);
  }
  EXPECT_NEAR(2 * in_per_min(lift_off_speed(one.valves[0])), 6843.4569, 0.5);
}

TEST(RestPlaces, OfOneLobeAreTheBaseCircle) {
  const auto places = rest_places(lobes_at({180}));
  ASSERT_EQ(places.size(), 2U);
  EXPECT_NEAR(in_cam_deg(places[0].from), 180, 1e-3);
  EXPECT_FALSE(places[0].stable);
  EXPECT_TRUE(places[1].stable);
  EXPECT_NEAR(in_cam_deg(places[1].from), 240, 0.01);
  EXPECT_NEAR(in_cam_deg(places[1].to), 480, 0.01);
  EXPECT_EQ(places[1].energy, 0);
}

TEST(RestPlaces, OfTwoLobesSideBySide) {
  const auto places = rest_places(lobes_at({0, 90}));
  int found = 0;
  for (const RestPlace& place : places) {
    const double at = in_cam_deg(place.from);
    if (std::abs(at - 45) < 1e-3) found += place.stable;
    if (std::abs(at - 90) < 1e-3 || at < 1e-3 || at > 359.999) found += !place.stable;
  }
  EXPECT_EQ(found, 3);
  EXPECT_EQ(places.size(), 4U);
}

TEST(RestPlaces, OfAnInlineFour) {
  const auto places = rest_places(lobes_at({0, 90, 180, 270}));
  ASSERT_EQ(places.size(), 8U);
  int stable = 0;
  for (const RestPlace& place : places) {
    const double at = in_cam_deg(place.from);
    EXPECT_NEAR(std::remainder(at, place.stable ? 45 : 90), 0, 1e-3);
    EXPECT_NEAR(place.energy, place.stable ? 0.711125 : 3.465000, 1e-5);
    stable += place.stable;
  }
  EXPECT_EQ(stable, 4);
}

TEST(RestPlaces, OfThreeLobesAreNeutralBetween) {
  const auto places = rest_places(lobes_at({0, 120, 240}));
  ASSERT_EQ(places.size(), 6U);
  for (const RestPlace& place : places) {
    const double off = std::remainder(in_cam_deg(place.from), 120);
    EXPECT_NEAR(std::abs(off), place.stable ? 60 : 0, 0.01);
    EXPECT_NEAR(place.energy, place.stable ? 0 : 3.465, 1e-4);
  }
}

TEST(Snap, BackwardsOffTheOpeningFlankForwardsOffTheClosingOne) {
  const CamSprings four = lobes_at({0, 90, 180, 270});
  const Snap opening = tends_to_snap(four, cam_deg(80));
  EXPECT_EQ(opening.way, Tendency::backwards);
  EXPECT_NEAR(in_cam_deg(opening.to), 45, 1e-3);
  EXPECT_NEAR(in_cam_deg(opening.by), -35, 1e-3);
  EXPECT_NEAR(opening.with.si(), torque_at(four, 80), 1e-6);
  const Snap closing = tends_to_snap(four, cam_deg(350 + 20));
  EXPECT_EQ(closing.way, Tendency::forwards);
  EXPECT_NEAR(in_cam_deg(closing.to), 45, 1e-3);
  EXPECT_EQ(tends_to_snap(lobes_at({180}), cam_deg(50)).way, Tendency::stays);
}

TEST(HeldByFriction, IsWhereTheTorqueIsNoMore) {
  CamSprings four = lobes_at({0, 90, 180, 270});
  four.friction = newton_metre(1);
  const auto held = held_by_friction(four);
  ASSERT_EQ(held.size(), 8U);
  for (const HeldRange& range : held) {
    EXPECT_NEAR(std::abs(torque_at(four, in_cam_deg(range.from))), 1, 1e-6);
    EXPECT_NEAR(std::abs(torque_at(four, in_cam_deg(range.to))), 1, 1e-6);
    EXPECT_LT(std::abs(torque_at(four, in_cam_deg(range.from + range.to) / 2)), 1);
    EXPECT_EQ(tends_to_snap(four, range.from + cam_deg(0.01)).way, Tendency::stays);
  }
  four.friction = newton_metre(20);
  ASSERT_EQ(held_by_friction(four).size(), 1U);
  EXPECT_NEAR(in_cam_deg(held_by_friction(four)[0].to), 360, 1e-9);
}

}  // namespace
}  // namespace tautmark::clearance
