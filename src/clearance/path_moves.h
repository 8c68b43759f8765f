// SPDX-License-Identifier: Apache-2.0
// Inside of the path search: cells, and ways through them in whole steps.
#pragma once

#include <optional>
#include <vector>

#include "clearance/path_search.h"

namespace tautmark::clearance::inside {

// Where a way goes: row of the crank and column of each camshaft, one of them changing at a time.
struct Node {
  int crank = 0;
  std::vector<int> cams{};
};
struct Step {
  bool of_crank = false;
  std::size_t camshaft = 0;
  int by = 0;  // signed steps
};

struct Cells {
  std::vector<ClearanceMap> maps{};
  float margin = 0;

  bool free(std::size_t camshaft, int crank, int cam) const {
    return maps[camshaft].at(crank, cam) >= margin;
  }
};

// Fewest degrees, then fewest changes between crank and camshaft. Empty: there is no way.
std::optional<std::vector<Step>> way_of_one(const Cells& cells, const Node& from, const Node& to);
std::optional<std::vector<Step>> way_of_several(const Cells& cells, const Node& from,
                                                const Node& to);

// Of head to head alone, from below; infinite where nothing that turns has a pair.
double least_crossing(const PathEngine& engine, const EngineState& from, const Move& move,
                      double cam_within);
// Moves of camshafts that follow one another in another order, or the other way round where the
// crank stands in a row of free cells, or with one camshaft laid aside first: so that no heads come
// nearer than the margin. Empty: none of these does.
std::optional<std::vector<Move>> without_crossing(const PathEngine& engine, const Cells& cells,
                                                  EngineState state, const std::vector<Move>& moves,
                                                  double margin, double cam_within);

inline int wrapped(int value, int around) { return (value % around + around) % around; }
// -around / 2 to around / 2
inline int shortest(int by, int around) {
  const int up = wrapped(by, around);
  return up <= around / 2 ? up : up - around;
}

}  // namespace tautmark::clearance::inside
