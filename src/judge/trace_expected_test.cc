// SPDX-License-Identifier: Apache-2.0
#include "judge/trace_expected.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tighten/trace_simulate.h"

namespace tautmark {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::UnorderedElementsAre;

TighteningStep torque_step(std::string text) {
  return {.torque = Written<Torque>{Torque::from_si(read_quantity(text, Kind::torque)->si), text},
          .angle = std::nullopt};
}
TighteningStep angle_step(double degrees) {
  return {.torque = std::nullopt, .angle = Written<Angle>{deg(degrees), "angle"}};
}

Fastener stretch_bolt() {
  Fastener bolt;
  bolt.name = "phaser bolt";
  bolt.thread = "M12x1.25";
  bolt.strength_class = "10.9";
  bolt.condition = "threads oiled";
  bolt.single_use = true;
  bolt.steps = {torque_step("20 N·m"), torque_step("35 N·m"), angle_step(75), angle_step(15)};
  return bolt;
}

TEST(TraceExpected, TorqueBeforeTheAnglesAndTheirSum) {
  const TraceExpected all = trace_expected(stretch_bolt());
  ASSERT_TRUE(all.step);
  EXPECT_DOUBLE_EQ(all.step->snug->si(), 35);
  EXPECT_NEAR(in_deg(*all.step->angle), 90, 1e-9);
  EXPECT_FALSE(all.step->target);
  EXPECT_TRUE(all.step->meant_to_yield);
  EXPECT_THAT(all.assumed, ::testing::Contains(HasSubstr("meant to yield")));
  EXPECT_NEAR(all.step->strength.yield.si(), 940e6, 1);  // ISO 898-1:2013 table 3
  EXPECT_DOUBLE_EQ(all.step->friction.low, 0.08);        // VDI 2230, class B

  const TraceExpected first = trace_expected(stretch_bolt(), 1);
  ASSERT_TRUE(first.step);
  EXPECT_DOUBLE_EQ(first.step->target->si(), 20);
  EXPECT_FALSE(first.step->meant_to_yield);
  const TraceExpected third = trace_expected(stretch_bolt(), 3);
  ASSERT_TRUE(third.step);
  EXPECT_DOUBLE_EQ(third.step->snug->si(), 35);
  EXPECT_NEAR(in_deg(*third.step->angle), 75, 1e-9);
  EXPECT_THAT(trace_expected(stretch_bolt(), 5).missing, ElementsAre(HasSubstr("there are 4")));
}

TEST(TraceExpected, WhatIsMissingIsAskedNeverGuessed) {
  Fastener bare;
  bare.steps = {torque_step("12 N·m")};
  TraceExpected asked = trace_expected(bare);
  EXPECT_FALSE(asked.step);
  EXPECT_THAT(asked.missing, UnorderedElementsAre(HasSubstr("thread"), HasSubstr("oiled or dry")));
  bare.thread = "M10";
  bare.condition = "threadlocker";
  asked = trace_expected(bare);
  EXPECT_FALSE(asked.step);
  EXPECT_THAT(asked.missing, UnorderedElementsAre(AllOf(HasSubstr("pitch"), HasSubstr("M10x1.5"),
                                                        HasSubstr("M10x1.25")),
                                                  HasSubstr("class"), HasSubstr("threadlocker")));
  Fastener no_torque = stretch_bolt();
  no_torque.steps = {angle_step(90)};
  EXPECT_THAT(trace_expected(no_torque).missing, ElementsAre(HasSubstr("torque before the angle")));
  no_torque.steps.clear();
  EXPECT_FALSE(trace_expected(no_torque).step);
}

TEST(OtherTraces, MedianAndSpread) {
  const auto torques = [](std::vector<double> values) {
    std::vector<Torque> all;
    for (const double value : values) all.push_back(Torque::from_si(value));
    return all;
  };
  EXPECT_FALSE(other_traces(torques({1, 1})));
  EXPECT_FALSE(other_traces(torques({1, 1, 0, -2})));
  // numpy: median 1.05; scipy.stats.median_abs_deviation(scale=1.4826)/1.05 = 0.1412.
  const auto four = other_traces(torques({1.0, 1.1, 0.9, 1.3}));
  ASSERT_TRUE(four);
  EXPECT_NEAR(four->gradient.si(), 1.05, 1e-12);
  EXPECT_NEAR(four->spread, 0.1412, 1e-4);
  EXPECT_NEAR(other_traces(torques({1, 1, 1}))->spread, kLeastSpread, 1e-12);
  EXPECT_EQ(differs_from_others(Torque::from_si(1.3), *four), "");
  EXPECT_THAT(differs_from_others(Torque::from_si(1.6), *four), HasSubstr("stiffer"));
  EXPECT_THAT(differs_from_others(Torque::from_si(0.5), *four), HasSubstr("softer"));
}

// The true slope lies inside what is learned, at every friction of the class.
TEST(OtherTraces, TheSlopeHoldsTheTruthAtEveryFriction) {
  const tighten::ExpectedStep step = *trace_expected(stretch_bolt()).step;
  constexpr double kTruth = 600;  // N per degree
  for (const double mu : {step.friction.low, 0.12, step.friction.high}) {
    const double k = tighten::torque_per_force(step.thread, {mu, mu}, step.head_mean).all().si();
    const std::vector<Torque> same(3, Torque::from_si(kTruth * k));
    const tighten::ExpectedSlope slope = slope_of(*other_traces(same), step);
    EXPECT_NEAR(slope.per_degree.si(), kTruth, slope.expanded * slope.per_degree.si()) << mu;
    EXPECT_LT(slope.expanded, 0.5);
  }
}

}  // namespace
}  // namespace tautmark
