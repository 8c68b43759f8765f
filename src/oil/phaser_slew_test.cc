// SPDX-License-Identifier: Apache-2.0
// Values marked own are of oil.md 5.3 (oil-checks.yaml: slew-two-edges). The table through the
// whole network of oil.md 3.4 belongs to the test that joins this with the network; here the supply
// is one that can be solved by hand.
#include "oil/phaser_slew.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "oil/test_near.h"

namespace tautmark::oil {
namespace {

constexpr double kVth = 3.84e-5;
constexpr double kEdge = 4.2e-6;
constexpr double kRho = 799;

PhaserLoad load_of(double mean, double friction = 0, double U = 0) {
  return {.mean = {newton_metre(mean), U},
          .spring = {newton_metre(0), 0},
          .friction = {newton_metre(friction), U}};
}

TwoEdges edges(double torque) {
  return {.supply = {Pressure::from_si(158866), 0},
          .area = {kEdge, 0},
          .density = {kg_per_m3(kRho), 0},
          .displacement = {kVth, 0},
          .needed = {newton_metre(torque), 0}};
}

// Edge, chambers with a leak between them, edge. With f = q + C Δp through both edges:
// Δp = p_s - (ρ / CdA²) f |f|.
PhaserSupply edges_with_leak(double supply, double leak) {
  return [=](Flow taken) -> Result<Pressure> {
    const double k = kRho / (kEdge * kEdge), q = taken.si();
    // Δp falls through f alone: bisection on f, in which Δp + k f |f| - p_s grows for leak > 0.
    const auto excess = [&](double dp) {
      const double f = q + leak * dp;
      return dp + k * f * std::abs(f) - supply;
    };
    double low = -1e9, high = 1e9;
    for (int i = 0; i < 200; ++i) {
      const double middle = (low + high) / 2;
      (excess(middle) > 0 ? high : low) = middle;
    }
    return Pressure::from_si((low + high) / 2);
  };
}

// Where Δp = T / V_th the flow of the edges is known, and what is left of it moves the phaser.
double by_hand(double supply, double leak, double torque) {
  const double dp = torque / kVth, spare = supply - dp;
  const double f = std::copysign(kEdge * std::sqrt(std::abs(spare) / kRho), spare);
  return (f - leak * dp) / kVth;
}

TEST(TwoEdgeSlew, OfTheNote) {
  const auto loaded = two_edge_slew(edges(2.5));
  ASSERT_TRUE(loaded) << loaded.error().why;
  expect_relative(loaded->in_a_second.si(), 1.18483458231);  // own, rad/s
  EXPECT_NEAR(in_cam_deg(loaded->in_a_second), 67.8860210, 1e-6);
  expect_relative(two_edge_slew(edges(0))->in_a_second.si(), 1.54226909779);  // own
  EXPECT_FALSE(two_edge_slew(edges(6.2)));  // 158866 Pa hold 6.1 N·m
}

// The shares against central differences of the form itself.
TEST(TwoEdgeSlew, CarriesEachUncertainty) {
  const auto slew = [](double ps, double area, double rho, double v, double t) {
    return area * std::sqrt((ps - t / v) / rho) / v;
  };
  const double at[] = {158866, kEdge, kRho, kVth, 2.5};
  for (int which = 0; which < 5; ++which) {
    double up[5], down[5];
    for (int i = 0; i < 5; ++i) {
      up[i] = at[i] * (i == which ? 1 + 1e-5 : 1);
      down[i] = at[i] * (i == which ? 1 - 1e-5 : 1);
    }
    const double slope = (slew(up[0], up[1], up[2], up[3], up[4]) -
                          slew(down[0], down[1], down[2], down[3], down[4])) /
                         2e-5;
    TwoEdges in = edges(2.5);
    double* const U[] = {&in.supply.U, &in.area.U, &in.density.U, &in.displacement.U, &in.needed.U};
    *U[which] = 0.1;
    expect_relative(two_edge_slew(in)->U.si(), 0.1 * std::abs(slope), 1e-6);
  }
}

TEST(NetworkSlew, FindsWhatCanBeSolvedByHand) {
  for (const double leak : {0.0, 1.49e-11, 9.48e-11, 3.115e-10})
    for (const double torque : {0.5, 2.5, 5.9}) {
      const auto got = network_slew({.supply = edges_with_leak(158866, leak),
                                     .supply_U = 0,
                                     .displacement = {kVth, 0},
                                     .load = load_of(torque)});
      ASSERT_TRUE(got) << got.error().why;
      const double expected = by_hand(158866, leak, torque);
      EXPECT_NEAR(got->slew.in_a_second.si(), expected, 1e-6 * std::abs(expected) + 1e-9)
          << leak << " " << torque;
      EXPECT_EQ(got->state, expected > 0 ? SlewState::moves : SlewState::runs_backwards);
    }
}

// The worn phaser of oil.md 5.3 in kind: fully open to advance, and it runs back; to retard it
// is fast.
TEST(NetworkSlew, AWornPhaserRunsBackwardsAndRetardsFast) {
  const auto supply = edges_with_leak(40e3, 3.115e-10);
  const auto got =
      both_slews(supply, supply, {.supply_U = 0, .displacement = {kVth, 0}, .load = load_of(2.5)});
  ASSERT_TRUE(got) << got.error().why;
  EXPECT_EQ(got->advance.state, SlewState::runs_backwards);
  EXPECT_EQ(got->retard.state, SlewState::moves);
  EXPECT_GT(got->retard.slew.in_a_second.si(), by_hand(40e3, 3.115e-10, 0));
  EXPECT_FALSE(got->retard_to_advance);
  const auto fine = both_slews(edges_with_leak(158866, 1.49e-11), edges_with_leak(158866, 1.49e-11),
                               {.supply_U = 0, .displacement = {kVth, 0}, .load = load_of(2.5)});
  ASSERT_TRUE(fine && fine->retard_to_advance);
  expect_relative(*fine->retard_to_advance,
                  by_hand(158866, 1.49e-11, -2.5) / by_hand(158866, 1.49e-11, 2.5));
}

// Friction is against every motion: with 1 N·m of it, what stalls at 2 ± 1 N·m stands.
TEST(NetworkSlew, FrictionHoldsBothWays) {
  const auto at = [](double torque, double friction) {
    return network_slew({.supply = edges_with_leak(2 / kVth, 0),
                         .supply_U = 0,
                         .displacement = {kVth, 0},
                         .load = load_of(torque, friction)});
  };
  EXPECT_EQ(at(2.5, 1)->state, SlewState::held_by_friction);
  EXPECT_EQ(at(1.5, 1)->state, SlewState::held_by_friction);
  EXPECT_EQ(at(1.5, 1)->slew.in_a_second.si(), 0);
  expect_relative(at(0.5, 1)->slew.in_a_second.si(), by_hand(2 / kVth, 0, 1.5));
  expect_relative(at(3.5, 1)->slew.in_a_second.si(), by_hand(2 / kVth, 0, 2.5));
}

TEST(NetworkSlew, CarriesItsUncertainty) {
  const auto got = network_slew({.supply = edges_with_leak(158866, 1.49e-11),
                                 .supply_U = 0,
                                 .displacement = {kVth, 0},
                                 .load = load_of(2.5, 0, 0.2)});
  ASSERT_TRUE(got);
  expect_relative(got->slew.U.si(),
                  (by_hand(158866, 1.49e-11, 2.0) - by_hand(158866, 1.49e-11, 3.0)) / 2);
}

TEST(NetworkSlew, RefusesWithoutRoot) {
  NetworkSlewInputs in{.supply = [](Flow) -> Result<Pressure> { return kPa(150); },
                       .supply_U = 0,
                       .displacement = {kVth, 0},
                       .load = load_of(2.5)};
  const auto stiff = network_slew(in);
  ASSERT_FALSE(stiff);
  EXPECT_NE(stiff.error().why.find("does not sag"), std::string::npos);
  in.supply = [](Flow) -> Result<Pressure> { return refuse("nothing drains"); };
  EXPECT_EQ(network_slew(in).error().why, "nothing drains");
  // Refuses on the way only: the search must not take that for a root.
  in.supply = [](Flow q) -> Result<Pressure> {
    if (q.si() > 20e-6) return refuse("too much");
    return kPa(150);
  };
  EXPECT_EQ(network_slew(in).error().why, "too much");
  in.supply = [](Flow) -> Result<Pressure> { return Pressure::from_si(std::nan("")); };
  EXPECT_FALSE(network_slew(in));
  in.supply = edges_with_leak(158866, 0);
  EXPECT_TRUE(network_slew(in));
  in.supply_U = std::nan("");
  EXPECT_FALSE(network_slew(in));
  in.supply = nullptr;
  EXPECT_FALSE(network_slew(in));
}

RC_GTEST_PROP(NetworkSlewProperty, FallsWithLeakAndLoad, ()) {
  const double leak = *rc::gen::inRange(1, 400) * 1e-12, torque = *rc::gen::inRange(1, 60) * 0.1;
  const double supply = *rc::gen::inRange(20, 300) * 1e3;
  const auto slew = [](double p, double c, double t) {
    return network_slew({.supply = edges_with_leak(p, c),
                         .supply_U = 0,
                         .displacement = {kVth, 0},
                         .load = load_of(t)})
        ->slew.in_a_second.si();
  };
  RC_ASSERT(slew(supply, leak * 1.2, torque) < slew(supply, leak, torque));
  RC_ASSERT(slew(supply, leak, torque * 1.05) < slew(supply, leak, torque));
  RC_ASSERT(slew(supply, leak, torque) <= by_hand(supply, 0, torque) + 1e-9);
}

}  // namespace
}  // namespace tautmark::oil
