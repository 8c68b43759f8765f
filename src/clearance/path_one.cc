// SPDX-License-Identifier: Apache-2.0
// One camshaft: A* over crank row, camshaft column and what turned last, costs in whole numbers.
#include <algorithm>
#include <cstdint>
#include <limits>
#include <numeric>

#include "clearance/path_moves.h"

namespace tautmark::clearance::inside {
namespace {

constexpr int kPerDegree = 64;  // a change of what turns costs 1: it only decides between equals
constexpr std::uint32_t kUnseen = std::numeric_limits<std::uint32_t>::max();

struct Grid {
  int rows, columns, row_cost, column_cost;

  // What turned last is the lowest bit: 1 the crank.
  std::uint32_t key(int row, int column, int last) const {
    return static_cast<std::uint32_t>((row * columns + column) * 2 + last);
  }
  int row(std::uint32_t key) const { return static_cast<int>(key / 2) / columns; }
  int column(std::uint32_t key) const { return static_cast<int>(key / 2) % columns; }
};

Grid grid_of(const ClearanceMap& map) {
  // One row is 360 / rows crank deg, one column 360 / columns cam deg.
  const int common = std::gcd(map.crank_steps, map.cam_steps);
  return {map.crank_steps, map.cam_steps, map.cam_steps / common * kPerDegree,
          map.crank_steps / common * kPerDegree};
}

std::vector<Step> steps_back(const Grid& grid, const std::vector<std::uint8_t>& came,
                             std::uint32_t key, std::uint32_t start) {
  std::vector<Step> steps;
  while (key / 2 != start / 2) {
    const bool crank = (key & 1U) != 0;
    const int by = (came[key] & 1U) != 0 ? 1 : -1;
    const auto last = static_cast<int>(came[key] >> 1U);
    if (!steps.empty() && steps.back().of_crank == crank)
      steps.back().by += by;
    else
      steps.push_back({crank, 0, by});
    const int row = crank ? wrapped(grid.row(key) - by, grid.rows) : grid.row(key);
    const int column = crank ? grid.column(key) : wrapped(grid.column(key) - by, grid.columns);
    key = grid.key(row, column, last);
  }
  std::reverse(steps.begin(), steps.end());
  return steps;
}

}  // namespace

std::optional<std::vector<Step>> way_of_one(const Cells& cells, const Node& from, const Node& to) {
  const Grid grid = grid_of(cells.maps[0]);
  const auto all = static_cast<std::size_t>(grid.rows) * static_cast<std::size_t>(grid.columns) * 2;
  std::vector<std::uint32_t> cost(all, kUnseen);
  std::vector<std::uint8_t> came(all, 0);  // direction, and what turned before
  const auto ahead = [&](int row, int column) {
    return std::abs(shortest(to.crank - row, grid.rows)) * grid.row_cost +
           std::abs(shortest(to.cams[0] - column, grid.columns)) * grid.column_cost;
  };
  // Costs are small whole numbers: one bucket each, looked at in order.
  std::vector<std::vector<std::uint32_t>> buckets;
  const auto put = [&](std::uint32_t key, std::uint32_t spent, int rest) {
    const std::size_t total = spent + static_cast<std::size_t>(rest);
    if (buckets.size() <= total) buckets.resize(total + 1024);
    buckets[total].push_back(key);
  };
  const int start_row = from.crank, start_column = from.cams[0];
  const std::uint32_t start = grid.key(start_row, start_column, 0);
  for (int last = 0; last < 2; ++last) {
    cost[grid.key(start_row, start_column, last)] = 0;
    put(grid.key(start_row, start_column, last), 0, ahead(start_row, start_column));
  }
  for (std::size_t total = 0; total < buckets.size(); ++total)
    for (std::size_t i = 0; i < buckets[total].size(); ++i) {
      const std::uint32_t key = buckets[total][i];
      const int row = grid.row(key), column = grid.column(key), last = static_cast<int>(key & 1U);
      if (cost[key] + static_cast<std::size_t>(ahead(row, column)) != total) continue;
      if (row == to.crank && column == to.cams[0]) return steps_back(grid, came, key, start);
      for (int crank = 0; crank < 2; ++crank)
        for (int by = -1; by <= 1; by += 2) {
          const int r = crank != 0 ? wrapped(row + by, grid.rows) : row;
          const int c = crank != 0 ? column : wrapped(column + by, grid.columns);
          if (!cells.free(0, r, c)) continue;
          const std::uint32_t next = grid.key(r, c, crank);
          const std::uint32_t spent =
              cost[key] +
              static_cast<std::uint32_t>(crank != 0 ? grid.row_cost : grid.column_cost) +
              static_cast<std::uint32_t>(crank != last);
          if (spent >= cost[next]) continue;
          cost[next] = spent;
          came[next] = static_cast<std::uint8_t>((by > 0 ? 1 : 0) | last << 1);
          put(next, spent, ahead(r, c));
        }
    }
  return std::nullopt;
}

}  // namespace tautmark::clearance::inside
