// SPDX-License-Identifier: Apache-2.0
#include "judge/circuit_middle.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "oil/sensitivity.h"

namespace tautmark {
namespace {

Result<oil::NetworkSolver> solved_middle(const OilTold& told,
                                         std::span<const CircuitJournal> journals) {
  auto solver = oil::NetworkSolver::prepare(told.circuit.network);
  if (!solver) return solver;
  apply_to(told.circuit, journals, told.fitted, *solver);
  oil::Running running = told.running;
  apply_to(told.circuit, told.fitted, running);
  if (const auto solved = solver->solve(running); !solved) return tl::unexpected(solved.error());
  return solver;
}

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

Result<CircuitSolved> solved_with(const OilTold& told, std::span<const KnownClearance> asked) {
  std::vector<CircuitJournal> journals = told.circuit.journals;
  for (const KnownClearance& one : asked) {
    const auto found = std::find_if(journals.begin(), journals.end(), [&](const auto& journal) {
      return same_place(journal.place, one.place);
    });
    if (found == journals.end())
      return refuse(fmt::format("no way of the oil goes past \"{}\"", one.place));
    if (!(one.clearance.si() > 0))
      return refuse(fmt::format("{}: a clearance is above 0", one.place));
    found->clearance = one.clearance;
    found->U = Length::from_si(0);
  }
  const auto solver = solved_middle(told, journals);
  if (!solver) return tl::unexpected(solver.error());
  CircuitSolved out;
  for (std::size_t i = 0; i < told.circuit.network.nodes.size(); ++i)
    out.at.push_back(solver->at(i));
  for (std::size_t i = 0; i < told.circuit.network.elements.size(); ++i)
    out.through.push_back(solver->through(i));
  if (told.phaser) {
    oil::AuthorityInputs phaser = told.phaser->asked;
    phaser.difference = {out.at[told.phaser->advance] - out.at[told.phaser->retard], 0};
    if (phaser.difference.value.si() > 0)
      if (const auto authority = oil::authority(phaser)) out.authority = *authority;
  }
  return out;
}

std::vector<ClearanceMatters> what_matters(const OilTold& told) {
  if (!told.explained || !told.heads_unread.empty()) return {};
  constexpr Length kMore = mm(0.01);
  constexpr Pressure kNoticed = Pressure::from_si(50);
  constexpr std::size_t kMost = 5;
  const auto head = node_of(told.circuit, lowest_head(told.gauges).place);
  std::vector<ClearanceMatters> out;
  for (const CircuitJournal& journal : told.circuit.journals) {
    const KnownClearance as_is{journal.place, journal.clearance, {}};
    const KnownClearance wider{journal.place, journal.clearance + kMore, {}};
    const auto before = solved_with(told, {&as_is, 1}), after = solved_with(told, {&wider, 1});
    if (!head || !before || !after) continue;
    const Pressure change = after->at[*head] - before->at[*head];
    if (std::abs(change.si()) >= kNoticed.si()) out.push_back({journal.place, change});
  }
  std::stable_sort(out.begin(), out.end(), [](const auto& a, const auto& b) {
    return std::abs(a.change.si()) > std::abs(b.change.si());
  });
  if (out.size() > kMost) out.resize(kMost);
  return out;
}

std::vector<ClearanceSensitivity> clearance_sensitivities(const OilTold& told) {
  if (!told.explained) return {};
  const auto solver = solved_middle(told, told.circuit.journals);
  if (!solver) return {};
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
