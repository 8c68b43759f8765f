// SPDX-License-Identifier: Apache-2.0
// Oil in a network of pipes, clearances and holes: pressures at its nodes from pump, clearances,
// oil and speed. Any tree or mesh; every passive element's flow is odd and strictly grows with its
// own pressure difference, so the solution is unique (Cross 1936; Birkhoff and Diaz 1956: the
// network minimizes a convex content). Source of laws: oil.md 2 and 3.
//
// Pressures are gauge, in Pa; the sump is the node `kSump` at 0. A flow is positive from `from` to
// `to`. Inertia, air and pipe elasticity are left out: hot idle, steady.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::oil {

inline constexpr int kSump = -1;

// Q = conductance · Δp / (film · μ): clearances, slots, grooves; leakage.h gives the conductance.
struct Laminar {
  double conductance = 0;  // m³
  double film = 1;         // viscosity in the film to that of the gallery, above 0 to 1
};
// Q = area · √(2 |Δp| / ρ), smoothed by Δp_c (oil.md 2.4).
struct Orifice {
  double area = 0;  // discharge coefficient times area, m²
};
// Opens above `opens` in its own direction only: piston jets, relief, by-pass. Smoothed over 0.1
// bar.
struct CheckedOrifice {
  double area = 0;  // m²
  Pressure opens{};
};
struct Relief {
  double slope = 0;  // m³/(s·Pa) above `opens`
  Pressure opens{};
};
// Displacement pump, from the sump to `to`: Q = per_turn · n - slip · p / μ.
struct Pump {
  double per_turn = 0;  // m³ for one turn of the crankshaft
  double slip = 0;      // m³
};
struct FixedFlow {
  Flow flow{};  // what a moving phaser takes from one chamber and gives to the other
};

struct Element {
  std::string name{};
  int from = kSump;
  int to = kSump;
  std::variant<Laminar, Orifice, CheckedOrifice, Relief, Pump, FixedFlow> law{};
};

struct Network {
  std::vector<std::string> nodes{};
  std::vector<Element> elements{};
  Pressure smoothing = Pressure::from_si(100);  // Δp_c of the orifices
};

struct Running {
  DynamicViscosity viscosity{};
  Density density{};
  RotationalSpeed speed{};  // of the crankshaft
};

struct NetworkSolution {
  std::vector<Pressure> at{};   // by node
  std::vector<Flow> through{};  // by element, from -> to
  int steps = 0;
};

// Refuses, naming the element or node: a node that no element reaches, no pump or fixed flow in
// (nothing flows), no way to the sump (nothing drains), conductances, areas, viscosity, density or
// speed that are negative, not finite, or zero where that means nothing.
Result<NetworkSolution> solve(const Network& network, const Running& running);

}  // namespace tautmark::oil
