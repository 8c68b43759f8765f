// SPDX-License-Identifier: Apache-2.0
// How every pressure of a network answers to every clearance, hole, the oil and the speed, at a
// solution: by the implicit function theorem, dp = -J⁻¹ ∂F, with the one factorization that the
// last step of the solution left behind. Linear; a clearance that doubles needs a new solution.
#pragma once

#include <vector>

#include "oil/network_solver.h"

namespace tautmark::oil {

// In Pa for a change of 1 of the natural logarithm: 0.01 of it is what 1 % more does.
struct Sensitivity {
  std::size_t nodes = 0;
  std::vector<double> pressure{};  // of the nodes, Pa
  // Element after element, in each node after node: conductance, area, slope, slip of a pump, fixed
  // flow. To a clearance: three times that to its conductance.
  std::vector<double> to_element{};
  std::vector<double> to_viscosity{}, to_density{}, to_speed{};  // by node

  double to(std::size_t node, std::size_t element) const {
    return to_element[element * nodes + node];
  }
};

// Allocates only when `out` is smaller than the network.
void sensitivity(const NetworkSolver& solved, Sensitivity& out);
Result<Sensitivity> sensitivity(const Network& network, const Running& running);

// d ln p / d ln x of a node, from Pa; 0 where there is no pressure, which nothing changes.
double elasticity(const Sensitivity& of, std::size_t node, double pascals);

}  // namespace tautmark::oil
