// SPDX-License-Identifier: Apache-2.0
// Outside truth: motions made here, of known frequency, height and growth, with noise.
#include "oil/phaser_motion.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <numbers>
#include <random>
#include <vector>

namespace tautmark::oil {
namespace {

constexpr Frequency kEvents = Frequency::from_si(65. / 3);  // 4 a cam turn at 650 rpm
constexpr double kNoise = 0.05;                             // deg

std::vector<PhaseSample> held(const std::function<double(double)>& angle, double rate = 120,
                              double lasts = 15) {
  std::mt19937 random(11);
  std::normal_distribution<double> normal(0, kNoise);
  std::uniform_real_distribution<double> jitter(-0.2, 0.2);
  std::vector<PhaseSample> out;
  for (int i = 0; i < lasts * rate; ++i) {
    const double t = (i + jitter(random)) / rate;
    out.push_back({Time::from_si(t), cam_deg(angle(t) + normal(random))});
  }
  return out;
}

double sine(double f, double t) { return std::sin(2 * std::numbers::pi * f * t); }
// From 0 down to -1 in nine tenths of its period, and back.
double saw(double f, double t) {
  const double part = f * t - std::floor(f * t);
  return part < 0.9 ? -part / 0.9 : (part - 1) / 0.1;
}

std::vector<HoldMotion> motions(const std::vector<PhaseSample>& samples) {
  const auto got = hold_motions(samples, kEvents, cam_deg(kNoise));
  EXPECT_TRUE(got) << got.error().why;
  return got ? *got : std::vector<HoldMotion>{};
}

TEST(HoldMotions, FastSwingOnASlowSawToothAreTwo) {
  const auto got = motions(held(
      [](double t) { return 12 - 0.02 * t + 0.4 * sine(kEvents.si(), t) + 1.5 * saw(0.9, t); }));
  ASSERT_EQ(got.size(), 2u);
  EXPECT_EQ(hold_motion(got[0])->kind, HoldMotionKind::fast_swing);
  EXPECT_NEAR(in_cam_deg(got[0].height), 0.8, 0.05);
  EXPECT_EQ(hold_motion(got[1])->kind, HoldMotionKind::slow_saw_tooth);
  EXPECT_NEAR(got[1].at.si(), 0.9, 0.01);
  EXPECT_NEAR(in_cam_deg(got[1].height), 1.5, 0.35);
  EXPECT_NEAR(got[1].growth, 1, 0.02);
}

TEST(HoldMotions, GrowingSinusoid) {
  const auto got =
      motions(held([](double t) { return 0.1 * std::pow(1.13, 4.2 * t) * sine(4.2, t); }, 120, 11));
  ASSERT_EQ(got.size(), 1u);
  EXPECT_NEAR(got[0].at.si(), 4.2, 0.05);
  EXPECT_GT(got[0].growth, 1.1);
  EXPECT_EQ(hold_motion(got[0])->kind, HoldMotionKind::growing_sinusoid);
}

TEST(HoldMotions, ScatterIsNoMotion) {
  EXPECT_TRUE(motions(held([](double t) { return 5 + 0.1 * t; })).empty());
}

// Read 20 times a second, the swing with the events looks like one of 1.7 Hz: it must not be named.
TEST(HoldMotions, AnAliasIsNotNamed) {
  const auto got = motions(held([](double t) { return sine(kEvents.si(), t); }, 20));
  for (const HoldMotion& one : got) {
    EXPECT_FALSE(hold_motion(one)->events_seen);
    EXPECT_EQ(hold_motion(one)->kind, HoldMotionKind::unclear);
  }
}

TEST(HoldMotions, Refuses) {
  const auto good = held([](double) { return 0; });
  EXPECT_TRUE(hold_motions(good, kEvents, cam_deg(kNoise)));
  EXPECT_FALSE(hold_motions(good, Frequency{}, cam_deg(kNoise)));
  EXPECT_FALSE(hold_motions(good, kEvents, CamAngle{}));
  EXPECT_FALSE(hold_motions({}, kEvents, cam_deg(kNoise)));
  EXPECT_FALSE(hold_motions(held([](double) { return 0; }, 120, 5), kEvents, cam_deg(kNoise)));
  auto bad = good;
  std::swap(bad[3], bad[4]);
  EXPECT_FALSE(hold_motions(bad, kEvents, cam_deg(kNoise)));
}

}  // namespace
}  // namespace tautmark::oil
