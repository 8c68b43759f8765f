// SPDX-License-Identifier: Apache-2.0
// The way from the state as found to the state wanted, with no valve nearer than the margin.
//
// A state is the crank angle (mod 360 crank deg) and the angle of every camshaft (mod 360 cam deg).
// With the chain on everything turns together, in running direction only; with the chain off the
// crankshaft and each camshaft turn by themselves, either way. A move holds for all that lies on
// it, not only at the nodes of the map: the search uses cells that hold between nodes (map.h),
// widened by how uncertain the angles are. Every place of the way keeps `margin` after what is
// taken off each valve.
//
// One camshaft: the least turning of all, A* over the cells. Several: the crank way with the fewest
// degrees on which every camshaft can stay in an unbroken range of its own, and be turned within it
// when the range parts; heads that cross one another (pairs) are then looked at for every move, and
// camshafts turned in another order or the other way round where that helps. Where it does not the
// answer is that no way was found, which is not proof that there is none.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "clearance/map.h"
#include "clearance/valve_pair.h"

namespace tautmark::clearance {

struct EngineState {
  CrankAngle crank{};
  std::vector<CamAngle> cams{};
};

// Heads of one cylinder that could meet: valve `a` of camshaft `cam_a` (places in the lists).
struct CrossingValves {
  std::size_t cam_a = 0, valve_a = 0;
  std::size_t cam_b = 0, valve_b = 0;
  ValvePair heads{};
  Length taken_off{};
};

struct PathEngine {
  std::vector<Camshaft> camshafts{};
  std::vector<CrossingValves> crossing{};
};

enum class Chain { on, off, on_then_off };  // the last: it may turn first, and comes off then

struct PathQuery {
  EngineState from{};
  EngineState to{};
  Length margin{};
  Chain chain = Chain::off;
  CrankAngle crank_within{};  // how far the crank may be from where it is said to be
  CamAngle cam_within{};      // the same for each camshaft
  bool nodes_only = false;    // for comparison with a map tested at its nodes: proves nothing
};

enum class Turns { crank, camshaft, together };

struct Move {
  Turns turns = Turns::crank;
  std::size_t camshaft = 0;  // of Turns::camshaft
  CrankAngle crank_by{};     // positive: running direction
  CamAngle cam_by{};         // of the camshaft, or of all of them when together
  Length least{};            // clearance along the move, at least
};

// A freed engine can often be crept around as if the chain were on, a degree of this and half a
// degree of that. Such a way is refused.
inline constexpr std::size_t kMostMoves = 16;

struct SafeWay {
  std::vector<Move> moves{};
  Length least{};
  double turned = 0;  // crank deg + cam deg of all camshafts by themselves
};

// Why not, in a sentence: already too near, the state wanted too near, no way, chain on.
Result<SafeWay> find_way(const PathEngine& engine, const PathQuery& query);

// Least clearance on a move from a state, bounded from below in steps of half a crank degree.
Length least_along(const PathEngine& engine, const EngineState& from, const Move& move,
                   CrankAngle crank_within = {}, CamAngle cam_within = {});
EngineState after(EngineState state, const Move& move);  // not wrapped

}  // namespace tautmark::clearance
