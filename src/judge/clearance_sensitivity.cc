// SPDX-License-Identifier: Apache-2.0
#include "judge/clearance_sensitivity.h"

#include <algorithm>

#include "oil/sensitivity.h"

namespace tautmark {
namespace {

// d ln of a gap for 1 µm of what is stated of it; 0 where the way is no gap.
double for_um(const OilTold& told, const CircuitWay& way) {
  constexpr double kMicrometer = 1e-6;
  if (way.journal) {
    const Length radial =
        hot_radial(told.circuit, told.circuit.journals[*way.journal], told.fitted);
    return kMicrometer / 2 / radial.si();
  }
  return way.written.clearance ? kMicrometer / way.written.clearance->value.si() : 0;
}

}  // namespace

std::vector<ClearanceSensitivity> clearance_sensitivities(const OilTold& told) {
  if (!told.explained) return {};
  auto solver = oil::NetworkSolver::prepare(told.circuit.network);
  if (!solver) return {};
  apply_to(told.circuit, told.circuit.journals, told.fitted, *solver);
  oil::Running running = told.running;
  apply_to(told.circuit, told.fitted, running);
  if (!solver->solve(running)) return {};
  oil::Sensitivity all;
  oil::sensitivity(*solver, all);
  std::vector<ClearanceSensitivity> out;
  for (std::size_t i = 0; i < told.circuit.ways.size(); ++i) {
    const CircuitWay& way = told.circuit.ways[i];
    const double by = 3 * for_um(told, way);  // what a gap lets through goes with its cube
    if (!(by > 0)) continue;
    const std::string name = way.journal ? told.circuit.journals[*way.journal].place
                                         : told.circuit.network.elements[i].name;
    auto found = std::ranges::find(out, name, &ClearanceSensitivity::clearance);
    if (found == out.end()) found = out.insert(out.end(), {name, std::vector<Pressure>(all.nodes)});
    for (std::size_t node = 0; node < all.nodes; ++node)
      found->for_um[node] = found->for_um[node] + Pressure::from_si(by * all.to(node, i));
  }
  return out;
}

}  // namespace tautmark
