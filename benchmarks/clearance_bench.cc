// SPDX-License-Identifier: Apache-2.0
// The clearance maps of an invented V8 with two camshafts per bank, pocket walls and all, and the
// search for a way.
#include <benchmark/benchmark.h>

#include "clearance/path_search.h"
#include "clearance/test_engine.h"

namespace tautmark::clearance {
namespace {

// Intake and exhaust camshaft of both banks.
PathEngine v8(Length wall) {
  const auto tops = firing_tops({1, 5, 4, 2, 6, 3, 7, 8},
                                {crank_deg(0), crank_deg(90), crank_deg(180), crank_deg(270),
                                 crank_deg(360), crank_deg(450), crank_deg(540), crank_deg(630)})
                        .value();
  PathEngine engine;
  for (const std::size_t bank : {0U, 4U})
    for (const bool intake : {true, false}) {
      Camshaft camshaft{.name = intake ? "intake" : "exhaust"};
      for (std::size_t i = bank; i < bank + 4; ++i)
        camshaft.valves.push_back(intake ? note_intake(tops[i], wall)
                                         : note_exhaust(tops[i], wall));
      engine.camshafts.push_back(camshaft);
    }
  return engine;
}

// 360 crank rows by 720 columns, for each of four camshafts.
void maps(benchmark::State& state, bool between_nodes) {
  const PathEngine engine = v8(mm(3));
  for (auto _ : state)
    for (const Camshaft& camshaft : engine.camshafts)
      benchmark::DoNotOptimize(
          clearance_map(camshaft.valves, {.between_nodes = between_nodes}).least.data());
}
BENCHMARK_CAPTURE(maps, at_nodes, false)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(maps, between_nodes, true)->Unit(benchmark::kMillisecond);

void way_of_one_camshaft(benchmark::State& state) {
  const PathEngine engine{.camshafts = {{"camshaft", note_engine({0, 540, 180, 360}, mm(3))}}};
  const PathQuery query{.from = {crank_deg(0), {cam_deg(0)}},
                        .to = {crank_deg(0), {cam_deg(180)}},
                        .margin = mm(0.5)};
  for (auto _ : state) benchmark::DoNotOptimize(find_way(engine, query).value());
}
BENCHMARK(way_of_one_camshaft)->Unit(benchmark::kMillisecond);

// Every camshaft off by another amount, as a chain that came off leaves them.
void way_of_four_camshafts(benchmark::State& state) {
  const PathEngine engine = v8(mm(0));
  const PathQuery query{
      .from = {crank_deg(50), {cam_deg(95), cam_deg(170), cam_deg(15), cam_deg(280)}},
      .to = {crank_deg(0), {cam_deg(0), cam_deg(0), cam_deg(0), cam_deg(0)}},
      .margin = mm(0.5)};
  for (auto _ : state) benchmark::DoNotOptimize(find_way(engine, query).value());
}
BENCHMARK(way_of_four_camshafts)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace tautmark::clearance
