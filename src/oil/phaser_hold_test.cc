// SPDX-License-Identifier: Apache-2.0
// Values marked own are of oil.md 5.5 (oil-checks.yaml: leak-stiffness-*), worked out apart from
// this program; relative 1e-6.
#include "oil/phaser_hold.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

#include "oil/bulk_modulus.h"
#include "oil/test_near.h"

namespace tautmark::oil {
namespace {

constexpr double kVth = 3.84e-5;
constexpr double kChamber = kVth * 12.5 * kRadiansPerDegree;

struct Row {
  double clearance;  // µm
  double C, drift, damper, swing, rate, load, lag, swing_with_friction;
};
constexpr Row kRows[] = {
    {30, 1.48967370432e-11, 1.44707601097, 98.9854352482, 0.0527581276145, 0.362439523903,
     72654.9900813, 0.000112717226215, 0.0728570448496},
    {45, 4.19916037999e-11, 4.07908405341, 35.1155913698, 0.104018821377, 0.312316391044,
     71610.7581468, 0.000111097200845, 0.113302278121},
    {60, 9.47552916945e-11, 9.20457339923, 15.5617694129, 0.220088774618, 0.218730388297,
     69661.0497562, 0.000108072415879, 0.214874437607},
    {90, 3.11514225748e-10, 30.2606377388, 4.73352379481, 0.712447702241, -0.117640637646,
     62653.320049, 9.72005975255e-05, 0.610959446771},
};

// The land between A and R of oil.md 3.4, and the inside of the phaser.
double leakage(double clearance) {
  return (9.81119386e-14 * std::pow(clearance / 30, 3) + 3.0e-14) / 8.60e-3;
}

HoldInputs inputs(double C) {
  return {.displacement = {kVth, 0},
          .leakage = {C, 0},
          .mean = {newton_metre(2.5), 0},
          .alternating = newton_metre(8),
          .events = event_frequency(4, per_min(650)),
          .chamber = Volume::from_si(kChamber),
          .bulk = *bulk_modulus(kPa(1.4e6), Ratio::from_si(0.02), kPa(250))};
}

TwoStates two_states(double C) {
  return {.displacement = kVth,
          .leakage = C,
          .viscous = 0.8,
          .chamber = Volume::from_si(kChamber),
          .bulk = Pressure::from_si(2e7)};
}

Travelling steady(double until, double step) {
  return {.valve = [](Time) { return Flow::from_si(1.5e-5); },
          .torque = [](Time) { return newton_metre(2.5); },
          .until = Time::from_si(until),
          .step = Time::from_si(step)};
}

TEST(PhaserHold, DriftDamperAndSwingOfTheFourJournals) {
  expect_relative(2 * std::numbers::pi * event_frequency(4, per_min(650)).si(), 136.135682);
  for (const Row& row : kRows) {
    expect_relative(leakage(row.clearance), row.C);
    const auto got = hold(inputs(leakage(row.clearance)));
    ASSERT_TRUE(got) << got.error().why;
    expect_relative(in_cam_deg(got->drift), row.drift);
    expect_relative(got->damper, row.damper);
    expect_relative(got->spring, 11365.7517);
    expect_relative(in_cam_deg(got->swing), row.swing);
    HoldInputs rubbing = inputs(leakage(row.clearance));
    rubbing.viscous = 0.8;
    rubbing.bulk = Pressure::from_si(2e7);
    expect_relative(in_cam_deg(hold(rubbing)->swing), row.swing_with_friction);
  }
}

TEST(PhaserHold, WithoutLeakOnlyTheOilSpringGives) {
  const auto got = hold(inputs(0));
  ASSERT_TRUE(got);
  EXPECT_EQ(got->drift.si(), 0);
  EXPECT_EQ(got->damper, std::numeric_limits<double>::infinity());
  expect_relative(got->swing.si(), 8 / 11365.7517);
}

// By hand: 0.1, 0.3 and twice 0.05.
TEST(PhaserHold, DriftCarriesItsUncertainty) {
  HoldInputs in = inputs(1e-10);
  in.mean.U = 0.1;
  in.leakage.U = 0.3;
  in.displacement.U = 0.05;
  const auto got = hold(in);
  EXPECT_NEAR(got->drift_U / got->drift, std::sqrt(0.01 + 0.09 + 0.01), 1e-12);
  in.leakage = {.value = 1e-10};
  EXPECT_FALSE(hold(in));
}

TEST(PhaserHold, Refuses) {
  for (int which = 0; which < 6; ++which) {
    HoldInputs in = inputs(1e-10);
    if (which == 0) in.displacement.value = 0;
    if (which == 1) in.leakage.value = -1e-12;
    if (which == 2) in.bulk = Pressure{};
    if (which == 3) in.chamber = Volume{};
    if (which == 4) in.events = Frequency{};
    if (which == 5) in.viscous = -1;
    EXPECT_FALSE(hold(in)) << which;
  }
}

TEST(TwoStates, SteadyTravel) {
  for (const Row& row : kRows) {
    const auto got = steady_travel(two_states(row.C), Flow::from_si(1.5e-5), newton_metre(2.5));
    ASSERT_TRUE(got) << got.error().why;
    expect_relative(got->in_a_second.si(), row.rate);
    expect_relative(got->load.si(), row.load);
    expect_relative(got->lag.si(), row.lag);
  }
  TwoStates bare = two_states(1e-11);
  bare.viscous = 0;
  EXPECT_FALSE(steady_travel(bare, Flow::from_si(1.5e-5), newton_metre(2.5)));
}

// own: p_L(τ) from rest is 45926.7129 at 30 µm.
TEST(TwoStates, StepResponse) {
  const auto lag = steady_travel(two_states(kRows[0].C), Flow{}, Torque{})->lag.si();
  const auto got = travelled(two_states(kRows[0].C), steady(lag, lag / 1000));
  ASSERT_TRUE(got) << got.error().why;
  ASSERT_EQ(got->size(), 1001u);
  expect_relative(got->back().load.si(), 45926.7129, 1e-6);
}

// A step of 200 lags: an explicit one would burst; this one goes the steady way.
TEST(TwoStates, AStepFarAboveTheLagIsStable) {
  for (const Row& row : kRows) {
    const auto got = travelled(two_states(row.C), steady(2, 0.02));
    ASSERT_TRUE(got) << got.error().why;
    const PhaserState &last = got->back(), &before = (*got)[got->size() - 2];
    expect_relative(last.load.si(), row.load);
    expect_relative((last.angle - before.angle).si() / 0.02, row.rate);
  }
}

// The time simulation swings as the transfer function says; valve shut.
TEST(TwoStates, SwingsAsTheTransferFunctionSays) {
  const double omega = 2 * std::numbers::pi * event_frequency(4, per_min(650)).si();
  for (const Row& row : kRows) {
    const double turn = 2 * std::numbers::pi / omega;
    const Travelling in{
        .valve = [](Time) { return Flow{}; },
        .torque = [=](Time t) { return newton_metre(8 * std::sin(omega * t.si())); },
        .until = Time::from_si(12 * turn),
        .step = Time::from_si(turn / 2000)};
    const auto got = travelled(two_states(row.C), in);
    ASSERT_TRUE(got) << got.error().why;
    double low = 1, high = -1;
    for (std::size_t i = got->size() - 2000; i < got->size(); ++i) {
      low = std::min(low, (*got)[i].angle.si());
      high = std::max(high, (*got)[i].angle.si());
    }
    expect_relative((high - low) / 2 / kRadiansPerDegree, row.swing_with_friction, 1e-5);
  }
}

TEST(TwoStates, Refuses) {
  const TwoStates phaser = two_states(1e-11);
  EXPECT_FALSE(travelled(phaser, {}));
  EXPECT_FALSE(travelled(phaser, steady(0, 0.1)));
  EXPECT_FALSE(travelled(phaser, steady(1e6, 1e-4)));
  auto in = steady(1, 0.01);
  in.torque = [](Time) { return newton_metre(std::nan("")); };
  EXPECT_FALSE(travelled(phaser, in));
}

// The cube of the clearance; the swing grows with leak and with air, falls with friction.
RC_GTEST_PROP(PhaserHoldProperty, Signs, ()) {
  const double clearance = *rc::gen::inRange(10, 120);
  const auto land = [](double c) { return 9.81119386e-14 * std::pow(c / 30, 3) / 8.60e-3; };
  const HoldInputs in = inputs(land(clearance));
  const auto once = hold(in), twice = hold(inputs(land(2 * clearance)));
  RC_ASSERT(std::abs(twice->drift / once->drift - 8) < 1e-9);
  RC_ASSERT(std::abs(once->damper / twice->damper - 8) < 1e-9);
  RC_ASSERT(twice->swing > once->swing);
  HoldInputs airy = in, rubbing = in;
  airy.bulk = airy.bulk * 0.5;
  rubbing.viscous = *rc::gen::inRange(1, 50) * 0.1;
  RC_ASSERT(hold(airy)->swing > once->swing);
  RC_ASSERT(hold(airy)->drift == once->drift);
  RC_ASSERT(hold(rubbing)->swing < once->swing);
}

}  // namespace
}  // namespace tautmark::oil
