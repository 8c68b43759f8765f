// SPDX-License-Identifier: Apache-2.0
// Times of the oil network, for benchmarks/oil.py, which also says what they may be:
//   oil_bench            one solve of 60 elements, µs of processor time, and its pressures, Pa
//   oil_bench --network  the network, as tests/reference/oil_network_scipy.py reads it
//   oil_bench --many     100 000 solves of it with other clearances and oil, two threads, s of
//                        elapsed time, and the mean of the pressure at a phaser
#include <fmt/format.h>

#include <chrono>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <random>
#include <thread>

#include "oil/network_solver.h"
#include "oil/network_test_support.h"

namespace {

using namespace tautmark;
using namespace tautmark::oil;
using namespace tautmark::oil::test;

constexpr int kSolves = 20'000;
constexpr int kMany = 100'000;
constexpr int kThreads = 2;

NetworkSolver prepared() {
  auto solver = NetworkSolver::prepare(sixty_elements());
  if (!solver) {
    fmt::print(stderr, "{}\n", solver.error().why);
    std::exit(2);
  }
  return *solver;
}

void solve_or_end(NetworkSolver& solver, const Running& at) {
  if (const auto fine = solver.solve(at); !fine) {
    fmt::print(stderr, "{}\n", fine.error().why);
    std::exit(2);
  }
}

void one_solve() {
  NetworkSolver solver = prepared();
  solve_or_end(solver, kHotIdle);
  const std::clock_t start = std::clock();
  for (int i = 0; i < kSolves; ++i) solve_or_end(solver, kHotIdle);
  const double seconds = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
  fmt::print("{}", 1e6 * seconds / kSolves);
  for (std::size_t i = 0; i < solver.network().nodes.size(); ++i)
    fmt::print(" {}", solver.at(i).si());
  fmt::print("\n");
}

// Every clearance ±10 % (standard), its leakage by the cube; oil ±10 %.
double simulate(int seed, int count) {
  NetworkSolver solver = prepared();
  const Network nominal = solver.network();
  std::mt19937_64 random(static_cast<unsigned>(seed));
  std::normal_distribution<double> normal(0, 0.1);
  double sum = 0;
  for (int i = 0; i < count; ++i) {
    for (std::size_t e = 0; e < nominal.elements.size(); ++e)
      if (const auto* gap = std::get_if<Laminar>(&nominal.elements[e].law))
        solver.change(e, Laminar{gap->conductance * std::exp(3 * normal(random)), gap->film});
    Running at = kHotIdle;
    at.viscosity = at.viscosity * std::exp(normal(random));
    solve_or_end(solver, at);
    sum += (solver.at(kAdvanceL) - solver.at(kRetardL)).si();
  }
  return sum;
}

void many_solves() {
  const auto start = std::chrono::steady_clock::now();
  double sums[kThreads] = {};
  std::vector<std::thread> threads;
  for (int i = 0; i < kThreads; ++i)
    threads.emplace_back([&sums, i] { sums[i] = simulate(i + 1, kMany / kThreads); });
  for (std::thread& one : threads) one.join();
  double sum = 0;
  for (const double one : sums) sum += one;
  fmt::print("{} {}\n",
             std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(),
             sum / kMany);
}

}  // namespace

int main(int argc, char** argv) {
  const char* what = argc > 1 ? argv[1] : "";
  if (std::strcmp(what, "--network") == 0) {
    fmt::print("{}", as_line(sixty_elements(), kHotIdle));
  } else if (std::strcmp(what, "--many") == 0) {
    many_solves();
  } else {
    one_solve();
  }
  return 0;
}
