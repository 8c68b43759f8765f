// SPDX-License-Identifier: Apache-2.0
// What must hold in every network, whatever its numbers.
#include <gtest/gtest.h>

#include <algorithm>
#include <limits>

#include "oil/network_solver.h"
#include "oil/network_test_support.h"
#include "support/long_tests.h"

namespace tautmark::oil {
namespace {

using namespace test;

const int kNetworks = tautmark::test::are_long() ? 50000 : 3000;

double brought(const RandomNetwork& one) {
  double sum = 0;
  for (const Element& element : one.network.elements) {
    if (const auto* pump = std::get_if<Pump>(&element.law))
      sum += pump->per_turn * one.running.speed.si();
    if (const auto* fixed = std::get_if<FixedFlow>(&element.law)) sum += std::abs(fixed->flow.si());
  }
  return sum;
}

double worst_balance(const Network& net, const NetworkSolution& found) {
  std::vector<double> excess(net.nodes.size());
  for (std::size_t e = 0; e < net.elements.size(); ++e) {
    if (net.elements[e].from != kSump) excess[net.elements[e].from] += found.through[e].si();
    if (net.elements[e].to != kSump) excess[net.elements[e].to] -= found.through[e].si();
  }
  double worst = 0;
  for (std::size_t i = 0; i < excess.size(); ++i)
    worst = std::max(worst, std::abs(excess[i] - found.air[i].si()));
  return worst;
}

bool same_way(double dp, double flow) { return dp == 0 || flow == 0 || (dp > 0) == (flow > 0); }

// Up to 60 elements, sizes over 12 decades.
TEST(NetworkProperty, SettlesAndBalancesForAnyNumbers) {
  std::mt19937_64 random(1956);
  int most_steps = 0;
  long steps = 0;
  for (int i = 0; i < kNetworks; ++i) {
    const RandomNetwork one = random_network(random, 60, 12);
    const auto found = solve(one.network, one.running);
    ASSERT_TRUE(found) << i << ": " << found.error().why;
    EXPECT_LE(worst_balance(one.network, *found), 1e-9 * brought(one)) << i;
    for (const Pressure p : found->at) EXPECT_TRUE(p.si() >= 0 && std::isfinite(p.si())) << i;
    // Oil flows downhill: every element but the pump takes energy.
    for (std::size_t e = 1; e < one.network.elements.size(); ++e) {
      const Element& element = one.network.elements[e];
      const double from = element.from == kSump ? 0 : found->at[element.from].si();
      const double to = element.to == kSump ? 0 : found->at[element.to].si();
      if (std::abs(from - to) <= 1e-13 * std::max(from, to)) continue;  // rounded away
      EXPECT_TRUE(same_way(from - to, found->through[e].si())) << i << ", " << element.name;
    }
    most_steps = std::max(most_steps, found->steps);
    steps += found->steps;
  }
  EXPECT_LE(most_steps, 200);
  EXPECT_LE(static_cast<double>(steps) / kNetworks, 25);
}

// Over 16 decades and with sharp orifices rounding gives some nodes less than nothing by itself.
TEST(NetworkProperty, HasNoPressureBelowZeroByRounding) {
  std::mt19937_64 random(5);
  for (int i = 0; i < 600; ++i) {
    RandomNetwork one = random_network(random, 60, 16);
    one.network.smoothing = Pressure::from_si(1);
    const auto found = solve(one.network, one.running);
    ASSERT_TRUE(found) << i << ": " << found.error().why;
    for (const Pressure p : found->at) EXPECT_GE(p.si(), 0) << i;
  }
}

// With fixed flows that pull, nothing comes below -0.9 bar, and what is missing is air.
TEST(NetworkProperty, SettlesWhereAFixedFlowPulls) {
  std::mt19937_64 random(1957);
  int with_air = 0;
  for (int i = 0; i < kNetworks / 2; ++i) {
    RandomNetwork one = random_network(random, 58, 6);
    const auto nodes = static_cast<int>(one.network.nodes.size());
    for (int k = 0; k < 2; ++k) {
      const int from = static_cast<int>(random() % static_cast<unsigned>(nodes));
      const int to = static_cast<int>(random() % static_cast<unsigned>(nodes + 1)) - 1;
      const double flow = std::uniform_real_distribution<double>(-1e-4, 1e-4)(random);
      if (from != to)
        one.network.elements.push_back({"travel", from, to, FixedFlow{Flow::from_si(flow)}});
    }
    const auto found = solve(one.network, one.running);
    ASSERT_TRUE(found) << i << ": " << found.error().why;
    EXPECT_LE(worst_balance(one.network, *found), 1e-9 * brought(one)) << i;
    bool air = false;
    for (std::size_t n = 0; n < found->at.size(); ++n) {
      EXPECT_TRUE(found->at[n].si() >= kLeastPressure && std::isfinite(found->at[n].si())) << i;
      EXPECT_GE(found->air[n].si(), 0);
      if (found->air[n].si() > 0) {
        EXPECT_LT(found->at[n].si(), -0.85e5);
      }
      air = air || found->air[n].si() > 0;
    }
    with_air += air;
  }
  EXPECT_GT(with_air, 50);
}

// oil.md 3.3: any start leads to the same pressures, to 1e-10.
TEST(NetworkProperty, ForgetsWhereItStarted) {
  std::mt19937_64 random(7);
  for (int i = 0; i < 300; ++i) {
    const RandomNetwork one = random_network(random, 60, 6);
    auto solver = NetworkSolver::prepare(one.network);
    ASSERT_TRUE(solver);
    ASSERT_TRUE(solver->solve(one.running));
    std::vector<Pressure> first;
    for (std::size_t n = 0; n < one.network.nodes.size(); ++n) first.push_back(solver->at(n));
    for (const double start : {0.0, 0.1e5, 3e5, -1e9, 1e12}) {
      std::vector<Pressure> from;
      for (std::size_t n = 0; n < first.size(); ++n)
        from.push_back(
            Pressure::from_si(start * std::uniform_real_distribution<double>(-1, 1)(random)));
      solver->start_at(from);
      const auto fine = solver->solve(one.running);
      ASSERT_TRUE(fine) << fine.error().why;
      for (std::size_t n = 0; n < first.size(); ++n)
        EXPECT_NEAR(solver->at(n).si(), first[n].si(), 1e-10 * first[n].si() + 1e-7)
            << i << ", " << start;
    }
  }
}

Network scaled(Network net, double by) {
  for (Element& element : net.elements) {
    if (auto* one = std::get_if<Laminar>(&element.law)) one->conductance *= by;
    if (auto* one = std::get_if<Orifice>(&element.law)) one->area *= by;
    if (auto* one = std::get_if<CheckedOrifice>(&element.law)) one->area *= by;
    if (auto* one = std::get_if<Relief>(&element.law)) one->slope *= by;
    if (auto* one = std::get_if<Pump>(&element.law)) {
      one->per_turn *= by;
      one->slip *= by;
    }
  }
  return net;
}

// oil.md 3.3: twice of everything, pump and ways, leaves the pressures as they are.
TEST(NetworkProperty, KeepsPressuresWhenAllIsScaled) {
  std::mt19937_64 random(8);
  for (int i = 0; i < 500; ++i) {
    const RandomNetwork one = random_network(random, 60, 8);
    const auto before = solve(one.network, one.running);
    const auto after = solve(scaled(one.network, 2.7), one.running);
    ASSERT_TRUE(before && after);
    for (std::size_t n = 0; n < before->at.size(); ++n)
      EXPECT_NEAR(after->at[n].si(), before->at[n].si(), 1e-9 * before->at[n].si() + 1e-7);
    for (std::size_t e = 0; e < before->through.size(); ++e)
      EXPECT_NEAR(after->through[e].si(), 2.7 * before->through[e].si(), 1e-9 * 2.7 * brought(one));
  }
}

// oil.md 3.3: opening any outlet lowers every pressure, strictly where it is felt at all.
TEST(NetworkProperty, LosesPressureEverywhereByAnyOutlet) {
  std::mt19937_64 random(9);
  for (int i = 0; i < 500; ++i) {
    RandomNetwork one = random_network(random, 50, 4);
    const auto before = solve(one.network, one.running);
    const int at = static_cast<int>(random() % one.network.nodes.size());
    one.network.elements.push_back({"leak", at, kSump, Laminar{1e-13}});
    const auto after = solve(one.network, one.running);
    ASSERT_TRUE(before && after);
    for (std::size_t n = 0; n < before->at.size(); ++n)
      EXPECT_LE(after->at[n].si(), before->at[n].si() * (1 + 1e-10) + 1e-7);
    EXPECT_LT(after->at[at].si(), before->at[at].si());
  }
  const auto before = *solve(worked_case(30, 30), kHotIdle);
  for (int node = 0; node < 8; ++node) {
    Network net = worked_case(30, 30);
    net.elements.push_back({"leak", node, kSump, Orifice{1e-7}});
    const auto after = *solve(net, kHotIdle);
    for (int n = 0; n < 8; ++n) EXPECT_LT(after.at[n], before.at[n]);
  }
}

// oil.md 3.3: pressure falls monotonically from the pump to every outlet.
TEST(NetworkProperty, FallsFromThePumpOutwards) {
  const auto found = *solve(worked_case(60, 45), kHotIdle);
  EXPECT_GT(found.at[kPump], found.at[kGallery]);
  for (const int head : {kHeadL, kHeadR}) {
    EXPECT_GT(found.at[kGallery], found.at[head]);
    EXPECT_GT(found.at[head], found.at[head + 1]);
    EXPECT_GT(found.at[head + 1], found.at[head + 2]);
    EXPECT_GT(found.at[head + 2].si(), 0);
  }
}

// Three times the clearance leaks 27 times at the same pressure; through a network it is less.
TEST(NetworkProperty, KeepsTheCubicLaw) {
  Network net;
  net.nodes = {"gallery"};
  net.elements = {{"pump", kSump, 0, Pump{22e-6, 0}},
                  {"relief", 0, kSump, Relief{1e-6, Pressure::from_si(2e5)}},
                  {"journal", 0, kSump, Laminar{land(28, 25, 6, 0)}}};
  const auto before = *solve(net, kHotIdle);
  net.elements[2].law = Laminar{land(28, 75, 6, 0)};
  const auto after = *solve(net, kHotIdle);
  EXPECT_NEAR(
      (after.through[2].si() / after.at[0].si()) / (before.through[2].si() / before.at[0].si()), 27,
      1e-9);
  EXPECT_NEAR(after.through[2] / before.through[2], 27, 0.5);  // a wide relief holds its setting
  EXPECT_LT(after.through[2] / before.through[2], 27);
}

// A solver that is used again answers as a new one does, bit for bit.
TEST(NetworkProperty, ForgetsWhatItSolvedBefore) {
  auto solver = NetworkSolver::prepare(worked_case(30, 30));
  ASSERT_TRUE(solver);
  const Network worn = worked_case(90, 30);
  ASSERT_TRUE(solver->solve(kHotIdle));
  for (std::size_t e = 0; e < worn.elements.size(); ++e) solver->change(e, worn.elements[e].law);
  ASSERT_TRUE(solver->solve(kHotIdle));
  const auto anew = *solve(worn, kHotIdle);
  for (std::size_t n = 0; n < anew.at.size(); ++n) EXPECT_EQ(solver->at(n), anew.at[n]);
}

// Valves: nothing through a shut one but its leak, all of the hole behind an open one.
TEST(NetworkProperty, HasValvesThatOpenOneWay) {
  for (const double opens : {0.0, 1e5, 2e5})
    for (const bool backwards : {false, true}) {
      Network net;
      net.nodes = {"gallery"};
      const CheckedOrifice jet{1e-6, Pressure::from_si(opens)};
      net.elements = {{"pump", kSump, 0, Pump{20e-6, 0}},
                      {"bearings", 0, kSump, Laminar{1.1e-11}},
                      backwards ? Element{"jet", kSump, 0, jet} : Element{"jet", 0, kSump, jet}};
      const auto found = *solve(net, kHotIdle);
      const double p = found.at[0].si(), through = std::abs(found.through[2].si());
      const double hole =
          std::abs(through_orifice(1e-6, found.at[0], kHotIdle.density, net.smoothing).si());
      if (backwards || p < opens) {
        EXPECT_NEAR(through / hole, kShutLeak, 1e-12);
      } else if (p > opens + kValveTravel) {
        EXPECT_NEAR(through / hole, 1, 1e-12);
      }
      EXPECT_GT(p, 1e5);
    }
}

// Within the 0.1 bar of its travel a relief opens by u² (2 - u) of it, and from there on it is
// exact.
TEST(NetworkProperty, HasAReliefThatOpensOverATenthOfABar) {
  constexpr double kSlope = 2e-9, kOpens = 4e5;
  for (const double past : {-0.2e5, 0.0, 0.01e5, 0.05e5, 0.09e5, 0.1e5, 1e5}) {
    // The bearing takes all but what the relief is to pass at this pressure.
    const double u = past / kValveTravel;
    const double through = u <= 0 ? 0 : kSlope * (u < 1 ? kValveTravel * u * u * (2 - u) : past);
    const double pressure = kOpens + past, pumped = 1e-3;
    Network net;
    net.nodes = {"pump"};
    net.elements = {{"pump", kSump, 0, Pump{pumped, 0}},
                    {"relief", 0, kSump, Relief{kSlope, Pressure::from_si(kOpens)}},
                    {"bearing", 0, kSump, Laminar{0.01 * (pumped - through) / pressure}}};
    const auto found = *solve(net, running(0.01, 800, 60));
    EXPECT_NEAR(found.at[0].si() / pressure, 1, 1e-8) << past;
    EXPECT_NEAR(found.through[1].si(), through, 1e-8 * pumped) << past;
  }
}

TEST(NetworkProperty, HasNoPressureWhenTheEngineStands) {
  const auto found = solve(worked_case(30, 30), running(8.6e-3, 799, 0));
  ASSERT_TRUE(found);
  for (const Pressure p : found->at) EXPECT_EQ(p.si(), 0);
  for (const Flow q : found->through) EXPECT_EQ(q.si(), 0);
}

// A phaser that is pulled faster than the valve lets oil in: air, not a vacuum beyond any.
TEST(NetworkProperty, FillsWithAirWhatOilCannotFollow) {
  Network net = worked_case(30, 30);
  net.elements.push_back({"travel", kRetardL, kAdvanceL, FixedFlow{Flow::from_si(5e-4)}});
  const auto found = *solve(net, kHotIdle);
  EXPECT_GE(found.at[kRetardL].si(), kLeastPressure);
  EXPECT_LT(found.at[kRetardL].si(), -0.85e5);
  EXPECT_GT(found.air[kRetardL].si(), 0);
  EXPECT_LE(worst_balance(net, found), 1e-9 * (5e-4 + 22e-6 * 650 / 60));
}

}  // namespace
}  // namespace tautmark::oil
