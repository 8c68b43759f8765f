// SPDX-License-Identifier: Apache-2.0
#include "clearance/map.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "clearance/bounds.h"

namespace tautmark::clearance {
namespace {

constexpr double kTurn = 2 * std::numbers::pi;
constexpr double kBelowTruth = 2e-8;  // m; covers floats of up to 0.2 m
constexpr float kFar = std::numeric_limits<float>::infinity();

// Of one valve: what a row brings (axial gap at no lift, gap to the wall sideways, gap above the
// wall at no lift) and what a column takes away (lift).
struct Row {
  float axial = 0, sideways = kFar, above = 0;
};
struct ValveLines {
  std::vector<Row> rows{};
  std::vector<float> lifts{};
  float highest = 0;
};

ValveLines lines_of(const EngineValve& valve, const MapGrid& grid) {
  const GapNumbers n = gap_numbers(valve.site);
  const double crank_step = kTurn / grid.crank_steps, cam_step = kTurn / grid.cam_steps;
  const double below = grid.between_nodes ? kBelowTruth : 0;
  const double crank_within = grid.between_nodes ? crank_step / 2 + grid.crank_within.si() : 0;
  const double lift_within = grid.between_nodes ? cam_step + 2 * grid.cam_within.si() : 0;
  ValveLines lines;
  lines.rows.reserve(static_cast<std::size_t>(grid.crank_steps));
  for (int i = 0; i < grid.crank_steps; ++i) {
    const DropRange s = drop_range(valve.slider, i * crank_step - valve.top.si(), crank_within);
    const double axial = n.axial(s.least, 0) - below;
    Row row{.axial = static_cast<float>(axial - valve.taken_off.si())};
    if (n.has_wall) {
      const double sideways = std::min(n.radial(s.least), n.radial(s.most)) - below;
      row.sideways = static_cast<float>(sideways - valve.taken_off_wall.si());
      row.above = static_cast<float>(axial - n.wall_height - valve.taken_off_wall.si());
    }
    lines.rows.push_back(row);
  }
  lines.lifts.reserve(static_cast<std::size_t>(grid.cam_steps));
  for (int j = 0; j < grid.cam_steps; ++j)
    lines.lifts.push_back(static_cast<float>(
        largest_lift(*valve.lift, 2 * j * cam_step - valve.top.si(), lift_within)));
  lines.highest = *std::max_element(lines.lifts.begin(), lines.lifts.end());
  return lines;
}

// Plain loops for the compiler to vectorize; which one, a whole row decides. The first valve of a
// row finds nothing in it yet.
template <bool kFirst>
void lower_by_one(float* cells, const float* lifts, std::size_t n, float height) {
  for (std::size_t j = 0; j < n; ++j) {
    const float gap = height - lifts[j];
    cells[j] = kFirst || gap < cells[j] ? gap : cells[j];
  }
}

template <bool kFirst>
void lower_by_both(float* cells, const float* lifts, std::size_t n, const Row& row) {
  const float axial = row.axial, sideways = row.sideways, above = row.above;
  for (std::size_t j = 0; j < n; ++j) {
    const float floor = axial - lifts[j];
    const float over = above - lifts[j];
    const float wall = over > sideways ? over : sideways;
    const float gap = wall < floor ? wall : floor;
    cells[j] = kFirst || gap < cells[j] ? gap : cells[j];
  }
}

template <bool kFirst>
void lower(float* cells, const ValveLines& valve, const Row& row) {
  const std::size_t n = valve.lifts.size();
  if (row.sideways >= row.axial)  // the wall is never nearer than the floor
    lower_by_one<kFirst>(cells, valve.lifts.data(), n, row.axial);
  else if (row.above - valve.highest >= row.sideways)  // nor ever kept off sideways
    lower_by_one<kFirst>(cells, valve.lifts.data(), n, std::min(row.axial, row.above));
  else
    lower_by_both<kFirst>(cells, valve.lifts.data(), n, row);
}

// No cell of a row is above the axial gap of any valve at no lift. A valve that stays above that
// even fully open is nowhere the least: most pistons are far down while one is near the top.
void fill_row(float* cells, std::size_t wide, const std::vector<ValveLines>& lines, std::size_t i) {
  float cap = kFar;
  for (const ValveLines& valve : lines) cap = std::min(cap, valve.rows[i].axial);
  bool first = true;
  for (const ValveLines& valve : lines) {
    const Row& row = valve.rows[i];
    const float wall = std::max(row.sideways, row.above - valve.highest);
    if (std::min(row.axial - valve.highest, wall) > cap) continue;
    if (first)
      lower<true>(cells, valve, row);
    else
      lower<false>(cells, valve, row);
    first = false;
  }
  if (first) std::fill(cells, cells + wide, kFar);
}

}  // namespace

ClearanceMap clearance_map(const std::vector<EngineValve>& valves, const MapGrid& grid) {
  std::vector<ValveLines> lines;
  lines.reserve(valves.size());
  for (const EngineValve& valve : valves) lines.push_back(lines_of(valve, grid));
  ClearanceMap map{.crank_steps = grid.crank_steps, .cam_steps = grid.cam_steps};
  const auto width = static_cast<std::size_t>(grid.cam_steps);
  // One row stays in the nearest cache until it is done: memory is written once, not read.
  std::vector<float> row(width);
  map.least.reserve(static_cast<std::size_t>(grid.crank_steps) * width);
  for (std::size_t i = 0; i < static_cast<std::size_t>(grid.crank_steps); ++i) {
    fill_row(row.data(), width, lines, i);
    map.least.insert(map.least.end(), row.begin(), row.end());
  }
  return map;
}

Result<std::vector<CrankAngle>> firing_tops(const std::vector<int>& order,
                                            const std::vector<CrankAngle>& at) {
  if (order.size() != at.size())
    return refuse(fmt::format("{} cylinders fire at {} angles", order.size(), at.size()));
  std::vector<CrankAngle> tops(order.size());
  std::vector<bool> named(order.size());
  for (std::size_t i = 0; i < order.size(); ++i) {
    const auto cylinder = static_cast<std::size_t>(order[i] - 1);
    if (order[i] < 1 || cylinder >= order.size() || named[cylinder])
      return refuse(
          fmt::format("the firing order does not name each of {} cylinders once", order.size()));
    named[cylinder] = true;
    // Anything else pairs angles with the wrong cylinders.
    const double degrees = in_crank_deg(at[i]);
    if (i == 0 ? degrees != 0 : !(at[i] > at[i - 1] && degrees < 720))
      return refuse("fires_at does not rise from 0 in the firing order, to less than 720 deg");
    tops[cylinder] = at[i];
  }
  return tops;
}

std::size_t blocked_cells(const ClearanceMap& map, Length margin) {
  const auto least = static_cast<float>(margin.si());
  return static_cast<std::size_t>(
      std::count_if(map.least.begin(), map.least.end(), [=](float c) { return !(c >= least); }));
}

std::vector<int> rows_with_free_cam(const ClearanceMap& map, Length margin) {
  const auto least = static_cast<float>(margin.si());
  std::vector<int> rows;
  for (int i = 0; i < map.crank_steps; ++i)
    if (std::all_of(map.row(i), map.row(i) + map.cam_steps, [=](float c) { return c >= least; }))
      rows.push_back(i);
  return rows;
}

std::vector<int> columns_with_free_crank(const ClearanceMap& map, Length margin) {
  const auto least = static_cast<float>(margin.si());
  std::vector<bool> blocked(static_cast<std::size_t>(map.cam_steps));
  for (int i = 0; i < map.crank_steps; ++i)
    for (int j = 0; j < map.cam_steps; ++j)
      if (!(map.at(i, j) >= least)) blocked[static_cast<std::size_t>(j)] = true;
  std::vector<int> columns;
  for (int j = 0; j < map.cam_steps; ++j)
    if (!blocked[static_cast<std::size_t>(j)]) columns.push_back(j);
  return columns;
}

}  // namespace tautmark::clearance
