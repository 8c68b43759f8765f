// SPDX-License-Identifier: Apache-2.0
// Values of oil.md 2.4, all [own]; drilling by Merritt 1967 as in Rabie, eqs. 2.40-2.41.
#include "oil/orifice.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "oil/network_test_support.h"

namespace tautmark::oil {
namespace {

void expect_parts(double value, double expected, double part = 1e-6) {
  EXPECT_NEAR(value / expected, 1, part) << value << " for " << expected;
}

TEST(Orifice, PassesTheRootOfThePressure) {
  const auto through = [](double discharge, double pascals) {
    return through_orifice(*round_hole(mm(2), discharge), Pressure::from_si(pascals),
                           kg_per_m3(798.777))
        .si();
  };
  expect_parts(through(0.70, 1e5), 3.47976675708e-05);
  expect_parts(through(0.611, 1e5), 3.0373392694e-05);
  expect_parts(kSharpEdge, 0.611015470352);
  expect_parts(through(0.7, 4e5), 2 * through(0.7, 1e5), 1e-12);
  EXPECT_EQ(through(0.7, -1e5), -through(0.7, 1e5));
}

TEST(Orifice, IsSmoothAboutNothing) {
  const auto through = [](double pascals) {
    return through_orifice(1e-6, Pressure::from_si(pascals), kg_per_m3(800), Pressure::from_si(100))
        .si();
  };
  EXPECT_EQ(through(0), 0);
  double before = through(-1000);
  for (double p = -990; p <= 1000; p += 10) {
    EXPECT_GT(through(p), before);
    EXPECT_NEAR(through(p), -through(-p), 1e-18);
    before = through(p);
  }
  const Flow sharp = through_orifice(1e-6, Pressure::from_si(1e6), kg_per_m3(800));
  expect_parts(through(1e6), sharp.si(), 3e-9);
}

TEST(Orifice, AddsUp) {
  expect_parts(1 / std::pow(in_series(3e-6, 4e-6), 2), 1 / 9e-12 + 1 / 16e-12, 1e-12);
  EXPECT_EQ(in_series(0, 4e-6), 0);
  EXPECT_EQ(side_by_side(3e-6, 4e-6), 7e-6);
  // In series the same flow has both pressure drops.
  const Density rho = kg_per_m3(800);
  const double q = through_orifice(in_series(3e-6, 4e-6), Pressure::from_si(1e5), rho).si();
  const double drops = 400 * (q * q / 9e-12 + q * q / 16e-12);
  expect_parts(drops, 1e5, 1e-12);
}

// The network of two holes with a node between finds the same.
TEST(Orifice, IsTheSameInANetwork) {
  Network net;
  net.nodes = {"gallery", "between"};
  net.smoothing = Pressure::from_si(1e-3);
  net.elements = {{"pump", kSump, 0, Pump{20e-6, 0}},
                  {"first", 0, 1, Orifice{3e-6}},
                  {"second", 1, kSump, Orifice{4e-6}}};
  const auto found = *solve(net, test::kHotIdle);
  expect_parts(through_orifice(in_series(3e-6, 4e-6), found.at[0], kg_per_m3(799)).si(),
               20e-6 * 650 / 60, 1e-9);
}

TEST(Orifice, HasEdgesScreensAndValves) {
  expect_parts(*spool_edge(mm(20), mm(0.3), 0.7), 0.7 * 6.0e-6, 1e-12);
  EXPECT_EQ(*spool_edge(mm(20), mm(-0.3), 0.7), 0);
  expect_parts(*partly_blocked(4e-6, 0.75), 1e-6, 1e-12);
  EXPECT_EQ(*partly_blocked(4e-6, 1), 0);
  for (const double share : {-0.1, 1.1, std::nan("")}) EXPECT_FALSE(partly_blocked(4e-6, share));
  EXPECT_FALSE(partly_blocked(-1, 0.5));
  const auto valve = *check_valve(mm(1.5), Pressure::from_si(1.5e5), 0.7);
  expect_parts(valve.area, 1.23700211e-6, 1e-8);
  EXPECT_EQ(valve.opens.si(), 1.5e5);
  EXPECT_FALSE(check_valve(mm(1.5), Pressure::from_si(-1)));
  EXPECT_FALSE(check_valve(mm(-1.5), {}));
  EXPECT_FALSE(round_hole(mm(-1)));
  EXPECT_FALSE(round_hole(mm(1), 0));
  EXPECT_FALSE(round_hole(mm(1), 1.2));
  EXPECT_FALSE(spool_edge(mm(0), mm(1), 0.7));
  EXPECT_FALSE(spool_edge(mm(1), mm(std::nan("")), 0.7));
  EXPECT_FALSE(spool_edge(mm(1), mm(1), 0));
}

TEST(Drilling, HasTheDischargeOfItsBranches) {
  // The branches as printed, at Re d/L = 50, where they do not meet.
  const double upper = 1 / std::sqrt(1.5 + 13.74 * std::sqrt(1 / 50.0));
  const double lower = 1 / std::sqrt(2.28 + 64 / 50.0);
  expect_parts(upper, 0.538918789306);
  expect_parts(lower, 0.529998940003);
  expect_parts(drilling_discharge(50), (upper + lower) / 2, 1e-12);
  expect_parts(drilling_discharge(60), 1 / std::sqrt(1.5 + 13.74 * std::sqrt(1 / 60.0)), 1e-12);
  expect_parts(drilling_discharge(40), 1 / std::sqrt(2.28 + 64 / 40.0), 1e-12);
  double before = 0;
  for (double x = 0.01; x < 1e6; x *= 1.02) {
    EXPECT_GT(drilling_discharge(x), before) << x;
    before = drilling_discharge(x);
  }
  EXPECT_EQ(drilling_discharge(0), 0);
}

TEST(Drilling, PassesWhatTheNoteSays) {
  const auto through = through_drilling({mm(2), mm(6)}, Pressure::from_si(0.5e5),
                                        DynamicViscosity::from_si(8.626791e-3), kg_per_m3(798.777));
  ASSERT_TRUE(through) << through.error().why;
  expect_parts(through->discharge, 0.684910077);
  expect_parts(through->reynolds, 1419.14591);
  expect_parts(through->flow.si(), 2.40752415e-5);
}

// Thick oil: Hagen-Poiseuille, π d⁴ Δp / (128 μ L).
TEST(Drilling, BecomesAPipeForThickOil) {
  const auto through = *through_drilling({mm(1.5), mm(6)}, Pressure::from_si(-3e5),
                                         DynamicViscosity::from_si(40), kg_per_m3(870));
  const double pipe = std::numbers::pi * std::pow(1.5e-3, 4) * 3e5 / (128 * 40 * 6e-3);
  expect_parts(-through.flow.si(), pipe, 1e-4);
}

TEST(Drilling, SolvesItsOwnEquation) {
  for (double mu = 1e-4; mu < 10; mu *= 1.3)
    for (const double dp : {1.0, 1e3, 1e5, 1e7}) {
      const auto one = *through_drilling({mm(2), mm(6)}, Pressure::from_si(dp),
                                         DynamicViscosity::from_si(mu), kg_per_m3(800));
      expect_parts(one.discharge, drilling_discharge(one.reynolds / 3), 1e-12);
    }
  EXPECT_EQ(through_drilling({mm(2), mm(6)}, {}, mPa_s(8), kg_per_m3(800))->flow.si(), 0);
  EXPECT_FALSE(through_drilling({mm(0), mm(6)}, kPa(1), mPa_s(8), kg_per_m3(800)));
  EXPECT_FALSE(through_drilling({mm(2), mm(0)}, kPa(1), mPa_s(8), kg_per_m3(800)));
  EXPECT_FALSE(through_drilling({mm(2), mm(6)}, kPa(1), {}, kg_per_m3(800)));
  EXPECT_FALSE(through_drilling({mm(2), mm(6)}, kPa(1), mPa_s(8), {}));
  EXPECT_FALSE(through_drilling({mm(2), mm(6)}, kPa(std::nan("")), mPa_s(8), kg_per_m3(800)));
}

}  // namespace
}  // namespace tautmark::oil
