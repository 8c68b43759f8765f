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
// Q = area · √(2/ρ) · Δp / (Δp² + Δp_c²)^¼, which is area · √(2 |Δp| / ρ) well above Δp_c (oil.md
// 2.4).
struct Orifice {
  double area = 0;  // discharge coefficient times area, m²
};
// An orifice behind a check valve: piston jets, by-pass, supply of a phaser. Shut up to `opens`
// (not negative) and against its direction, and the whole orifice from 0.1 bar above.
struct CheckedOrifice {
  double area = 0;  // m²
  Pressure opens{};
};
// Q = slope · (Δp - opens), exact from 0.1 bar above `opens`, none below.
struct Relief {
  double slope = 0;  // m³/(s·Pa) above `opens`
  Pressure opens{};
};
// Displacement pump, from the sump to `to`: Q = per_turn · n - slip · p / μ.
struct Pump {
  double per_turn = 0;  // m³ for one turn of the crankshaft
  double slip = 0;      // m³
};
// What a moving phaser takes from one chamber and gives to the other, whatever the pressures.
struct FixedFlow {
  Flow flow{};
};

// A valve that is shut leaks this share of what it passes open: without it, a node between shut
// valves would have no pressure at all.
inline constexpr double kShutLeak = 1e-9;
inline constexpr double kValveTravel = 0.1e5;  // Pa, from shut to open

using ElementLaw = std::variant<Laminar, Orifice, CheckedOrifice, Relief, Pump, FixedFlow>;

struct Element {
  std::string name{};
  int from = kSump;
  int to = kSump;
  ElementLaw law{};
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

// Pumps never give a pressure below 0. A fixed flow can pull a node below 0; between -0.85 and -0.9
// bar oil gives up its air, and what the node lacks is filled with that: `air` (oil.md 2.4 puts the
// limit at about -0.9 bar).
inline constexpr double kLeastPressure = -0.9e5;  // Pa

struct NetworkSolution {
  std::vector<Pressure> at{};   // by node
  std::vector<Flow> through{};  // by element, from -> to
  std::vector<Flow> air{};  // by node, 0 but where a fixed flow pulls harder than oil can follow
  int steps = 0;            // of Newton
};

// Flows balance at every node to 1e-9 of what pumps and fixed flows bring in, for conductances of
// any 12 decades. An engine that stands has no pressure anywhere.
//
// Refuses, naming the element or node: a node that no element or only one reaches (nothing can flow
// through it), no pump or fixed flow in (nothing flows), no way to the sump but the pump's slip
// (nothing drains); conductances, areas, slopes, displacements or speed that are negative or not
// finite, all of a node's ways shut (zero); viscosity, density, film or smoothing not above zero.
Result<NetworkSolution> solve(const Network& network, const Running& running);

}  // namespace tautmark::oil
