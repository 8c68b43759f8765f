// SPDX-License-Identifier: Apache-2.0
#include "tighten/sequence.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>

namespace tautmark::tighten {
namespace {

bool every_bolt_once(std::vector<int> order, int count) {
  std::sort(order.begin(), order.end());
  std::vector<int> all(static_cast<std::size_t>(count));
  std::iota(all.begin(), all.end(), 0);
  return order == all;
}

TEST(CircleOrder, OppositePairsFarApart) {
  EXPECT_EQ(circle_order(4).value(), (std::vector{0, 2, 1, 3}));
  EXPECT_EQ(circle_order(8).value(), (std::vector{0, 4, 2, 6, 1, 5, 3, 7}));
  EXPECT_EQ(circle_order(5).value(), (std::vector{0, 2, 4, 1, 3}));
  for (int n = 1; n <= 60; ++n) EXPECT_TRUE(every_bolt_once(circle_order(n).value(), n)) << n;
  EXPECT_FALSE(circle_order(0));
  EXPECT_FALSE(circle_order(61));
}

TEST(TwoRowOrder, FromTheMiddleOutward) {
  EXPECT_EQ(two_row_order(3).value(), (std::vector{1, 4, 3, 0, 2, 5}));
  for (int n = 1; n <= 40; ++n) EXPECT_TRUE(every_bolt_once(two_row_order(n).value(), 2 * n));
  EXPECT_EQ(loosening_order(std::vector{1, 4, 3, 0}), (std::vector{0, 3, 4, 1}));
}

TEST(OrderOfPlaces, MiddleFirstThenAcross) {
  const Place places[] = {{0, 0}, {10, 0}, {-10, 0}, {0, 10}, {0, -10}};
  EXPECT_EQ(order_of_places(places), (std::vector{0, 1, 2, 3, 4}));
  EXPECT_TRUE(order_of_places({}).empty());
  const Place same[] = {{1, 1}, {1, 1}, {1, 1}};
  EXPECT_TRUE(every_bolt_once(order_of_places(same), 3));
}

// F6.1 to F6.5: own arithmetic of the model in fasteners.md 6.
TEST(PreloadsInRow, OrderAndPasses) {
  const Interaction c = {.neighbor = 0.15, .second = 0.03};
  struct Row {
    std::vector<int> order;
    std::vector<double> shares, loads;
  };
  const Row rows[] = {
      {{0, 1, 2, 3}, {1}, {0.791425, 0.78317875, 0.81776875, 1}},
      {{0, 1, 2, 3}, {0.5, 1}, {0.87371887, 0.87404204, 0.90578696, 1}},
      {{0, 1, 2, 3}, {1, 1}, {0.95601274, 0.96490534, 0.99380516, 1}},
      {{1, 2, 0, 3}, {1}, {1, 0.61375, 0.78409, 1}},
      {{1, 2, 0, 3}, {0.5, 1, 1}, {1, 0.971682, 0.99461333, 1}},
  };
  for (const Row& row : rows) {
    const auto loads = preloads_in_row(row.order, row.shares, c);
    for (std::size_t i = 0; i < 4; ++i) EXPECT_NEAR(loads[i], row.loads[i], 1e-8);
  }
}

}  // namespace
}  // namespace tautmark::tighten
