// SPDX-License-Identifier: Apache-2.0
#include "oil/network_solver.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <limits>
#include <new>

#include "oil/network_test_support.h"
#include "oil/sensitivity.h"

namespace {

long allocated = 0;

}  // namespace

// Counts what the whole test program allocates.
void* operator new(std::size_t size) {
  ++allocated;
  void* at = std::malloc(size > 0 ? size : 1);
  if (!at) throw std::bad_alloc();
  return at;
}
// std::stable_sort asks this way, and gives back the other.
void* operator new(std::size_t size, const std::nothrow_t&) noexcept {
  ++allocated;
  return std::malloc(size > 0 ? size : 1);
}
void operator delete(void* at) noexcept { std::free(at); }
void operator delete(void* at, std::size_t) noexcept { std::free(at); }

namespace tautmark::oil {
namespace {

using namespace test;

TEST(NetworkSolver, AllocatesNothingToSolve) {
  const Network worn = worked_case(90, 30);
  auto solver = NetworkSolver::prepare(worked_case(30, 30));
  Sensitivity of;
  ASSERT_TRUE(solver && solver->solve(kHotIdle));
  sensitivity(*solver, of);
  const long before = allocated;
  for (std::size_t e = 0; e < worn.elements.size(); ++e) solver->change(e, worn.elements[e].law);
  const bool solved = solver->solve(kHotIdle).has_value();
  sensitivity(*solver, of);
  EXPECT_EQ(allocated, before);
  EXPECT_TRUE(solved);
  EXPECT_NEAR(solver->at(kGallery).si() / 170258.460897, 1, 1e-6);  // case W
}

TEST(NetworkSolver, TakesAnyStart) {
  auto solver = NetworkSolver::prepare(worked_case(30, 30));
  ASSERT_TRUE(solver);
  const double inf = std::numeric_limits<double>::infinity();
  for (const double start : {0.0, -1e5, 1e14, -1e14, 1e300, inf, std::nan("")}) {
    solver->start_at(std::vector<Pressure>(8, Pressure::from_si(start)));
    ASSERT_TRUE(solver->solve(kHotIdle)) << start;
    EXPECT_NEAR(solver->at(kGallery).si() / 180954.537884, 1, 1e-8) << start;  // case H
  }
  solver->start_at({});  // shorter than the nodes: the rest from 0
  EXPECT_TRUE(solver->solve(kHotIdle));
}

// A refusal leaves a solver that solves on.
TEST(NetworkSolver, GoesOnAfterARefusal) {
  auto solver = NetworkSolver::prepare(worked_case(30, 30));
  ASSERT_TRUE(solver);
  EXPECT_FALSE(solver->solve(running(0, 799, 650)));
  ASSERT_TRUE(solver->solve(kHotIdle));
  EXPECT_NEAR(solver->at(kPump).si() / 184834.711533, 1, 1e-6);
}

TEST(NetworkSolver, SolvesTheNetworkOfTheBenchmark) {
  const Network net = sixty_elements();
  EXPECT_EQ(net.elements.size(), 60U);
  const auto found = solve(net, kHotIdle);
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_LE(found->steps, 12);
}

}  // namespace
}  // namespace tautmark::oil
