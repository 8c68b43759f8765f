// SPDX-License-Identifier: Apache-2.0
// Clearance along one move, from below.
#include <algorithm>
#include <cmath>
#include <limits>

#include "clearance/bounds.h"
#include "clearance/path_moves.h"

namespace tautmark::clearance {
namespace {

// One straight piece of a move: the crank and a camshaft at their middles, and how far to each
// side.
struct Piece {
  double crank, crank_within, cam, cam_within;
};

double least_of(const EngineValve& valve, const Piece& piece) {
  const GapNumbers n = gap_numbers(valve.site);
  const DropRange s = drop_range(valve.slider, piece.crank - valve.top.si(), piece.crank_within);
  const double open =
      largest_lift(*valve.lift, 2 * piece.cam - valve.top.si(), 2 * piece.cam_within);
  const double axial = n.axial(s.least, open);
  double least = axial - valve.taken_off.si();
  if (!n.has_wall) return least;
  const double sideways = std::min(n.radial(s.least), n.radial(s.most));
  return std::min(least, std::max(sideways, axial - n.wall_height) - valve.taken_off_wall.si());
}

// Pieces of a move as shares of it.
int pieces_of(const Move& move) {
  constexpr double kCrankPiece = 0.5 * kRadiansPerDegree;
  const double longest = std::max(std::abs(move.crank_by.si()), 2 * std::abs(move.cam_by.si()));
  return std::max(1, static_cast<int>(std::ceil(longest / kCrankPiece)));
}

bool turns_it(const Move& move, std::size_t camshaft) {
  return move.turns == Turns::together ||
         (move.turns == Turns::camshaft && move.camshaft == camshaft);
}

double of_camshaft(const Camshaft& camshaft, const Move& move, bool turned, CrankAngle crank,
                   CamAngle cam, const Piece& within) {
  const int pieces = turned || move.turns != Turns::camshaft ? pieces_of(move) : 1;
  const double crank_by = move.turns == Turns::camshaft ? 0 : move.crank_by.si();
  const double cam_by = turned ? move.cam_by.si() : 0;
  double least = std::numeric_limits<double>::infinity();
  for (int i = 0; i < pieces; ++i) {
    const double share = (i + 0.5) / pieces;
    const Piece piece{crank.si() + crank_by * share,
                      std::abs(crank_by) / pieces / 2 + within.crank_within,
                      cam.si() + cam_by * share, std::abs(cam_by) / pieces / 2 + within.cam_within};
    for (const EngineValve& valve : camshaft.valves)
      least = std::min(least, least_of(valve, piece));
  }
  return least;
}

// Heads move no faster than their lifts: far apart, many pieces need no distance of their own.
double of_crossing(const PathEngine& engine, const CrossingValves& pair, const EngineState& from,
                   const Move& move, double cam_within) {
  const EngineValve& a = engine.camshafts[pair.cam_a].valves[pair.valve_a];
  const EngineValve& b = engine.camshafts[pair.cam_b].valves[pair.valve_b];
  const int pieces = pieces_of(move);
  const auto lift_of = [&](const EngineValve& valve, std::size_t camshaft, double share) {
    const double by = turns_it(move, camshaft) ? move.cam_by.si() : 0;
    const double cam = from.cams[camshaft].si() + by * share;
    return lift(*valve.lift, CrankAngle::from_si(2 * cam) - valve.top).si();
  };
  const auto swing = [&](const EngineValve& valve, std::size_t camshaft) {
    const double by = turns_it(move, camshaft) ? std::abs(move.cam_by.si()) : 0;
    return 2 * steepest(*valve.lift) * (by / pieces / 2 + cam_within);
  };
  const double around = swing(a, pair.cam_a) + swing(b, pair.cam_b) + pair.taken_off.si();
  double least = std::numeric_limits<double>::infinity();
  double known = 0, known_a = 0, known_b = 0;
  bool any = false;
  for (int i = 0; i < pieces; ++i) {
    const double share = (i + 0.5) / pieces;
    const double la = lift_of(a, pair.cam_a, share), lb = lift_of(b, pair.cam_b, share);
    if (any && known - std::abs(la - known_a) - std::abs(lb - known_b) >= least) continue;
    known =
        head_distance(pair.heads.a, Length::from_si(la), pair.heads.b, Length::from_si(lb)).si();
    known_a = la;
    known_b = lb;
    any = true;
    least = std::min(least, known);
  }
  return least - around;
}

}  // namespace

double inside::least_crossing(const PathEngine& engine, const EngineState& from, const Move& move,
                              double cam_within) {
  double least = std::numeric_limits<double>::infinity();
  for (const CrossingValves& pair : engine.crossing)
    if (turns_it(move, pair.cam_a) || turns_it(move, pair.cam_b))
      least = std::min(least, of_crossing(engine, pair, from, move, cam_within));
  return least;
}

Length least_along(const PathEngine& engine, const EngineState& from, const Move& move,
                   CrankAngle crank_within, CamAngle cam_within) {
  const Piece within{0, crank_within.si(), 0, cam_within.si()};
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t k = 0; k < engine.camshafts.size(); ++k)
    if (turns_it(move, k) || move.turns != Turns::camshaft)
      least = std::min(least, of_camshaft(engine.camshafts[k], move, turns_it(move, k), from.crank,
                                          from.cams[k], within));
  least = std::min(least, inside::least_crossing(engine, from, move, cam_within.si()));
  return Length::from_si(least);
}

EngineState after(EngineState state, const Move& move) {
  if (move.turns != Turns::camshaft) state.crank = state.crank + move.crank_by;
  for (std::size_t k = 0; k < state.cams.size(); ++k)
    if (turns_it(move, k)) state.cams[k] = state.cams[k] + move.cam_by;
  return state;
}

}  // namespace tautmark::clearance
