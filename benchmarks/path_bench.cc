// SPDX-License-Identifier: Apache-2.0
// One full solve of the worked bank (106 links, arm, guide), its phases and its derivatives.
#include <benchmark/benchmark.h>

#include "geometry/path.h"
#include "geometry/phase.h"
#include "geometry/test_drives.h"

namespace {

tautmark::PathInputs worn_bank() {
  tautmark::PathInputs in = tautmark::worked_bank();
  in.elongation = tautmark::Ratio::from_si(0.005);
  return in;
}

void solve_new(benchmark::State& state) {
  const tautmark::PathInputs in = tautmark::worked_bank();
  for (auto _ : state) benchmark::DoNotOptimize(tautmark::solve_path(in));
}
BENCHMARK(solve_new);

void solve_worn(benchmark::State& state) {
  const tautmark::PathInputs in = worn_bank();
  for (auto _ : state) benchmark::DoNotOptimize(tautmark::solve_path(in));
}
BENCHMARK(solve_worn);

void derivatives(benchmark::State& state) {
  const tautmark::PathInputs in = worn_bank();
  for (auto _ : state) benchmark::DoNotOptimize(tautmark::path_derivatives(in));
}
BENCHMARK(derivatives);

void pins(benchmark::State& state) {
  const tautmark::PathInputs in = worn_bank();
  const tautmark::Path path = tautmark::solve_path(in).value();
  for (auto _ : state) benchmark::DoNotOptimize(tautmark::pin_points(in, path, 0.5));
}
BENCHMARK(pins);

}  // namespace
