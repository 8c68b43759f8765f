// SPDX-License-Identifier: Apache-2.0
// Whether a stated 95 % range holds the truth in 95 of 100 engines: engines drawn from what the
// definition of Vessgarth says of its sizes, read with its gauges, fitted, and repaired.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <random>

#include "judge/judge.h"
#include "judge/oil_told.h"
#include "judge/repair_options.h"

namespace tautmark {
namespace {

const std::string kRoot = TAUTMARK_SOURCE_DIR;
constexpr double kGauge = 2e3;  // Pa, standard

std::vector<double> drawn_values(const std::vector<oil::Unknown>& unknowns,
                                 std::mt19937_64& random) {
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> even;
  std::vector<double> out;
  for (const oil::Unknown& unknown : unknowns)
    if (const auto* ln = std::get_if<oil::NormalLn>(&unknown.prior))
      out.push_back(ln->median * std::exp(ln->sd * normal(random)));
    else
      out.push_back(even(random));
  return out;
}

// Two thousand engines take minutes; ten tell a slip of a factor.
TEST(OilToldCoverage, RangesOfARepairedHead) {
  const int engines = std::getenv("TAUTMARK_LONG") != nullptr ? 2000 : 10;
  const LoadedCase loaded = *load_case(kRoot + "/demo/vessgarth", {{kRoot + "/drives"}});
  const auto drives = drives_in_use(loaded);
  const CheckInput input = check_input(loaded, drives.front());
  const OilTold told = *oil_told(input).told;
  const OilCircuit& circuit = told.circuit;
  const RepairOptions repair = repair_options(input, 2);
  std::vector<CircuitJournal> renewed = circuit.journals;
  for (CircuitJournal& journal : renewed)
    for (const oil::JournalClearance& one : repair.options[3].journals)
      if (same_place(one.name, journal.place)) {
        journal.clearance = one.clearance;
        journal.U = one.expanded;
        journal.error = kNewPartsUnknown;
      }
  const std::size_t ports[] = {*node_of(circuit, "main gallery"),
                               *node_of(circuit, "bank 1 / head port"),
                               *node_of(circuit, "bank 2 / head port")};
  oil::Identification in;
  in.network = circuit.network;
  in.unknowns = circuit.unknowns;
  in.apply = [&](std::span<const double> values, oil::NetworkSolver& solver) {
    apply_to(circuit, circuit.journals, values, solver);
  };
  in.apply_to_running = [&](std::span<const double> values, oil::Running& running) {
    apply_to(circuit, values, running);
  };
  const oil::ApplyToNetwork new_head = [&](std::span<const double> values,
                                           oil::NetworkSolver& solver) {
    apply_to(circuit, renewed, values, solver);
  };
  auto truth = oil::NetworkSolver::prepare(circuit.network);
  ASSERT_TRUE(truth);
  std::mt19937_64 random(20261127);
  std::normal_distribution<double> noise;
  int inside_head = 0, inside_gallery = 0, fitted = 0;
  for (int engine = 0; engine < engines; ++engine) {
    const std::vector<double> values = drawn_values(in.unknowns, random);
    oil::Running running = told.running;
    apply_to(circuit, values, running);
    apply_to(circuit, circuit.journals, values, *truth);
    ASSERT_TRUE(truth->solve(running));
    in.readings.clear();
    for (const std::size_t port : ports)
      in.readings.push_back({told.running, port,
                             Pressure::from_si(truth->at(port).si() + kGauge * noise(random)),
                             Pressure::from_si(kGauge)});
    new_head(values, *truth);
    ASSERT_TRUE(truth->solve(running));
    const double head = truth->at(ports[2]).si(), gallery = truth->at(ports[0]).si();
    const auto posterior = oil::posterior(in, {.seed = 1, .draws = 600});
    if (!posterior) continue;
    ++fitted;
    std::vector<double> heads, galleries;
    ASSERT_TRUE(oil::forecast(in, *posterior, told.running, new_head,
                              [&](const oil::NetworkSolver& solved) {
                                heads.push_back(solved.at(ports[2]).si());
                                galleries.push_back(solved.at(ports[0]).si());
                                return 0.0;
                              }));
    const auto holds = [&](const std::vector<double>& draws, double true_value) {
      const oil::Interval range = oil::interval_of(draws, posterior->weights);
      return range.low <= true_value && true_value <= range.high;
    };
    inside_head += holds(heads, head) ? 1 : 0;
    inside_gallery += holds(galleries, gallery) ? 1 : 0;
  }
  RecordProperty("fitted", fitted);
  RecordProperty("inside_head", inside_head);
  RecordProperty("inside_gallery", inside_gallery);
  EXPECT_GE(fitted, 0.98 * engines);
  const double least = engines > 1000 ? 0.93 : 0.6, most = engines > 1000 ? 0.97 : 1;
  for (const int inside : {inside_head, inside_gallery}) {
    EXPECT_GE(inside, least * fitted);
    EXPECT_LE(inside, most * fitted);
  }
}

}  // namespace
}  // namespace tautmark
