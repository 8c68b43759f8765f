// SPDX-License-Identifier: Apache-2.0
#include "tighten/sequence.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <numeric>

namespace tautmark::tighten {
namespace {

constexpr int kMostInCircle = 60;
constexpr int kMostInRow = 40;
constexpr double kRing = 0.1;

int around(int a, int b, int count) {
  const int apart = std::abs(a - b) % count;
  return std::min(apart, count - apart);
}

double apart(const Place& a, const Place& b) { return std::hypot(a.x - b.x, a.y - b.y); }

}  // namespace

Result<std::vector<int>> circle_order(int bolts) {
  if (bolts < 1 || bolts > kMostInCircle) return refuse("a circle has 1 to 60 bolts");
  std::vector<int> order;
  if (bolts % 2 == 1) {
    const int step = std::max(1, (bolts - 1) / 2);
    for (int i = 0; i < bolts; ++i) order.push_back(i * step % bolts);
    return order;
  }
  // Diameters: each next one is the farthest from all diameters taken, the lowest number on a tie.
  const int pairs = bolts / 2;
  std::vector<int> taken;
  while (static_cast<int>(taken.size()) < pairs) {
    int best = 0;
    int best_distance = -1;
    for (int pair = 0; pair < pairs; ++pair) {
      int distance = std::numeric_limits<int>::max();
      for (const int other : taken) distance = std::min(distance, around(pair, other, pairs));
      if (distance > best_distance) {
        best = pair;
        best_distance = distance;
      }
    }
    taken.push_back(best);
    order.insert(order.end(), {best, best + pairs});
  }
  return order;
}

Result<std::vector<int>> two_row_order(int in_a_row) {
  if (in_a_row < 1 || in_a_row > kMostInRow) return refuse("a row has 1 to 40 bolts");
  std::vector<int> columns(static_cast<std::size_t>(in_a_row));
  std::iota(columns.begin(), columns.end(), 0);
  const double middle = (in_a_row - 1) / 2.0;
  std::stable_sort(columns.begin(), columns.end(),
                   [&](int a, int b) { return std::abs(a - middle) < std::abs(b - middle); });
  std::vector<int> order;
  bool first_row = true;
  for (const int column : columns) {
    const int here = first_row ? column : column + in_a_row;
    const int across = first_row ? column + in_a_row : column;
    order.insert(order.end(), {here, across});
    first_row = !first_row;
  }
  return order;
}

std::vector<int> loosening_order(std::span<const int> tightening) {
  return {tightening.rbegin(), tightening.rend()};
}

std::vector<int> order_of_places(std::span<const Place> places) {
  if (places.empty()) return {};
  Place middle;
  for (const Place& place : places) {
    middle.x += place.x / static_cast<double>(places.size());
    middle.y += place.y / static_cast<double>(places.size());
  }
  const auto out = [&](int i) { return apart(places[static_cast<std::size_t>(i)], middle); };
  std::vector<int> left(places.size());
  std::iota(left.begin(), left.end(), 0);
  std::stable_sort(left.begin(), left.end(), [&](int a, int b) { return out(a) < out(b); });
  const double ring = kRing * out(left.back());
  std::vector<int> order;
  while (!left.empty()) {
    const double inner = out(left.front());
    auto next = left.begin();
    for (auto it = left.begin(); it != left.end() && out(*it) <= inner + ring; ++it) {
      if (order.empty()) break;
      const Place& before = places[static_cast<std::size_t>(order.back())];
      if (apart(places[static_cast<std::size_t>(*it)], before) >
          apart(places[static_cast<std::size_t>(*next)], before) + 1e-12) {
        next = it;
      }
    }
    order.push_back(*next);
    left.erase(next);
  }
  return order;
}

std::vector<double> preloads_in_row(std::span<const int> order, std::span<const double> shares,
                                    const Interaction& interaction) {
  const int count = static_cast<int>(order.size());
  std::vector<double> loads(order.size(), 0.0);
  for (const double share : shares) {
    for (const int bolt : order) {
      const double more = share - loads[static_cast<std::size_t>(bolt)];
      if (more <= 0) continue;
      loads[static_cast<std::size_t>(bolt)] = share;
      for (int other = 0; other < count; ++other) {
        const int distance = std::abs(other - bolt);
        const double taken = distance == 1   ? interaction.neighbor
                             : distance == 2 ? interaction.second
                                             : 0;
        loads[static_cast<std::size_t>(other)] -= taken * more;
      }
    }
  }
  return loads;
}

}  // namespace tautmark::tighten
