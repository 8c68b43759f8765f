// SPDX-License-Identifier: Apache-2.0
// Several camshafts: at one crank row each can stand in unbroken ranges of columns, within which it
// turns freely. So it is enough to search over crank row and range of each; where it stands in the
// range is settled afterwards, as late and as little as the way allows.
#include <algorithm>
#include <cstdint>
#include <unordered_map>

#include "clearance/path_moves.h"

namespace tautmark::clearance::inside {
namespace {

constexpr std::size_t kMostPlaces = 400000;  // then the search is given up

struct Range {
  int from = 0, length = 0;
};

// The ranges of one camshaft at every row, and which of them meet those of the row above.
struct Ranges {
  int rows = 0, columns = 0;
  std::vector<int> of_cell{};  // place in `at` of its row, -1 where blocked
  std::vector<std::vector<Range>> at{};
  std::vector<std::vector<std::vector<int>>> up{};    // [row][range]: ranges of row + 1
  std::vector<std::vector<std::vector<int>>> down{};  // [row][range]: ranges of row - 1

  int range(int row, int column) const {
    return of_cell[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns) +
                   static_cast<std::size_t>(column)];
  }
};

void find_row(const Cells& cells, std::size_t camshaft, int row, Ranges& ranges) {
  const int n = ranges.columns;
  const auto free = [&](int j) { return cells.free(camshaft, row, wrapped(j, n)); };
  int* of = ranges.of_cell.data() + static_cast<std::ptrdiff_t>(row) * n;
  auto& list = ranges.at[static_cast<std::size_t>(row)];
  int start = 0;
  while (start < n && free(start)) ++start;
  if (start == n) {
    list.push_back({0, n});
    std::fill(of, of + n, 0);
    return;
  }
  for (int j = start; j < start + n; ++j) {
    if (!free(j)) continue;
    if (!free(j - 1)) list.push_back({wrapped(j, n), 0});
    ++list.back().length;
    of[wrapped(j, n)] = static_cast<int>(list.size()) - 1;
  }
}

Ranges ranges_of(const Cells& cells, std::size_t camshaft) {
  const ClearanceMap& map = cells.maps[camshaft];
  const auto rows = static_cast<std::size_t>(map.crank_steps);
  Ranges ranges{.rows = map.crank_steps, .columns = map.cam_steps};
  ranges.of_cell.assign(map.least.size(), -1);
  ranges.at.resize(rows);
  for (int row = 0; row < map.crank_steps; ++row) find_row(cells, camshaft, row, ranges);
  ranges.up.resize(rows);
  ranges.down.resize(rows);
  for (std::size_t row = 0; row < rows; ++row) {
    ranges.up[row].resize(ranges.at[row].size());
    ranges.down[row].resize(ranges.at[row].size());
  }
  const auto add = [](std::vector<int>& list, int value) {
    if (std::find(list.begin(), list.end(), value) == list.end()) list.push_back(value);
  };
  for (int row = 0; row < ranges.rows; ++row) {
    const int above = wrapped(row + 1, ranges.rows);
    for (int j = 0; j < ranges.columns; ++j) {
      const int a = ranges.range(row, j), b = ranges.range(above, j);
      if (a < 0 || b < 0) continue;
      add(ranges.up[static_cast<std::size_t>(row)][static_cast<std::size_t>(a)], b);
      add(ranges.down[static_cast<std::size_t>(above)][static_cast<std::size_t>(b)], a);
    }
  }
  return ranges;
}

// A row and a range of each camshaft there.
struct Place {
  int row = 0;
  std::vector<int> ranges{};
  std::size_t before = 0;
};

std::uint64_t key_of(const Place& place) {
  auto key = static_cast<std::uint64_t>(place.row);
  for (const int range : place.ranges) key = key << 6U | static_cast<std::uint64_t>(range);
  return key;
}

// Every choice of one range per camshaft that the ranges of this place meet one row further.
void further(const std::vector<Ranges>& all, const Place& place, int by,
             std::vector<Place>& found) {
  found.assign(1, Place{.row = wrapped(place.row + by, all[0].rows)});
  for (std::size_t k = 0; k < all.size(); ++k) {
    const auto& met = (by > 0 ? all[k].up : all[k].down)[static_cast<std::size_t>(place.row)]
                                                        [static_cast<std::size_t>(place.ranges[k])];
    std::vector<Place> longer;
    for (const Place& part : found)
      for (const int range : met) {
        longer.push_back(part);
        longer.back().ranges.push_back(range);
      }
    found = std::move(longer);
  }
}

// Breadth first: the fewest degrees of the crank. From first to last place; empty: no way.
std::vector<Place> places_between(const std::vector<Ranges>& all, const Place& from,
                                  const Place& to) {
  std::vector<Place> seen{from};
  std::unordered_map<std::uint64_t, bool> known{{key_of(from), true}};
  const std::uint64_t goal = key_of(to);
  std::vector<Place> next;
  for (std::size_t i = 0; i < seen.size() && seen.size() < kMostPlaces; ++i) {
    if (key_of(seen[i]) == goal) {
      std::vector<Place> way{seen[i]};
      for (std::size_t at = i; at != 0; at = seen[at].before) way.push_back(seen[seen[at].before]);
      std::reverse(way.begin(), way.end());
      return way;
    }
    for (int by = -1; by <= 1; by += 2) {
      further(all, seen[i], by, next);
      for (Place& place : next) {
        if (!known.emplace(key_of(place), true).second) continue;
        place.before = i;
        seen.push_back(std::move(place));
      }
    }
  }
  return {};
}

// Signed columns from one place to another without leaving the range.
int within(const Range& range, int columns, int from, int to) {
  if (range.length == columns) return shortest(to - from, columns);
  return wrapped(to - range.from, columns) - wrapped(from - range.from, columns);
}

// Where the camshaft should go before the way leaves place t: as far ahead as one column can serve.
int column_ahead(const Ranges& ranges, const std::vector<Place>& way, std::size_t k, std::size_t t,
                 int now, int wanted) {
  std::vector<int> fit;
  for (int j = 0; j < ranges.columns; ++j)
    if (ranges.range(way[t].row, j) == way[t].ranges[k] &&
        ranges.range(way[t + 1].row, j) == way[t + 1].ranges[k])
      fit.push_back(j);
  for (std::size_t u = t + 2; u < way.size(); ++u) {
    std::vector<int> still;
    for (const int j : fit)
      if (ranges.range(way[u].row, j) == way[u].ranges[k]) still.push_back(j);
    if (still.empty()) break;
    fit = std::move(still);
  }
  if (std::find(fit.begin(), fit.end(), wanted) != fit.end()) return wanted;
  const Range& range =
      ranges.at[static_cast<std::size_t>(way[t].row)][static_cast<std::size_t>(way[t].ranges[k])];
  return *std::min_element(fit.begin(), fit.end(), [&](int a, int b) {
    return std::abs(within(range, ranges.columns, now, a)) <
           std::abs(within(range, ranges.columns, now, b));
  });
}

}  // namespace

