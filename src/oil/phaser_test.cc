// SPDX-License-Identifier: Apache-2.0
// Values marked own are of oil.md 5.1 and 3.4 (oil-checks.yaml: phaser-geometry, network-*), worked
// out apart from this program; relative 1e-6.
#include "oil/phaser.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "oil/test_near.h"

namespace tautmark::oil {
namespace {

constexpr double kVth = 3.84e-5;

PhaserLoad load_of(double mean, double spring = 0, double friction = 0, double U = 0) {
  return {.mean = {newton_metre(mean), U},
          .spring = {newton_metre(spring), U},
          .friction = {newton_metre(friction), U}};
}

// T = mean + swing sin(events φ), every `step` degrees.
std::vector<CamTorqueSample> wave(double mean, double swing, int events, double step) {
  std::vector<CamTorqueSample> out;
  for (int i = 0; i * step < 360 - 1e-9; ++i)
    out.push_back({cam_deg(i * step),
                   newton_metre(mean + swing * std::sin(events * i * step * kRadiansPerDegree))});
  return out;
}

TEST(Phaser, DisplacementHasTwoEqualForms) {
  const auto by_radii =
      displacement(Vanes{.count = 4, .inner = mm(22), .outer = mm(38), .width = mm(20)});
  ASSERT_TRUE(by_radii) << by_radii.error().why;
  expect_relative(*by_radii, kVth);  // own
  const auto by_area = displacement(4, 3.2e-4, mm(30));
  ASSERT_TRUE(by_area);
  expect_relative(*by_area, *by_radii, 1e-12);
  // own: 0.670206432766 cm³ a cam degree; 1 L/min is 24.8679598581 cam deg a second.
  expect_relative(*by_radii * 1e6 * kRadiansPerDegree, 0.670206432766);
  expect_relative(liters_per_min(1).si() / *by_radii / kRadiansPerDegree, 24.8679598581);
  EXPECT_NEAR(in_crank_deg(to_crank(CamAngle::from_si(liters_per_min(1).si() / *by_radii))),
              49.7359197, 1e-6);  // own
}

TEST(Phaser, RefusesVanesThatAreNone) {
  const Vanes good{.count = 4, .inner = mm(22), .outer = mm(38), .width = mm(20)};
  Vanes bad = good;
  bad.count = 0;
  EXPECT_FALSE(displacement(bad));
  bad = good;
  bad.inner = mm(38);
  EXPECT_FALSE(displacement(bad));
  bad = good;
  bad.width = Length::from_si(std::nan(""));
  EXPECT_FALSE(displacement(bad));
  EXPECT_FALSE(displacement(4, 0, mm(30)));
}

// own: pressure difference of the left phaser in the network of oil.md 3.4 at 30, 45, 60, 90 µm of
// the front journal; torque and margin against 2.5 N·m of oil.md 5.1.
TEST(Phaser, MarginOfTheFourJournals) {
  struct Row {
    double difference, torque, margin;
    AuthorityBand band;
  };
  for (const Row& row : {Row{158310.139978, 6.07910938, 2.43164375, AuthorityBand::comfortable},
                         Row{123335.185793, 4.73607130, 1.89442852, AuthorityBand::slow},
                         Row{81550.99226, 3.13155809, 1.25262324, AuthorityBand::holds_only},
                         Row{32262.9602376, 1.23889766, 0.495559066, AuthorityBand::drifts}}) {
    const auto got = authority({.displacement = {kVth, 0},
                                .difference = {Pressure::from_si(row.difference), 0},
                                .load = load_of(2.5)});
    ASSERT_TRUE(got) << got.error().why;
    expect_relative(got->available.si(), row.torque);
    ASSERT_TRUE(got->margin);
    expect_relative(*got->margin, row.margin);
    EXPECT_EQ(got->band, row.band);
    EXPECT_EQ(got->worst, row.band);
    EXPECT_EQ(got->best, row.band);
    EXPECT_DOUBLE_EQ(got->low, got->high);
  }
}

TEST(Phaser, LoadTurnsRoundWithTheTravel) {
  const PhaserLoad load = load_of(3, 1.2, 0.4);
  EXPECT_NEAR(needed_torque(load, Travel::advance).si(), 3 - 1.2 + 0.4, 1e-12);
  EXPECT_NEAR(needed_torque(load, Travel::retard).si(), 1.2 - 3 + 0.4, 1e-12);
}

// By hand: margin 2, shares 0.3 (√(0.1² + 0.2²) of the torque available, 0.2 of the needed) give
// exp(±0.3).
TEST(Phaser, MarginCarriesItsUncertainty) {
  const auto got = authority({.displacement = {1e-5, 0.1},
                              .difference = {Pressure::from_si(2e5), 0.2},
                              .load = load_of(1, 0, 0, 0.2)});
  ASSERT_TRUE(got);
  EXPECT_NEAR(*got->margin, 2, 1e-12);
  EXPECT_NEAR(got->available_U.si(), 2 * std::sqrt(0.05), 1e-12);
  EXPECT_NEAR(got->needed_U.si(), 0.2, 1e-12);
  EXPECT_NEAR(got->low, 2 * std::exp(-0.3), 1e-12);
  EXPECT_NEAR(got->high, 2 * std::exp(0.3), 1e-12);
  EXPECT_EQ(got->band, AuthorityBand::comfortable);
  EXPECT_EQ(got->worst, AuthorityBand::slow);
}

TEST(Phaser, ALoadThatHelpsHasNoMargin) {
  const auto helps = authority({.displacement = {kVth, 0.1},
                                .difference = {kPa(30), 0.1},
                                .load = load_of(2.5, 0, 0.3, 0.2),
                                .travel = Travel::retard});
  ASSERT_TRUE(helps);
  EXPECT_FALSE(helps->margin);
  EXPECT_EQ(helps->band, AuthorityBand::load_helps);
  EXPECT_EQ(helps->worst, AuthorityBand::load_helps);
  // Needed 0.1 ± about 0.7: it may help or not, and nobody knows how well it then holds.
  const auto open = authority(
      {.displacement = {kVth, 0}, .difference = {kPa(10), 0}, .load = load_of(2.5, 2.4, 0, 0.2)});
  ASSERT_TRUE(open);
  EXPECT_EQ(open->best, AuthorityBand::load_helps);
  EXPECT_EQ(open->worst, AuthorityBand::drifts);
  // Pressure that works against a load that helps, and wins.
  const auto against = authority({.displacement = {kVth, 0},
                                  .difference = {kPa(-100), 0},
                                  .load = load_of(2.5),
                                  .travel = Travel::retard});
  ASSERT_TRUE(against);
  EXPECT_EQ(against->band, AuthorityBand::drifts);
  EXPECT_EQ(against->best, AuthorityBand::drifts);
}

TEST(Phaser, RefusesAnUncertaintyNobodyStated) {
  AuthorityInputs in{.displacement = {kVth, 0}, .difference = {kPa(100), 0}, .load = load_of(2.5)};
  ASSERT_TRUE(authority(in));
  in.difference = {.value = kPa(100)};
  EXPECT_FALSE(authority(in));
  in.difference = {kPa(100), 0};
  in.load.spring = {};
  EXPECT_FALSE(authority(in));
  in.load = load_of(2.5, 0, -1);
  EXPECT_FALSE(authority(in));
}

TEST(Phaser, BanksCompareWithoutTheirLoad) {
  const auto ratio =
      authority_ratio({Pressure::from_si(32262.9602376), 0.03}, {kPa(149.942), 0.04});
  ASSERT_TRUE(ratio);
  EXPECT_NEAR(ratio->value, 0.21517, 1e-5);
  EXPECT_NEAR(ratio->U, 0.05, 1e-12);
  EXPECT_FALSE(authority_ratio({kPa(10), 0}, {kPa(0), 0}));
}

TEST(CamTorque, MeanAndSwingOfAWave) {
  const auto curve = wave(2.5, 8, 4, 0.5);
  const auto got = cam_torque_summary(curve);
  ASSERT_TRUE(got) << got.error().why;
  EXPECT_NEAR(got->mean.si(), 2.5, 1e-12);
  EXPECT_NEAR(got->swing.si(), 8, 1e-12);
}

// Unequal samples: a triangle from 0 at 0° to 6 at 180° and back, of which every piece is straight.
TEST(CamTorque, TakesUnequalSamples) {
  std::vector<CamTorqueSample> curve;
  for (const double at : {0, 10, 25, 50, 80, 100, 130, 155, 180, 200, 230, 260, 285, 310, 340})
    curve.push_back({cam_deg(at), newton_metre(at <= 180 ? at / 30 : (360 - at) / 30)});
  const auto got = cam_torque_summary(curve);
  ASSERT_TRUE(got) << got.error().why;
  EXPECT_NEAR(got->mean.si(), 3, 1e-12);
  EXPECT_NEAR(got->swing.si(), 3, 1e-12);
  // Above 2 for two thirds of the turn; the spring takes 1 off.
  EXPECT_NEAR(*share_short(curve, load_of(99), Travel::advance, newton_metre(2)), 2. / 3, 1e-12);
  EXPECT_NEAR(*share_short(curve, load_of(99, 1), Travel::advance, newton_metre(2)), 0.5, 1e-12);
  EXPECT_NEAR(*share_short(curve, load_of(99, 0, 1), Travel::advance, newton_metre(2)), 5. / 6,
              1e-12);
  // To retard, the same torque helps: short only where the spring of 1 asks more than 0.5.
  EXPECT_NEAR(*share_short(curve, load_of(99, 1), Travel::retard, newton_metre(0.5)), 1. / 12,
              1e-12);
}

// sin > 1/2 for a third of its turn.
TEST(CamTorque, ShareOfAWave) {
  const auto curve = wave(2.5, 8, 4, 0.25);
  EXPECT_NEAR(*share_short(curve, load_of(0), Travel::advance, newton_metre(6.5)), 1. / 3, 1e-4);
  EXPECT_EQ(*share_short(curve, load_of(0), Travel::advance, newton_metre(11)), 0);
  EXPECT_EQ(*share_short(curve, load_of(0), Travel::advance, newton_metre(-6)), 1);
}

TEST(CamTorque, RefusesWhatIsNoTurn) {
  EXPECT_FALSE(cam_torque_summary({}));
  EXPECT_FALSE(cam_torque_summary(wave(2, 1, 4, 45)));  // too wide apart
  auto curve = wave(2, 1, 4, 5);
  std::swap(curve[3], curve[4]);
  EXPECT_FALSE(cam_torque_summary(curve));
  curve = wave(2, 1, 4, 5);
  curve.push_back({cam_deg(360), newton_metre(2)});  // the first one again
  EXPECT_FALSE(cam_torque_summary(curve));
  curve = wave(2, 1, 4, 5);
  curve[7].torque = newton_metre(std::nan(""));
  EXPECT_FALSE(cam_torque_summary(curve));
}

RC_GTEST_PROP(PhaserProperty, MarginGrowsWithPressureAndFallsWithLoad, ()) {
  const double p = *rc::gen::inRange(1, 400) * 1e3, t = *rc::gen::inRange(1, 80) * 0.1;
  const double r = *rc::gen::inRange(0, 30) * 0.01;
  const auto margin = [&](double pressure, double torque) {
    return *authority({.displacement = {kVth, r},
                       .difference = {Pressure::from_si(pressure), r},
                       .load = load_of(torque, 0, 0, r)});
  };
  const auto here = margin(p, t);
  RC_ASSERT(*margin(p * 1.1, t).margin > *here.margin);
  RC_ASSERT(*margin(p, t * 1.1).margin < *here.margin);
  RC_ASSERT(here.low <= *here.margin && *here.margin <= here.high);
  RC_ASSERT(here.worst <= here.band && here.band <= here.best);
}

RC_GTEST_PROP(PhaserProperty, ShareFallsAsTorqueGrows, ()) {
  const auto curve = wave(*rc::gen::inRange(0, 50) * 0.1, *rc::gen::inRange(1, 100) * 0.1, 3, 3);
  const double t = *rc::gen::inRange(-100, 150) * 0.1;
  const double less = *share_short(curve, load_of(0), Travel::advance, newton_metre(t));
  const double more = *share_short(curve, load_of(0), Travel::advance, newton_metre(t + 0.5));
  RC_ASSERT(0 <= more && more <= less && less <= 1);
}

}  // namespace
}  // namespace tautmark::oil
