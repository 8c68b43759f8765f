// SPDX-License-Identifier: Apache-2.0
// Against an independent program: scipy.optimize.root, tests/reference/oil_network_scipy.py.
// Without scipy the test fails: an unchecked number is not a checked one.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <sstream>

#include "oil/network_test_support.h"
#include "support/reference_program.h"

namespace tautmark::oil {
namespace {

using namespace test;

constexpr int kNetworks = 500;

TEST(NetworkScipy, GivesTheSamePressures) {
  std::mt19937_64 random(1970);
  std::vector<NetworkSolution> ours;
  std::string networks;
  for (int i = 0; i < kNetworks; ++i) {
    RandomNetwork one = random_network(random, 60, 3);
    const auto found = solve(one.network, one.running);
    ASSERT_TRUE(found) << found.error().why;
    ours.push_back(*found);
    networks += as_line(one.network, one.running);
  }
  std::istringstream theirs(tautmark::test::told_by("oil_network_scipy.py", networks));
  for (int i = 0; i < kNetworks; ++i)
    for (std::size_t n = 0; n < ours[i].at.size(); ++n) {
      std::string word;
      ASSERT_TRUE(theirs >> word);
      const double pascals = std::stod(word);
      EXPECT_NEAR(ours[i].at[n].si(), pascals, 1e-7 * std::abs(pascals) + 1e-3)
          << "network " << i << ", node " << n + 1;
    }
}

}  // namespace
}  // namespace tautmark::oil
