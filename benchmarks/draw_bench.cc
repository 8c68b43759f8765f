// SPDX-License-Identifier: Apache-2.0
// A full drawing of the V engine: two chains, every link, from the drive to the text. Budget 5 ms.
#include <benchmark/benchmark.h>

#include "draw/drive_svg.h"
#include "draw/figure_of_drive.h"
#include "drive/load.h"

namespace {

const tautmark::Drive& v_engine() {
  static const tautmark::Drive kDrive =
      tautmark::load_drive("vessgarth-v6-12", {{"drives"}}).value().drive;
  return kDrive;
}

void full_drawing(benchmark::State& state) {
  const tautmark::Drive& drive = v_engine();
  for (auto _ : state) benchmark::DoNotOptimize(drive_svg(tautmark::figure_of(drive).value()));
}
BENCHMARK(full_drawing)->Unit(benchmark::kMillisecond);

void figure(benchmark::State& state) {
  const tautmark::Drive& drive = v_engine();
  for (auto _ : state) benchmark::DoNotOptimize(tautmark::figure_of(drive));
}
BENCHMARK(figure)->Unit(benchmark::kMillisecond);

void strands(benchmark::State& state) {
  const tautmark::Figure made = tautmark::figure_of(v_engine()).value();
  for (auto _ : state) benchmark::DoNotOptimize(strands_svg(made));
}
BENCHMARK(strands)->Unit(benchmark::kMillisecond);

}  // namespace
