// SPDX-License-Identifier: Apache-2.0
#include "tighten/trace_analysis.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tighten/trace_simulate.h"

namespace tautmark::tighten {
namespace {

// Joint W1 of fasteners.md 4.2 and its truth set G1: M10x1.5, 10.9, friction 0.12, 50 N·m + 60°.
SimulatedBolt g1() {
  return {.origin = deg(30),
          .toe = deg(4),
          .per_degree = Force::from_si(666.4337392446166),
          .yield = Force::from_si(48312.71171753102),
          .knee = deg(3),
          .beyond = 0.03113359284237462,
          .per_force = Length::from_si(1.6740527376653938e-3),
          .prevailing = newton_metre(1)};
}
ExpectedStep w1() {
  const Thread thread = read_thread("M10x1.5")->possible[0];
  return {.snug = newton_metre(50),
          .angle = deg(60),
          .meant_to_yield = true,
          .thread = thread,
          .strength = strength("10.9", thread.nominal).value(),
          .friction = friction_classes()[1],
          .head_mean = mm(13.5),
          .slope = ExpectedSlope{Force::from_si(666.4337392446166), 0.1}};
}
const SimulatedRecorder kRecorder{.noise = newton_metre(0.2)};
SimulatedStop as_told() { return {.most = deg(400), .snug = newton_metre(50), .angle = deg(60)}; }
TraceResult seen(const SimulatedBolt& bolt, const SimulatedDamage& damage,
                 const SimulatedStop& stop, const ExpectedStep& expected) {
  return analyse_trace(simulated_trace(bolt, damage, kRecorder, stop, 5), expected).value();
}
bool has(const TraceResult& r, TraceSign sign) {
  return std::any_of(r.findings.begin(), r.findings.end(),
                     [&](const TraceFinding& f) { return f.sign == sign && !f.why.empty(); });
}

// The truth of the trace: 49.0 kN at its end (softplus set), gradient 1.1156 N·m per degree,
// friction 0.12.
TEST(TraceAnalysis, GoodStep) {
  const TraceResult r = seen(g1(), {}, as_told(), w1());
  EXPECT_EQ(r.answer, TraceAnswer::nothing_found);
  EXPECT_TRUE(r.findings.empty());
  EXPECT_FALSE(r.cannot_be_told.empty());
  ASSERT_TRUE(r.gradient && r.yield && r.by_angle && r.by_torque && r.prevailing && r.onset);
  EXPECT_NEAR(r.gradient->si(), 1.1156, 0.02);
  EXPECT_NEAR(in_deg(r.yield->angle), 102.688, 2.5);
  EXPECT_LT(r.onset->angle, r.yield->angle);
  const Force truth = simulated_preload(g1(), r.end.angle);
  EXPECT_LT(r.by_angle->low, truth);
  EXPECT_GT(r.by_angle->high, truth);
  EXPECT_LT(r.by_torque->low, truth);
  EXPECT_GT(r.by_torque->high, truth);
  EXPECT_NEAR((r.by_angle->low + r.by_angle->high).si() / 2 / truth.si(), 1, 0.02);
  // Far narrower than what torque and a friction class tell.
  EXPECT_LT((r.by_angle->high - r.by_angle->low).si(),
            0.6 * (r.by_torque->high - r.by_torque->low).si());
  EXPECT_NEAR(*r.friction, 0.12, 0.005);
  EXPECT_NEAR(r.line_high->torque.si() - r.line_low->torque.si(),
              r.gradient->si() * in_deg(r.line_high->angle - r.line_low->angle), 1e-9);
  EXPECT_EQ(r.curve.size() > 100, true);
}

TEST(TraceAnalysis, NothingFoundNeedsSomethingToJudgeBy) {
  ExpectedStep expected = w1();
  expected.slope.reset();
  TraceResult r = seen(g1(), {}, as_told(), expected);
  EXPECT_EQ(r.answer, TraceAnswer::not_decided);
  EXPECT_FALSE(r.open.empty());
  EXPECT_FALSE(r.by_angle);

  // A record that begins when the head is down cannot show the thread run in.
  SimulatedBolt late = g1();
  late.origin = deg(2);
  r = seen(late, {}, as_told(), w1());
  EXPECT_EQ(r.answer, TraceAnswer::not_decided);

  EXPECT_FALSE(analyse_trace({}, w1()));
  EXPECT_FALSE(analyse_trace(simulated_trace(g1(), {}, kRecorder, as_told(), 1), {}));
}

TEST(TraceAnalysis, Signs) {
  SimulatedBolt bolt = g1();
  bolt.origin = deg(330);
  TraceResult r = seen(bolt, {.cross_thread = CrossThread{deg(20), newton_metre(20), 0.2, true}},
                       {.most = deg(600), .snug = newton_metre(50), .angle = deg(60)}, w1());
  EXPECT_TRUE(has(r, TraceSign::cross_threaded));

  r = seen(g1(), {.stripped = StrippedThread{Force::from_si(35e3), deg(5), deg(40), 0.3}},
           {.most = deg(200)}, w1());
  EXPECT_TRUE(has(r, TraceSign::stripped));

  r = seen(g1(), {.bottomed = BottomedBolt{Force::from_si(18e3), 3}}, as_told(), w1());
  EXPECT_TRUE(has(r, TraceSign::bottomed));

  bolt = g1();  // class 8.8: its minimum over that of 10.9
  bolt.yield = bolt.yield * (640.0 / 940);
  r = seen(bolt, {}, as_told(), w1());
  EXPECT_TRUE(has(r, TraceSign::wrong_bolt));

  bolt.yield = g1().yield * 1.6;
  r = seen(bolt, {}, {.most = deg(400), .snug = newton_metre(50), .angle = deg(120)}, w1());
  EXPECT_TRUE(has(r, TraceSign::reused_bolt));

  r = seen(g1(), {}, {.most = deg(400), .snug = newton_metre(50), .angle = deg(40)}, w1());
  EXPECT_TRUE(has(r, TraceSign::angle_not_reached));
  r = seen(g1(), {}, {.most = deg(400), .snug = newton_metre(50), .angle = deg(80)}, w1());
  EXPECT_TRUE(has(r, TraceSign::turned_too_far));

  ExpectedStep expected = w1();
  expected.snug = newton_metre(3);
  r = seen(g1(), {}, {.most = deg(400), .snug = newton_metre(3), .angle = deg(60)}, expected);
  EXPECT_TRUE(has(r, TraceSign::snug_too_low));

  expected.snug.reset();
  expected.angle.reset();
  expected.meant_to_yield = false;
  expected.target = newton_metre(70);
  r = seen(g1(), {}, {.most = deg(85)}, expected);
  EXPECT_TRUE(has(r, TraceSign::torque_not_reached));
  r = seen(g1(), {}, {.most = deg(130)}, expected);
  EXPECT_TRUE(has(r, TraceSign::yields_unmeant));
  EXPECT_TRUE(has(r, TraceSign::turned_too_far));
}

// Beyond the stop the bolt gives way before it bears again: the angle between is lost.
TEST(TraceAnalysis, LostAngle) {
  Trace trace = simulated_trace(g1(), {}, kRecorder, {.most = deg(90)}, 3);
  for (int i = 0; i < 60; ++i) trace.points.push_back({deg(90 - 0.5 * i), newton_metre(0)});
  for (int i = 0; i < 60; ++i) trace.points.push_back({deg(60 + 0.5 * i), newton_metre(0.2 * i)});
  const TraceResult r = analyse_trace(trace, w1()).value();
  EXPECT_TRUE(has(r, TraceSign::interrupted));
}

TEST(TraceAnalysis, StickSlip) {
  SimulatedRecorder recorder = kRecorder;
  recorder.stick_slip = newton_metre(1.5);
  recorder.stick_slip_period = deg(4);
  const TraceResult r =
      analyse_trace(simulated_trace(g1(), {}, recorder, as_told(), 3), w1()).value();
  ASSERT_TRUE(r.stick_slip);
  EXPECT_NEAR(r.stick_slip->height.si(), 3, 0.6);
  EXPECT_NEAR(in_deg(r.stick_slip->period), 4, 0.6);
  EXPECT_FALSE(seen(g1(), {}, as_told(), w1()).stick_slip);
}

}  // namespace
}  // namespace tautmark::tighten
