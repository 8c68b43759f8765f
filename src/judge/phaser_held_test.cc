// SPDX-License-Identifier: Apache-2.0
#include "judge/phaser_held.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace tautmark {
namespace {

constexpr double kDegrees = 180 / std::numbers::pi;
constexpr double kDisplacement = 3.84e-5;    // m³/rad
constexpr double kLeakage = 9.47552917e-11;  // 60 µm of oil.md 5.5
constexpr double kSag = 2e9;                 // Pa/(m³/s), of the supply below

PhaserTold of_the_note() {
  PhaserTold phaser;
  phaser.written.range = Written<CrankAngle>{crank_deg(50), "50 deg crank"};
  phaser.written.cam_torque_swing = Written<Torque>{Torque::from_si(8), "8 N·m"};
  phaser.written.bias_spring = WrittenMeasured{};
  phaser.events = 4;
  phaser.asked.displacement = {kDisplacement, 0};
  phaser.asked.load = {{Torque::from_si(2.5), 0}, {Torque::from_si(0), 0}, {Torque::from_si(0), 0}};
  return phaser;
}

ChambersAt chambers(double leakage = kLeakage) {
  return {.leakage = {leakage, leakage, leakage},
          .difference = {100e3, 100e3, 100e3},
          .mean = Pressure::from_si(2.5e5 - 101325),
          .crankshaft = per_min(650),
          .supply = [](Flow taken) -> Result<Pressure> {
            return Pressure::from_si(100e3 - kSag * taken.si());
          }};
}

// Drift, oil spring and damper of the table in oil.md 5.5; the bulk moduli of 0.5 and 5 % of air
// are the note's.
TEST(PhaserHeld, DriftAndSwingOfTheReferenceNote) {
  const auto held = phaser_held(of_the_note(), chambers());
  ASSERT_TRUE(held);
  EXPECT_NEAR(held->drift.si() * kDegrees, 9.20457340, 1e-6);
  EXPECT_EQ(held->drift_U.si(), 0);
  ASSERT_TRUE(held->swing);
  const double omega = 136.135682, square = kDisplacement * kDisplacement;
  const auto whole = [&](double bulk) {
    const double spring = 2 * bulk * square / 8.37758041e-6;
    return 2 * 8 * std::hypot(1 / spring, kLeakage / (square * omega)) * kDegrees;
  };
  EXPECT_NEAR(held->swing->least.si() * kDegrees, whole(121584106), 1e-6);
  EXPECT_NEAR(held->swing->most.si() * kDegrees, whole(12909088.0), 1e-6);
  // A clearance half as wide again leaks 3.4 times as much: it drifts and swings more.
  const auto worn = phaser_held(of_the_note(), chambers(3.11514226e-10));
  ASSERT_TRUE(worn && worn->swing);
  EXPECT_NEAR(worn->drift.si() * kDegrees, 30.2606377, 1e-6);
  EXPECT_GT(worn->swing->least.si(), 2 * held->swing->least.si());
}

// By hand: V_th (p0 - R V_th θ') = T.
TEST(PhaserHeld, ComesBackAsFastAsItsOilArrives) {
  PhaserTold phaser = of_the_note();
  const auto held = phaser_held(phaser, chambers());
  ASSERT_TRUE(held && held->back);
  const double slew = (100e3 - 2.5 / kDisplacement) / (kSag * kDisplacement);
  EXPECT_EQ(held->back->state, oil::SlewState::moves);
  EXPECT_NEAR(held->back->slew.in_a_second.si(), slew, 1e-6);
  EXPECT_FALSE(held->saw_tooth) << "nothing of its control is stated";
  // Each runs on for the dead time: band + (drift + back) T, from edge to edge by drift and back.
  phaser.written.control_band = Written<CrankAngle>{crank_deg(1), "1 deg crank"};
  phaser.written.control_delay = Written<Time>{Time::from_si(0.1), "100 ms"};
  const auto with = phaser_held(phaser, chambers());
  ASSERT_TRUE(with && with->saw_tooth);
  const double drift = held->drift.si();
  const double height = 0.5 / kDegrees + (drift + slew) * 0.1;
  EXPECT_NEAR(with->saw_tooth->height.si(), height, 1e-6);
  EXPECT_NEAR(with->saw_tooth->period.si(), height / drift + height / slew, 1e-5);
  phaser.written.control_delay = Written<Time>{Time::from_si(1), "1 s"};
  phaser.written.range = Written<CrankAngle>{crank_deg(20), "20 deg crank"};
  EXPECT_FALSE(phaser_held(phaser, chambers())->saw_tooth) << "more than its travel";
  phaser.written.control_delay = Written<Time>{Time::from_si(0.1), "100 ms"};
  // Too little oil to come back: no saw-tooth, it runs to its stop.
  phaser.asked.load.mean = {Torque::from_si(6), 0};
  const auto starved = phaser_held(phaser, chambers());
  ASSERT_TRUE(starved && starved->back);
  EXPECT_EQ(starved->back->state, oil::SlewState::runs_backwards);
  EXPECT_FALSE(starved->saw_tooth);
}

TEST(PhaserHeld, WhatIsNotStatedIsNotTold) {
  PhaserTold phaser = of_the_note();
  phaser.written.bias_spring.reset();
  EXPECT_FALSE(phaser_held(phaser, chambers()));
  EXPECT_FALSE(phaser_held(of_the_note(), chambers(0)));
  phaser = of_the_note();
  phaser.asked.load.spring = {Torque::from_si(3), 0};
  EXPECT_FALSE(phaser_held(phaser, chambers())) << "its spring holds it at advance";
  for (const auto take : {+[](PhaserTold& from) { from.events = 0; },
                          +[](PhaserTold& from) { from.written.range.reset(); },
                          +[](PhaserTold& from) { from.written.cam_torque_swing.reset(); }}) {
    phaser = of_the_note();
    take(phaser);
    const auto held = phaser_held(phaser, chambers());
    ASSERT_TRUE(held);
    EXPECT_FALSE(held->swing);
  }
}

}  // namespace
}  // namespace tautmark
