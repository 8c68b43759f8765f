// SPDX-License-Identifier: Apache-2.0
#include "oil/phaser_hunt.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "oil/phaser_hold.h"
#include "oil/phaser_step.h"

namespace tautmark::oil {
namespace {

SawToothInputs usual() {
  return {.band = cam_deg(1),
          .drift = cam_deg(1.447),
          .correction = cam_deg(20),
          .dead = Time::from_si(0.06)};
}

// Outside truth: a two-point controller with dead time, played through in steps of 10 µs.
SawTooth played(const SawToothInputs& in) {
  const double dt = 1e-5;
  const auto late = static_cast<std::size_t>(std::lround(in.dead.si() / dt));
  std::vector<double> angle{0};
  bool pumping = false;
  double low = 1, high = -1, first = 0, last = 0;
  int starts = 0;
  for (std::size_t i = 0; i < 1'500'000; ++i) {
    const double seen = angle[i < late ? 0 : i - late];
    if (pumping && seen >= 0) pumping = false;
    if (!pumping && seen <= -in.band.si()) {
      pumping = true;
      const double now = static_cast<double>(i) * dt;
      if (++starts == 2) first = now;
      last = now;
    }
    angle.push_back(angle.back() + dt * (pumping ? in.correction.si() : -std::abs(in.drift.si())));
    if (starts >= 2) {
      low = std::min(low, angle.back());
      high = std::max(high, angle.back());
    }
  }
  return {CamAngle::from_si(high - low), Time::from_si((last - first) / (starts - 2))};
}

TEST(SawTooth, AsATwoPointControllerPlaysIt) {
  SawToothInputs in = usual();
  for (const double drift : {1.447, -9.2}) {
    in.drift = cam_deg(drift);
    const auto got = saw_tooth(in);
    ASSERT_TRUE(got) << got.error().why;
    const SawTooth truth = played(in);
    EXPECT_NEAR(in_cam_deg(got->height), in_cam_deg(truth.height), 2e-3);
    EXPECT_NEAR(got->period.si(), truth.period.si(), 2e-3);
  }
}

// oil.md 5.5, common practice: 0.5 to 3° at 0.3 to 2 Hz.
TEST(SawTooth, OfTheUsualPhaserIsWhatWorkshopsSee) {
  const auto got = saw_tooth(usual());
  EXPECT_GT(in_cam_deg(got->height), 0.5);
  EXPECT_LT(in_cam_deg(got->height), 3);
  EXPECT_GT(1 / got->period.si(), 0.3);
  EXPECT_LT(1 / got->period.si(), 2);
  const HoldMotion seen{.at = Frequency::from_si(1 / got->period.si()),
                        .height = got->height,
                        .events = event_frequency(4, per_min(650)),
                        .samples = Frequency::from_si(100)};
  EXPECT_EQ(hold_motion(seen)->kind, HoldMotionKind::slow_saw_tooth);
}

TEST(SawTooth, Refuses) {
  SawToothInputs in = usual();
  in.band = CamAngle{};
  EXPECT_FALSE(saw_tooth(in));
  in = usual();
  in.drift = CamAngle{};
  EXPECT_FALSE(saw_tooth(in));
  in = usual();
  in.correction = cam_deg(-1);
  const auto refused = saw_tooth(in);
  ASSERT_FALSE(refused);
  EXPECT_THAT(refused.error().why, ::testing::HasSubstr("stop"));
}

HoldMotion motion(double at, double growth = 1, double samples = 200) {
  return {.at = Frequency::from_si(at),
          .height = cam_deg(1.5),
          .growth = growth,
          .events = event_frequency(4, per_min(650)),  // 21.7 Hz
          .samples = Frequency::from_si(samples)};
}

TEST(HoldMotion, TellsThreeApart) {
  EXPECT_EQ(hold_motion(motion(21.5))->kind, HoldMotionKind::fast_swing);
  EXPECT_EQ(hold_motion(motion(0.9))->kind, HoldMotionKind::slow_saw_tooth);
  // A loop at its limit swings with a period of four dead times: 4.2 Hz at 0.06 s.
  EXPECT_EQ(hold_motion(motion(1 / (4 * 0.06), 1.4))->kind, HoldMotionKind::growing_sinusoid);
  EXPECT_EQ(hold_motion(motion(4))->kind, HoldMotionKind::unclear);
  EXPECT_EQ(hold_motion(motion(0.9, 1.4))->kind, HoldMotionKind::unclear);
  EXPECT_EQ(hold_motion(motion(12))->kind, HoldMotionKind::unclear);
  HoldMotion wide = motion(0.9);
  wide.height = cam_deg(9);
  EXPECT_EQ(hold_motion(wide)->kind, HoldMotionKind::unclear);
}

// Read with every valve event, a swing with the events looks still or slow: nothing may be said.
TEST(HoldMotion, AnAngleReadTooSeldomSaysNothing) {
  const auto got = hold_motion(motion(0.9, 1, 21.7));
  EXPECT_FALSE(got->events_seen);
  EXPECT_EQ(got->kind, HoldMotionKind::unclear);
  EXPECT_FALSE(hold_motion(motion(0)));
  EXPECT_FALSE(hold_motion(motion(1, -1)));
}

RC_GTEST_PROP(SawToothProperty, MoreDriftIsAFasterSaw, ()) {
  SawToothInputs in = usual();
  in.drift = cam_deg(*rc::gen::inRange(1, 100) * 0.1);
  in.dead = Time::from_si(*rc::gen::inRange(0, 60) * 1e-3);
  const auto slow = saw_tooth(in);
  in.drift = in.drift * 1.2;
  const auto fast = saw_tooth(in);
  RC_ASSERT(fast->period < slow->period);
  RC_ASSERT(fast->height >= slow->height);
}

}  // namespace
}  // namespace tautmark::oil
