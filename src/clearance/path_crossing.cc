// SPDX-License-Identifier: Apache-2.0
// Camshafts whose valves cross, turned one after the other.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "clearance/path_moves.h"

namespace tautmark::clearance::inside {
namespace {

constexpr double kTurn = 2 * std::numbers::pi;

struct Search {
  const PathEngine& engine;
  const Cells& cells;
  double margin, cam_within;

  bool apart(const EngineState& state, const Move& move) const {
    return least_crossing(engine, state, move, cam_within) >= margin;
  }
  bool turns_freely(const EngineState& state, std::size_t camshaft) const {
    const ClearanceMap& map = cells.maps[camshaft];
    const int row = wrapped(
        static_cast<int>(std::lround(state.crank.si() * map.crank_steps / kTurn)), map.crank_steps);
    return std::all_of(map.row(row), map.row(row) + map.cam_steps,
                       [&](float c) { return c >= cells.margin; });
  }

  // The moves still to do, in any order, each either way round.
  bool in_some_order(const EngineState& state, std::vector<Move> rest,
                     std::vector<Move>& done) const {
    if (rest.empty()) return true;
    for (std::size_t i = 0; i < rest.size(); ++i) {
      std::vector<Move> others = rest;
      others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
      for (const Move& move : ways_round(state, rest[i])) {
        if (!apart(state, move)) continue;
        done.push_back(move);
        if (in_some_order(after(state, move), others, done)) return true;
        done.pop_back();
      }
    }
    return false;
  }

  std::vector<Move> ways_round(const EngineState& state, const Move& move) const {
    std::vector<Move> ways{move};
    if (!turns_freely(state, move.camshaft)) return ways;
    ways.push_back(move);
    ways.back().cam_by =
        CamAngle::from_si(move.cam_by.si() + (move.cam_by.si() > 0 ? -kTurn : kTurn));
    return ways;
  }

  // As before, after one camshaft was laid aside, and then on from there.
  bool laid_aside(const EngineState& state, const std::vector<Move>& block,
                  std::vector<Move>& done) const {
    constexpr int kPlaces = 12;
    for (std::size_t k = 0; k < state.cams.size(); ++k) {
      if (!turns_freely(state, k)) continue;
      for (int i = 1; i < kPlaces; ++i) {
        // Nearest first, to either side.
        const double by = kTurn / kPlaces * ((i + 1) / 2) * (i % 2 == 1 ? 1 : -1);
        const Move aside{.turns = Turns::camshaft, .camshaft = k, .cam_by = CamAngle::from_si(by)};
        if (!apart(state, aside)) continue;
        std::vector<Move> rest;
        double back = -by;
        for (const Move& move : block) {
          if (move.camshaft == k)
            back += move.cam_by.si();
          else
            rest.push_back(move);
        }
        done.push_back(aside);
        EngineState now = after(state, aside);
        const std::size_t before = done.size();
        const Move home{.turns = Turns::camshaft, .camshaft = k, .cam_by = CamAngle::from_si(back)};
        if (in_some_order(now, rest, done)) {
          for (std::size_t m = before; m < done.size(); ++m) now = after(now, done[m]);
          if (in_some_order(now, {home}, done)) return true;
        }
        done.resize(before - 1);
      }
    }
    return false;
  }
};

}  // namespace

std::optional<std::vector<Move>> without_crossing(const PathEngine& engine, const Cells& cells,
                                                  EngineState state, const std::vector<Move>& moves,
                                                  double margin, double cam_within) {
  if (engine.crossing.empty()) return moves;
  const Search search{engine, cells, margin, cam_within};
  std::vector<Move> done;
  for (std::size_t i = 0; i < moves.size();) {
    if (moves[i].turns != Turns::camshaft) {
      state = after(state, moves[i]);
      done.push_back(moves[i++]);
      continue;
    }
    std::vector<Move> block;
    while (i < moves.size() && moves[i].turns == Turns::camshaft) block.push_back(moves[i++]);
    const std::size_t before = done.size();
    if (!search.in_some_order(state, block, done) && !search.laid_aside(state, block, done))
      return std::nullopt;
    for (std::size_t m = before; m < done.size(); ++m) state = after(state, done[m]);
  }
  return done;
}

}  // namespace tautmark::clearance::inside