std::optional<std::vector<Step>> way_of_several(const Cells& cells, const Node& from,
                                                const Node& to) {
  constexpr std::size_t kMostRanges = 63, kMostCamshafts = 9;  // of key_of
  std::vector<Ranges> all;
  Place start{.row = from.crank}, goal{.row = to.crank};
  if (cells.maps.size() > kMostCamshafts) return std::nullopt;
  for (std::size_t k = 0; k < cells.maps.size(); ++k) {
    all.push_back(ranges_of(cells, k));
    for (const auto& row : all[k].at)
      if (row.size() > kMostRanges) return std::nullopt;
    start.ranges.push_back(all[k].range(from.crank, from.cams[k]));
    goal.ranges.push_back(all[k].range(to.crank, to.cams[k]));
  }
  const std::vector<Place> way = places_between(all, start, goal);
  if (way.empty()) return std::nullopt;
  std::vector<Step> steps;
  std::vector<int> now = from.cams;
  const auto turn = [&](std::size_t k, std::size_t t, int column) {
    const Range& range =
        all[k].at[static_cast<std::size_t>(way[t].row)][static_cast<std::size_t>(way[t].ranges[k])];
    const int by = within(range, all[k].columns, now[k], column);
    if (by != 0) steps.push_back({false, k, by});
    now[k] = column;
  };
  for (std::size_t t = 0; t + 1 < way.size(); ++t) {
    for (std::size_t k = 0; k < all.size(); ++k)
      if (all[k].range(way[t + 1].row, now[k]) != way[t + 1].ranges[k])
        turn(k, t, column_ahead(all[k], way, k, t, now[k], to.cams[k]));
    const int by = shortest(way[t + 1].row - way[t].row, all[0].rows);
    if (!steps.empty() && steps.back().of_crank)
      steps.back().by += by;
    else
      steps.push_back({true, 0, by});
  }
  for (std::size_t k = 0; k < all.size(); ++k) turn(k, way.size() - 1, to.cams[k]);
  return steps;
}

}  // namespace tautmark::clearance::inside
