// SPDX-License-Identifier: Apache-2.0
// Outside truth: the closed form of a pure integrator with dead time, interval by interval (method
// of steps), θ/W = Σ (-1)^(k+1) (K (t - k T_d))^k / k! over k T_d <= t, and 1 - exp(-K t) without
// it.
#include "oil/phaser_step.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>
#include <random>
#include <string>
#include <vector>

#include "oil/test_near.h"

namespace tautmark::oil {
namespace {

constexpr CamAngle kUnlimited = CamAngle::from_si(1e6);

Time seconds(double v) { return Time::from_si(v); }

double with_dead_time(double gain, double dead, double t) {
  double sum = 0, term = 1;
  for (int k = 1; k * dead <= t; ++k) {
    term = 1;
    for (int i = 1; i <= k; ++i) term *= gain * (t - k * dead) / i;
    sum += (k % 2 ? 1 : -1) * term;
  }
  return sum;
}

ClosedLoop usual() {
  return {
      .gain = 20, .dead = seconds(0.03), .advance_slew = cam_deg(22), .retard_slew = cam_deg(40)};
}

// What a phaser of that loop would have recorded, with an error of each reading.
std::vector<PhaseSample> recorded(const ClosedLoop& loop, double from, double to, double lasts,
                                  double every, double noise, unsigned seed = 7) {
  std::mt19937 random(seed);
  std::normal_distribution<double> normal(0, 1);
  std::vector<PhaseSample> out;
  const auto curve =
      predicted_step(loop, cam_deg(from), cam_deg(to), seconds(lasts), seconds(every));
  EXPECT_TRUE(curve);
  for (const double before : {-3, -2, -1}) out.push_back({seconds(before * every), cam_deg(from)});
  for (const PhaseSample& one : curve->curve)
    out.push_back({one.at, one.angle + cam_deg(noise * normal(random))});
  return out;
}

StepRecording step(const std::vector<PhaseSample>& samples, double from, double to,
                   double u = 0.1) {
  return {.samples = samples, .from = cam_deg(from), .to = cam_deg(to), .angle_u = cam_deg(u)};
}

// oil.md 5.4: K = 20 1/s makes 63.2 % in 0.05 s.
TEST(PredictedStep, FirstOrder) {
  const ClosedLoop loop{.gain = 20, .advance_slew = kUnlimited, .retard_slew = kUnlimited};
  const auto got = predicted_step(loop, cam_deg(5), cam_deg(-5), seconds(0.2), seconds(0.01));
  ASSERT_TRUE(got) << got.error().why;
  ASSERT_EQ(got->curve.size(), 21u);
  EXPECT_TRUE(got->stable);
  for (const PhaseSample& one : got->curve)
    EXPECT_NEAR(in_cam_deg(one.angle), 5 - 10 * (1 - std::exp(-20 * one.at.si())), 1e-9);
  EXPECT_NEAR(in_cam_deg(got->curve[5].angle), 5 - 6.32, 0.005);
}

// Straight at the slew until the error is slew / K, then falling off: 20° at 22°/s and K = 20.
TEST(PredictedStep, IsHeldToTheSlewOfItsOwnWay) {
  ClosedLoop loop = usual();
  loop.dead = seconds(0);
  const auto up = predicted_step(loop, cam_deg(0), cam_deg(20), seconds(2), seconds(0.05));
  const auto down = predicted_step(loop, cam_deg(20), cam_deg(0), seconds(2), seconds(0.05));
  ASSERT_TRUE(up && down);
  EXPECT_NEAR(in_cam_deg(up->curve[10].angle), 11, 1e-9);
  EXPECT_NEAR(in_cam_deg(down->curve[8].angle), 4, 1e-9);
  const double bend = (20 - 22. / 20) / 22;
  EXPECT_NEAR(in_cam_deg(up->curve[20].angle), 20 - 1.1 * std::exp(-20 * (1 - bend)), 1e-9);
}

TEST(PredictedStep, DeadTimeByTheMethodOfSteps) {
  for (const double gain : {5., 15., 26., 30.}) {
    const double dead = 0.06;
    const ClosedLoop loop{gain, seconds(dead), kUnlimited, kUnlimited};
    const auto got = predicted_step(loop, cam_deg(0), cam_deg(10), seconds(0.6), seconds(0.007));
    ASSERT_TRUE(got) << got.error().why;
    EXPECT_EQ(got->stable, gain < 26.1799388);
    for (const PhaseSample& one : got->curve)
      EXPECT_NEAR(in_cam_deg(one.angle), 10 * with_dead_time(gain, dead, one.at.si()),
                  10 * (got->stable ? 1e-4 : 1e-3))
          << gain << " " << one.at.si();
  }
}

// own: T_d = 0.06 s: K < 26.1799388 1/s. Below it the swing dies out, above it grows.
TEST(PredictedStep, StabilityLimit) {
  expect_relative(stable_below(seconds(0.06)), 26.1799388);
  EXPECT_EQ(stable_below(seconds(0)), std::numeric_limits<double>::infinity());
  const auto widest = [](double gain, double from, double to) {
    const ClosedLoop loop{gain, seconds(0.06), kUnlimited, kUnlimited};
    const auto got = predicted_step(loop, cam_deg(0), cam_deg(10), seconds(to), seconds(0.005));
    double most = 0;
    for (const PhaseSample& one : got->curve)
      if (one.at.si() >= from) most = std::max(most, std::abs(in_cam_deg(one.angle) - 10));
    return most;
  };
  EXPECT_LT(widest(25, 4, 5), 0.8 * widest(25, 1, 2));
  EXPECT_GT(widest(27.5, 4, 5), 1.2 * widest(27.5, 1, 2));
}

TEST(PredictedStep, Refuses) {
  ClosedLoop loop = usual();
  const auto run = [&](double until = 1, double every = 0.01) {
    return predicted_step(loop, cam_deg(0), cam_deg(10), seconds(until), seconds(every));
  };
  EXPECT_TRUE(run());
  EXPECT_FALSE(run(0));
  EXPECT_FALSE(run(1, 0));
  EXPECT_FALSE(run(1e6, 1e-3));
  loop.gain = 0;
  EXPECT_FALSE(run());
  loop = usual();
  loop.dead = seconds(-0.1);
  EXPECT_FALSE(run());
  loop = usual();
  loop.retard_slew = cam_deg(0);
  EXPECT_FALSE(run());
}

TEST(ComparedStep, FindsTheSlewThatWasThere) {
  ClosedLoop real = usual();
  real.advance_slew = cam_deg(11);
  const auto samples = recorded(real, 0, 20, 3, 0.046, 0.1);
  const auto got = compared_step(step(samples, 0, 20), usual(), 0.2);
  ASSERT_TRUE(got) << got.error().why;
  EXPECT_EQ(got->speed, StepSpeed::slower);
  EXPECT_NEAR(in_cam_deg(got->predicted), 22, 0.05);
  EXPECT_NEAR(in_cam_deg(got->seen), 11, in_cam_deg(got->seen_U));
  EXPECT_LT(in_cam_deg(got->seen_U), 0.5);
  EXPECT_NEAR(*got->ratio, 0.5, 0.02);
  EXPECT_GT(got->samples, 20);
}

TEST(ComparedStep, SaysNothingWhereTheIntervalsMeet) {
  ClosedLoop real = usual();
  real.advance_slew = cam_deg(18);
  const auto samples = recorded(real, 0, 20, 3, 0.046, 0.1);
  EXPECT_EQ(compared_step(step(samples, 0, 20), usual(), 0.4)->speed, StepSpeed::not_told_apart);
  EXPECT_EQ(compared_step(step(samples, 0, 20), usual(), 0.1)->speed, StepSpeed::slower);
  real.advance_slew = cam_deg(33);
  const auto faster = recorded(real, 0, 20, 3, 0.02, 0.1);
  EXPECT_EQ(compared_step(step(faster, 0, 20), usual(), 0.2)->speed, StepSpeed::faster);
}

// What is stated for the slew holds the truth about as often as it says.
TEST(ComparedStep, UncertaintyCovers) {
  ClosedLoop real = usual();
  real.retard_slew = cam_deg(30);
  int held = 0;
  for (unsigned seed = 0; seed < 200; ++seed) {
    const auto samples = recorded(real, 20, 0, 2, 0.046, 0.3, seed);
    const auto got = compared_step(step(samples, 20, 0, 0.3), usual(), 0.2);
    ASSERT_TRUE(got) << got.error().why;
    held += std::abs(in_cam_deg(got->seen) - 30) <= in_cam_deg(got->seen_U);
  }
  EXPECT_GE(held, 184);
}

TEST(ComparedStep, StuckNeedsPatience) {
  std::vector<PhaseSample> still;
  for (int i = 0; i < 60; ++i) still.push_back({seconds(i * 0.05), cam_deg(0.2 * (i % 2))});
  const auto got = compared_step(step(still, 0, 20), usual(), 0.2);
  ASSERT_TRUE(got) << got.error().why;
  EXPECT_EQ(got->speed, StepSpeed::stuck);
  EXPECT_FALSE(got->ratio);
  still.resize(6);
  EXPECT_FALSE(compared_step(step(still, 0, 20), usual(), 0.2));
}

TEST(ComparedStep, Refuses) {
  const auto good = recorded(usual(), 0, 20, 2, 0.046, 0);
  EXPECT_TRUE(compared_step(step(good, 0, 20), usual(), 0.2));
  EXPECT_FALSE(compared_step(step(good, 0, 2), usual(), 0.2));
  EXPECT_FALSE(compared_step(step(good, 0, 20), usual(), std::nan("")));
  EXPECT_FALSE(compared_step(step({}, 0, 20), usual(), 0.2));
  auto bad = good;
  std::swap(bad[4], bad[5]);
  EXPECT_FALSE(compared_step(step(bad, 0, 20), usual(), 0.2));
  const auto sparse = recorded(usual(), 0, 20, 2, 0.5, 0);
  const auto refused = compared_step(step(sparse, 0, 20), usual(), 0.2);
  ASSERT_FALSE(refused);
  EXPECT_THAT(refused.error().why, ::testing::HasSubstr("more often"));
}

StepComparison ratio(double value, double U, StepSpeed speed) {
  return {.speed = speed, .ratio = value, .ratio_U = U};
}

// oil.md 5.3: slow advance with normal or fast retard is leak or low pressure; slow both ways is
// valve, screen or thick oil.
TEST(SlewDiagnosis, OneWayOrBoth) {
  const auto slow = ratio(0.3, 0.2, StepSpeed::slower);
  const auto normal = ratio(0.95, 0.2, StepSpeed::not_told_apart);
  const auto fast = ratio(1.6, 0.2, StepSpeed::faster);
  const auto one = slew_diagnosis(slow, normal, Travel::advance);
  EXPECT_EQ(one.pattern, SlewPattern::slow_against_load);
  EXPECT_THAT(std::string(meaning(one.pattern)), ::testing::HasSubstr("leak"));
  EXPECT_EQ(slew_diagnosis(slow, fast, Travel::advance).pattern, SlewPattern::slow_against_load);
  EXPECT_EQ(slew_diagnosis(slow, fast, Travel::retard).pattern, SlewPattern::slow_with_load);
  const auto both = slew_diagnosis(slow, slow, Travel::advance);
  EXPECT_EQ(both.pattern, SlewPattern::slow_both_ways);
  EXPECT_FALSE(both.uneven);
  EXPECT_THAT(std::string(meaning(both.pattern)), ::testing::HasSubstr("valve"));
  EXPECT_TRUE(slew_diagnosis(slow, ratio(0.7, 0.2, StepSpeed::slower), Travel::advance).uneven);
  const StepComparison stuck{.speed = StepSpeed::stuck};
  EXPECT_EQ(slew_diagnosis(stuck, fast, Travel::advance).pattern, SlewPattern::slow_against_load);
  EXPECT_EQ(slew_diagnosis(stuck, stuck, Travel::advance).pattern, SlewPattern::slow_both_ways);
}

TEST(SlewDiagnosis, NothingShownIsNoPass) {
  const auto normal = ratio(0.95, 0.2, StepSpeed::not_told_apart);
  const auto answer = slew_diagnosis(normal, normal, Travel::advance);
  EXPECT_EQ(answer.pattern, SlewPattern::not_shown_slow);
  EXPECT_THAT(std::string(meaning(answer.pattern)), ::testing::HasSubstr("does not prove"));
  EXPECT_EQ(slew_diagnosis(normal, {}, Travel::advance).pattern, SlewPattern::cannot_tell);
  // One just slower than predicted, the other just not: they do not differ.
  EXPECT_EQ(slew_diagnosis(ratio(0.8, 0.2, StepSpeed::slower), normal, Travel::advance).pattern,
            SlewPattern::cannot_tell);
}

RC_GTEST_PROP(PredictedStepProperty, StaysWithinItsSlew, ()) {
  ClosedLoop loop = usual();
  loop.gain = *rc::gen::inRange(1, 60);
  loop.dead = seconds(*rc::gen::inRange(0, 100) * 1e-3);
  const double to = *rc::gen::inRange(-30, 30);
  const auto got = predicted_step(loop, cam_deg(0), cam_deg(to), seconds(1), seconds(0.01));
  RC_ASSERT(got.has_value());
  for (std::size_t i = 1; i < got->curve.size(); ++i) {
    const double by = in_cam_deg(got->curve[i].angle - got->curve[i - 1].angle);
    RC_ASSERT(by <= 0.22 + 1e-9 && by >= -0.4 - 1e-9);
  }
}

}  // namespace
}  // namespace tautmark::oil
