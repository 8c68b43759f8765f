// SPDX-License-Identifier: Apache-2.0
#include "oil/sensitivity.h"

#include <span>

namespace tautmark::oil {
namespace {

// What a change of 1 of a logarithm adds to the flow of an element, from -> to.
struct Adds {
  double size = 0, viscosity = 0, density = 0, speed = 0;
};

Adds adds(const NetworkSolver& solved, std::size_t element) {
  const double flow = solved.through(element).si();
  const ElementLaw& law = solved.network().elements[element].law;
  if (std::holds_alternative<Laminar>(law)) return {flow, -flow, 0, 0};
  if (std::holds_alternative<Orifice>(law) || std::holds_alternative<CheckedOrifice>(law))
    return {flow, 0, -flow / 2, 0};
  if (std::holds_alternative<Pump>(law)) {
    const double brought = solved.brought(element).si(), slipped = brought - flow;
    return {-slipped, slipped, 0, brought};
  }
  return {flow, 0, 0, 0};
}

void add_to(std::span<double> brought, const Element& element, double flow) {
  if (element.from != kSump) brought[element.from] -= flow;
  if (element.to != kSump) brought[element.to] += flow;
}

}  // namespace

void sensitivity(const NetworkSolver& solved, Sensitivity& out) {
  const Network& network = solved.network();
  const std::size_t nodes = network.nodes.size();
  out.nodes = nodes;
  out.pressure.resize(nodes);
  out.to_element.assign(nodes * network.elements.size(), 0);
  for (auto* one : {&out.to_viscosity, &out.to_density, &out.to_speed}) one->assign(nodes, 0);
  for (std::size_t i = 0; i < nodes; ++i) out.pressure[i] = solved.at(i).si();
  for (std::size_t e = 0; e < network.elements.size(); ++e) {
    const Element& element = network.elements[e];
    const Adds more = adds(solved, e);
    add_to(out.to_viscosity, element, more.viscosity);
    add_to(out.to_density, element, more.density);
    add_to(out.to_speed, element, more.speed);
    const std::span<double> of_element(&out.to_element[e * nodes], nodes);
    add_to(of_element, element, more.size);
    solved.respond(of_element);
  }
  for (auto* all : {&out.to_viscosity, &out.to_density, &out.to_speed}) solved.respond(*all);
}

Result<Sensitivity> sensitivity(const Network& network, const Running& running) {
  auto solver = NetworkSolver::prepare(network);
  if (!solver) return tl::make_unexpected(solver.error());
  if (const auto fine = solver->solve(running); !fine) return tl::make_unexpected(fine.error());
  Sensitivity out;
  sensitivity(*solver, out);
  return out;
}

double elasticity(const Sensitivity& of, std::size_t node, double pascals) {
  return of.pressure[node] == 0 ? 0 : pascals / of.pressure[node];
}

}  // namespace tautmark::oil
