// SPDX-License-Identifier: Apache-2.0
#include "tighten/trace_fit.h"

#include <gtest/gtest.h>

#include <cmath>

#include "support/long_tests.h"
#include "tighten/trace_simulate.h"

namespace tautmark::tighten {
namespace {

// Truth set G1 of fasteners.md 4.3.
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

// F4.30 to F4.37: own double precision of that note.
TEST(TraceSimulate, TruthSet) {
  struct Row {
    double angle, force, torque;
  };
  const Row rows[] = {
      {0, 1.4739687006212732, 1.002467501338508},  {20, 210.29912238149782, 1.3520518215513762},
      {40, 6874.636512965331, 12.508504074984089}, {60, 19994.484779102208, 34.4718218826651},
      {80, 33320.62383015339, 56.780481543587044}, {100, 45950.210985513855, 77.92307649660192},
      {120, 48670.2728874596, 82.47660357017354},  {150, 49298.38036805345, 83.52808860760977}};
  for (const Row& row : rows) {
    EXPECT_NEAR(simulated_preload(g1(), deg(row.angle)).si() / row.force, 1, 1e-6) << row.angle;
    EXPECT_NEAR(simulated_torque(g1(), deg(row.angle)).si() / row.torque, 1, 1e-6) << row.angle;
  }
  // The note: 102.688°, 79.740 N·m.
  EXPECT_NEAR(in_deg(half_gradient_angle(g1())), 102.688, 1e-3);
  EXPECT_NEAR(simulated_torque(g1(), half_gradient_angle(g1())).si(), 79.740, 5e-4);
}

TraceFit fit_of(double noise, double end, std::uint64_t seed, double stick_slip = 0) {
  const SimulatedRecorder recorder{.noise = newton_metre(noise),
                                   .stick_slip = newton_metre(stick_slip)};
  return fit_trace(clean_trace(simulated_trace(g1(), {}, recorder, {.most = deg(end)}, seed)));
}
double at_no_torque(const TraceFit& fit) { return -fit.line.at_zero / fit.line.slope; }

// The note's figures without noise: gradient 1.108116, intercept 28.829°, yield 102.752°.
TEST(TraceFit, WithoutNoise) {
  const TraceFit fit = fit_of(0, 180, 1);
  ASSERT_TRUE(fit.straight);
  ASSERT_TRUE(fit.yield_angle);
  EXPECT_NEAR(fit.line.slope, 1.108116, 1e-6);
  EXPECT_NEAR(at_no_torque(fit), 28.829, 1e-3);
  EXPECT_NEAR(*fit.yield_angle, 102.752, 1e-3);
  EXPECT_NEAR(*fit.yield_torque, 79.740, 0.5);
  EXPECT_LT(*fit.onset_angle, *fit.yield_angle);
  EXPECT_NEAR(fit.prevailing.value(), 1.03, 0.05);
}

// The note: yield 102.76 ± 0.24° at sd 0.2, 102.78 ± 0.60° at 0.5 (at most 1.84° off), 103.0 ± 1.2°
// at 1.0, 103.7 ± 0.6° with square stick-slip of 1.5 N·m, 3° apart; at sd 0.5 it suggests: gradient
// within 2 %, intercept 1°, yield 2.5°.
TEST(TraceFit, RecoversWithNoise) {
  const int seeds = test::are_long() ? 300 : 60;
  struct Row {
    double noise, stick_slip, mean, sd, most_off;
  };
  const Row rows[] = {{0.2, 0, 102.76, 0.24, 1.2},
                      {0.5, 0, 102.78, 0.60, 2.5},
                      {1, 0, 103.0, 1.2, 5.5},
                      {0.2, 1.5, 103.7, 0.8, 4}};  // the noise beside it is not told there
  for (const Row& row : rows) {
    double sum = 0, squares = 0;
    for (int seed = 0; seed < seeds; ++seed) {
      const TraceFit fit =
          fit_of(row.noise, 180, 100 + static_cast<std::uint64_t>(seed), row.stick_slip);
      ASSERT_TRUE(fit.straight) << row.noise << " " << seed;
      ASSERT_TRUE(fit.yield_angle) << row.noise << " " << seed;
      EXPECT_NEAR(*fit.yield_angle, 102.688, row.most_off) << row.noise;
      if (row.noise == 0.5) {
        EXPECT_NEAR(fit.line.slope / 1.115645, 1, 0.02) << seed;
        EXPECT_NEAR(at_no_torque(fit), 29.103658, 1) << seed;
      }
      sum += *fit.yield_angle;
      squares += *fit.yield_angle * *fit.yield_angle;
    }
    const double mean = sum / seeds;
    const double sd = std::sqrt(squares / seeds - mean * mean);
    EXPECT_NEAR(mean, row.mean, 0.5) << row.noise << " " << row.stick_slip;
    EXPECT_LT(sd, 1.5 * row.sd) << row.noise << " " << row.stick_slip;
  }
}

// The note: 0 false yields of 900 on elastic traces.
TEST(TraceFit, NoYieldWhereThereIsNone) {
  const int seeds = test::are_long() ? 300 : 60;
  for (const double end : {60.0, 75.0, 90.0}) {
    for (int seed = 0; seed < seeds; ++seed) {
      const TraceFit fit = fit_of(0.5, end, 1000 + static_cast<std::uint64_t>(seed));
      EXPECT_FALSE(fit.yield_angle) << end << " " << seed;
      EXPECT_TRUE(fit.straight) << end << " " << seed;
    }
  }
}

// Strokes of a ratchet, the way back counted or not, leave the same curve.
TEST(TraceClean, JoinsStrokes) {
  for (const bool counts_back : {true, false}) {
    SimulatedRecorder recorder{.noise = newton_metre(0.2)};
    recorder.stroke_ends = {deg(50), deg(75), deg(95), deg(125)};
    recorder.counts_back = counts_back;
    const CleanTrace clean =
        clean_trace(simulated_trace(g1(), {}, recorder, {.most = deg(180)}, 7));
    EXPECT_EQ(clean.strokes, 5);
    EXPECT_FALSE(clean.lost_angle);
    EXPECT_NEAR(clean.angle.back(), 180, 3) << counts_back;
    const TraceFit fit = fit_trace(clean);
    ASSERT_TRUE(fit.yield_angle);
    EXPECT_NEAR(*fit.yield_angle, 102.688, 2.5) << counts_back;
    EXPECT_NEAR(*fit.yield_torque, 79.740, 1.5) << counts_back;
  }
}

// Straight lines by hand: y = 2 + 3 x, and the window at the ends.
TEST(LocalLines, FollowAStraightLine) {
  CleanTrace clean;
  for (int i = 0; i <= 100; ++i) {
    clean.angle.push_back(0.37 * i);
    clean.torque.push_back(2 + 3 * clean.angle.back());
  }
  for (const LocalLine& line : local_lines(clean, 8, 0.5)) {
    EXPECT_NEAR(line.value, 2 + 3 * line.angle, 1e-9);
    EXPECT_NEAR(line.slope, 3, 1e-9);
  }
}

TEST(TraceFit, TooLittle) {
  EXPECT_TRUE(fit_trace({}).lines.empty());
  EXPECT_TRUE(fit_trace(clean_trace({})).lines.empty());
  EXPECT_TRUE(fit_of(0, 3, 1).lines.empty() || !fit_of(0, 3, 1).straight);
}

}  // namespace
}  // namespace tautmark::tighten
