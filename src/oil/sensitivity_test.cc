// SPDX-License-Identifier: Apache-2.0
#include "oil/sensitivity.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <functional>

#include "oil/network_test_support.h"

namespace tautmark::oil {
namespace {

using namespace test;

ElementLaw scaled(ElementLaw law, double by) {
  if (auto* one = std::get_if<Laminar>(&law)) one->conductance *= by;
  if (auto* one = std::get_if<Orifice>(&law)) one->area *= by;
  if (auto* one = std::get_if<CheckedOrifice>(&law)) one->area *= by;
  if (auto* one = std::get_if<Relief>(&law)) one->slope *= by;
  if (auto* one = std::get_if<Pump>(&law)) one->slip *= by;
  if (auto* one = std::get_if<FixedFlow>(&law)) one->flow = one->flow * by;
  return law;
}

std::vector<double> pressures(NetworkSolver& solver, const Running& running) {
  const auto fine = solver.solve(running);
  EXPECT_TRUE(fine) << (fine ? "" : fine.error().why);
  std::vector<double> out;
  for (std::size_t i = 0; i < solver.network().nodes.size(); ++i) out.push_back(solver.at(i).si());
  return out;
}

constexpr double kStep = 1e-5;

// Central differences against what is claimed; a part in 1e6 of the largest pressure is theirs.
void expect_slopes(const std::vector<double>& up, const std::vector<double>& down,
                   const std::function<double(std::size_t)>& claimed, const std::string& what) {
  const double largest = *std::max_element(up.begin(), up.end());
  for (std::size_t i = 0; i < up.size(); ++i) {
    const double seen = (up[i] - down[i]) / (2 * kStep);
    EXPECT_NEAR(claimed(i), seen, 1e-6 * largest + 1e-5 * std::abs(seen)) << what << ", node " << i;
  }
}

void expect_differences(const Network& net, const Running& running) {
  auto solver = NetworkSolver::prepare(net);
  ASSERT_TRUE(solver) << solver.error().why;
  pressures(*solver, running);
  Sensitivity of;
  sensitivity(*solver, of);
  for (std::size_t e = 0; e < net.elements.size(); ++e) {
    const ElementLaw as_is = net.elements[e].law;
    solver->change(e, scaled(as_is, std::exp(kStep)));
    const auto up = pressures(*solver, running);
    solver->change(e, scaled(as_is, std::exp(-kStep)));
    const auto down = pressures(*solver, running);
    solver->change(e, as_is);
    expect_slopes(
        up, down, [&](std::size_t i) { return of.to(i, e); }, net.elements[e].name);
  }
  const auto changed = [&](double mu, double rho, double n) {
    return pressures(*solver, {running.viscosity * std::exp(mu), running.density * std::exp(rho),
                               running.speed * std::exp(n)});
  };
  expect_slopes(
      changed(kStep, 0, 0), changed(-kStep, 0, 0),
      [&](std::size_t i) { return of.to_viscosity[i]; }, "viscosity");
  expect_slopes(
      changed(0, kStep, 0), changed(0, -kStep, 0), [&](std::size_t i) { return of.to_density[i]; },
      "density");
  expect_slopes(
      changed(0, 0, kStep), changed(0, 0, -kStep), [&](std::size_t i) { return of.to_speed[i]; },
      "speed");
}

TEST(Sensitivity, IsThatOfCentralDifferences) {
  expect_differences(worked_case(30, 30), kHotIdle);
  expect_differences(worked_case(90, 30), kHotIdle);
  expect_differences(worked_case(45, 30), running(8.60e-3, 799, 2000));  // relief open
  Network moving = worked_case(45, 30);
  moving.elements.push_back({"travel", kAdvanceL, kRetardL, FixedFlow{Flow::from_si(1e-5)}});
  expect_differences(moving, kHotIdle);
  expect_differences(sixty_elements(), kHotIdle);
}

TEST(Sensitivity, IsThatOfCentralDifferencesInRandomNetworks) {
  std::mt19937_64 random(1936);
  for (int i = 0; i < 40; ++i) {
    SCOPED_TRACE(i);
    const RandomNetwork one = random_network(random, 20, 2, false);
    expect_differences(one.network, one.running);
  }
}

// oil.md 4 [own], case H by central difference 1e-3.
TEST(Sensitivity, HasTheElasticitiesOfTheGallery) {
  const auto of = *sensitivity(worked_case(30, 30), kHotIdle);
  const auto e = [&](const std::vector<double>& pascals) {
    return elasticity(of, kGallery, pascals[kGallery]);
  };
  // Central differences with steps of 1e-3 are themselves off by some 1e-7.
  EXPECT_NEAR(e(of.to_speed), 1.02531521, 2e-6);
  EXPECT_NEAR(e(of.to_viscosity), 0.97468201, 2e-6);
  EXPECT_NEAR(e(of.to_density), 0.0253166, 2e-6);
  EXPECT_NEAR(e(of.to_speed) + e(of.to_viscosity), 1.99999722, 2e-7);
}

// oil.md 4: laminar clearances and orifices below the relief: e_n + e_mu = 2 and e_rho = 1 - e_mu
// at every node, but for what the smoothing of the orifices takes, which goes with its square.
TEST(Sensitivity, KeepsTheLawOfDimensions) {
  std::mt19937_64 random(77);
  for (int i = 0; i < 300; ++i) {
    RandomNetwork one = random_network(random, 40, 3, false);
    one.network.smoothing = Pressure::from_si(1e-4);
    const auto of = sensitivity(one.network, one.running);
    ASSERT_TRUE(of) << of.error().why;
    for (std::size_t node = 0; node < of->nodes; ++node) {
      if (of->pressure[node] < 100) continue;
      const double e_mu = elasticity(*of, node, of->to_viscosity[node]);
      EXPECT_NEAR(elasticity(*of, node, of->to_speed[node]) + e_mu, 2, 1e-6);
      EXPECT_NEAR(elasticity(*of, node, of->to_density[node]), 1 - e_mu, 1e-6);
    }
  }
}

// All conductances, areas and the displacement times a factor leave every pressure: so the
// sensitivities to conductances and speed add up to nothing.
TEST(Sensitivity, AddsUpToNothing) {
  const auto of = *sensitivity(worked_case(60, 30), kHotIdle);
  for (std::size_t node = 0; node < of.nodes; ++node) {
    double sum = of.to_speed[node];
    for (std::size_t e = 0; e < of.to_element.size() / of.nodes; ++e) sum += of.to(node, e);
    EXPECT_NEAR(sum / of.pressure[node], 0, 1e-9);
  }
}

// The law of oil.md 4 for one node, with the shares s of slip, l of clearances and o of holes.
TEST(Sensitivity, IsTheFormulaForOneNode) {
  struct Shares {
    double s, l, o, e_n, e_mu;
  };
  // [own]
  constexpr Shares kShares[] = {{.45, .45, .10, 1.05263158, 0.947368421},
                                {.3, .5, .2, 1.11111111, 0.888888889},
                                {0, 1, 0, 1, 1},
                                {0, 0, 1, 2, 0}};
  constexpr double kPressure = 2e5, kFlow = 2e-4, kMu = 8.6e-3, kRho = 800;
  for (const Shares& one : kShares) {
    Network net;
    net.nodes = {"gallery"};
    net.smoothing = Pressure::from_si(1e-3);
    net.elements = {{"pump", kSump, 0, Pump{kFlow / 10, one.s * kFlow * kMu / kPressure}},
                    {"bearings", 0, kSump, Laminar{one.l * kFlow * kMu / kPressure}},
                    {"jets", 0, kSump, Orifice{one.o * kFlow / std::sqrt(2 * kPressure / kRho)}}};
    const auto of = sensitivity(net, running(kMu, kRho, 600));
    ASSERT_TRUE(of) << of.error().why;
    EXPECT_NEAR(of->pressure[0] / kPressure, 1, 1e-8);
    EXPECT_NEAR(elasticity(*of, 0, of->to_speed[0]), one.e_n, 1e-8);
    EXPECT_NEAR(elasticity(*of, 0, of->to_viscosity[0]), one.e_mu, 1e-8);
  }
}

}  // namespace
}  // namespace tautmark::oil
