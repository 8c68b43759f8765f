// SPDX-License-Identifier: Apache-2.0
#include "clearance/path_search.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>

#include "clearance/path_moves.h"

namespace tautmark::clearance {
namespace {

using namespace inside;

constexpr double kTurn = 2 * std::numbers::pi;
constexpr double kSame = 1e-9;  // rad; less is not turned

constexpr int kCrankSteps = 360;
constexpr int kCamSteps = 720;

double off_turn(double angle) { return std::remainder(angle, kTurn); }

std::optional<Refusal> unusable(const PathEngine& engine, const PathQuery& query) {
  const std::size_t n = engine.camshafts.size();
  if (n == 0) return Refusal{"there is no camshaft to turn"};
  const auto finite = [n](const EngineState& state) {
    return state.cams.size() == n && std::isfinite(state.crank.si()) &&
           std::all_of(state.cams.begin(), state.cams.end(),
                       [](CamAngle cam) { return std::isfinite(cam.si()); });
  };
  if (!finite(query.from) || !finite(query.to))
    return Refusal{"crank angle or the angle of a camshaft is not known"};
  if (!(query.crank_within.si() >= 0) || !(query.cam_within.si() >= 0))
    return Refusal{"how uncertain the angles are is not known"};
  if (!std::isfinite(query.margin.si())) return Refusal{"the margin is not known"};
  for (const Camshaft& camshaft : engine.camshafts)
    for (const EngineValve& valve : camshaft.valves)
      if (!wall_is_computed(valve.site) && !query.nodes_only)
        return Refusal{fmt::format("{}: the pocket wall is not computed", valve.name)};
  return std::nullopt;
}

// Clearance of a state, its camshafts one by one and head to head.
std::optional<Refusal> too_near(const PathEngine& engine, const PathQuery& query,
                                const EngineState& state, const char* which) {
  const Move still{.turns = Turns::together};
  const auto judged = [&](Length least, Length exactly, bool has_depth,
                          const std::string& who) -> std::optional<Refusal> {
    if (least >= query.margin) return std::nullopt;
    if (least.si() < 0) {
      // What is only uncertain is no contact, and has no depth; heads in contact have none either.
      if (exactly.si() > 0)
        return Refusal{fmt::format("{} {} may be in contact within the uncertainty", which, who)};
      return Refusal{fmt::format("{} {} is already in contact{}", which, who,
                                 has_depth ? fmt::format(", by {:.3f} mm", -in_mm(exactly)) : "")};
    }
    return Refusal{fmt::format("{} {} has {:.3f} mm left, less than the {:.3f} mm to keep", which,
                               who, in_mm(least), in_mm(query.margin))};
  };
  for (std::size_t k = 0; k < engine.camshafts.size(); ++k) {
    const PathEngine one{.camshafts = {engine.camshafts[k]}};
    const Length least = least_along(one, {state.crank, {state.cams[k]}}, still, query.crank_within,
                                     query.cam_within);
    PathEngine exact = one;
    for (EngineValve& valve : exact.camshafts[0].valves)
      valve.taken_off = valve.taken_off_wall = {};
    const Length exactly = least_along(exact, {state.crank, {state.cams[k]}}, still, {}, {});
    if (auto refusal = judged(least, exactly, true, "a valve of " + engine.camshafts[k].name))
      return refusal;
  }
  PathEngine exact = engine;
  for (CrossingValves& pair : exact.crossing) pair.taken_off = {};
  return judged(Length::from_si(least_crossing(engine, state, still, query.cam_within.si())),
                Length::from_si(least_crossing(exact, state, still, 0)), false,
                "a valve against another one");
}

Node node_of(const EngineState& state) {
  const auto nearest = [](double angle, int steps) {
    return wrapped(static_cast<int>(std::lround(off_turn(angle) * steps / kTurn)), steps);
  };
  Node node{.crank = nearest(state.crank.si(), kCrankSteps)};
  for (const CamAngle cam : state.cams) node.cams.push_back(nearest(cam.si(), kCamSteps));
  return node;
}

// Steps between nodes as moves between the states themselves: every move but the last of its kind
// ends on a node; what a state is off its node stays within the cell, for which the map holds.
std::vector<Move> moves_of(const std::vector<Step>& steps, const PathQuery& query,
                           const Node& from_node, const Node& to_node) {
  struct Turning {
    double off, last_off, step;
    std::size_t left = 0;
  };
  const auto turning = [](double from, int from_node, double to, int to_node, int steps) {
    const double step = kTurn / steps;
    return Turning{off_turn(from - from_node * step), off_turn(to - to_node * step), step};
  };
  std::vector<Turning> all;  // the camshafts, then the crank
  for (std::size_t k = 0; k < from_node.cams.size(); ++k)
    all.push_back(turning(query.from.cams[k].si(), from_node.cams[k], query.to.cams[k].si(),
                          to_node.cams[k], kCamSteps));
  const std::size_t crank = all.size();
  all.push_back(turning(query.from.crank.si(), from_node.crank, query.to.crank.si(), to_node.crank,
                        kCrankSteps));
  for (const Step& step : steps) ++all[step.of_crank ? crank : step.camshaft].left;
  std::vector<Move> moves;
  const auto add = [&](std::size_t which, int by) {
    Turning& one = all[which];
    if (one.left > 0) --one.left;
    const double off = one.left == 0 ? one.last_off : 0;
    const double turned = by * one.step + off - one.off;
    one.off = off;
    if (std::abs(turned) < kSame) return;
    if (which == crank)
      moves.push_back({.turns = Turns::crank, .crank_by = CrankAngle::from_si(turned)});
    else
      moves.push_back(
          {.turns = Turns::camshaft, .camshaft = which, .cam_by = CamAngle::from_si(turned)});
  };
  for (const Step& step : steps) add(step.of_crank ? crank : step.camshaft, step.by);
  for (std::size_t k = 0; k < all.size(); ++k) add(k, 0);
  return moves;
}

// With the clearance of each, which the search has shown to be the margin at the least.
SafeWay measured(const PathEngine& engine, const PathQuery& query, std::vector<Move> moves) {
  SafeWay way{.least = Length::from_si(std::numeric_limits<double>::infinity())};
  EngineState state = query.from;
  for (Move& move : moves) {
    move.least = least_along(engine, state, move, query.crank_within, query.cam_within);
    if (!query.nodes_only) move.least = std::max(move.least, query.margin);
    way.least = std::min(way.least, move.least);
    way.turned += move.turns == Turns::camshaft ? std::abs(in_cam_deg(move.cam_by))
                                                : std::abs(in_crank_deg(move.crank_by));
    state = after(state, move);
  }
  way.moves = std::move(moves);
  if (way.moves.empty())
    way.least = least_along(engine, state, {.turns = Turns::together}, query.crank_within,
                            query.cam_within);
  return way;
}

Cells cells_of(const PathEngine& engine, const PathQuery& query) {
  Cells cells{.margin = static_cast<float>(query.margin.si())};
  for (const Camshaft& camshaft : engine.camshafts)
    cells.maps.push_back(clearance_map(camshaft.valves, {.crank_steps = kCrankSteps,
                                                         .cam_steps = kCamSteps,
                                                         .between_nodes = !query.nodes_only,
                                                         .crank_within = query.crank_within,
                                                         .cam_within = query.cam_within}));
  return cells;
}

bool node_is_free(const Cells& cells, const Node& node) {
  for (std::size_t k = 0; k < node.cams.size(); ++k)
    if (!cells.free(k, node.crank, node.cams[k])) return false;
  return true;
}

Result<std::vector<Move>> moves_chain_off(const PathEngine& engine, const PathQuery& query,
                                          const Cells& cells) {
  const Node from = node_of(query.from), to = node_of(query.to);
  if (!node_is_free(cells, from))
    return refuse(
        "the state as found lies too near the margin: between one degree of the crank and the next "
        "the clearance cannot be shown");
  if (!node_is_free(cells, to))
    return refuse(
        "the state wanted lies too near the margin: between one degree of the crank and the next "
        "the clearance cannot be shown");
  const auto steps =
      cells.maps.size() == 1 ? way_of_one(cells, from, to) : way_of_several(cells, from, to);
  if (!steps)
    return refuse(fmt::format(
        "no way was found that keeps {:.3f} mm: take the valves out of the question first",
        in_mm(query.margin)));
  auto moves = without_crossing(engine, cells, query.from, moves_of(*steps, query, from, to),
                                query.margin.si(), query.cam_within.si());
  if (!moves)
    return refuse(fmt::format(
        "no order of turning the camshafts was found that keeps {:.3f} mm from valve to valve: "
        "take the valves out of the question first",
        in_mm(query.margin)));
  if (moves->size() > kMostMoves)
    return refuse(fmt::format(
        "the only way found turns crankshaft and camshafts by turns, {} times: nobody does that "
        "without a slip; take the valves out of the question first",
        moves->size()));
  return *moves;
}

// With the chain on the angle of each camshaft less half that of the crank stays.
Result<std::vector<Move>> moves_chain_on(const PathEngine& engine, const PathQuery& query) {
  constexpr double kFits = 0.01 * kRadiansPerDegree;
  double turn = query.to.crank.si() - query.from.crank.si();
  turn -= kTurn * std::floor(turn / kTurn + kSame);
  for (const double by : {turn, turn + kTurn}) {
    const auto fits = [&](std::size_t k) {
      return std::abs(off_turn((query.to.cams[k] - query.from.cams[k]).si() - by / 2)) < kFits;
    };
    bool all = true;
    for (std::size_t k = 0; k < engine.camshafts.size(); ++k) all = all && fits(k);
    if (!all) continue;
    const Move move{.turns = Turns::together,
                    .crank_by = CrankAngle::from_si(by),
                    .cam_by = CamAngle::from_si(by / 2)};
    const Length least =
        least_along(engine, query.from, move, query.crank_within, query.cam_within);
    if (!(least >= query.margin))
      return refuse(fmt::format(
          "turning on with the chain in place leaves {:.3f} mm, less than the {:.3f} mm to keep",
          in_mm(least), in_mm(query.margin)));
    return std::vector<Move>{move};
  }
  return refuse("with the chain on the camshafts keep their places: the chain must come off");
}

// How far to turn on until every camshaft can turn freely: the best row of the first such window.
std::optional<Move> move_to_window(const PathEngine& engine, const PathQuery& query,
                                   const Cells& cells) {
  std::vector<float> free(kCrankSteps);
  for (int row = 0; row < kCrankSteps; ++row) {
    float least = std::numeric_limits<float>::infinity();
    for (const ClearanceMap& map : cells.maps)
      least = std::min(least, *std::min_element(map.row(row), map.row(row) + map.cam_steps));
    free[static_cast<std::size_t>(row)] = least;
  }
  const int start = node_of(query.from).crank;
  const auto at = [&](int d) {
    return free[static_cast<std::size_t>(wrapped(start + d, kCrankSteps))];
  };
  int first = 0;
  while (first < kCrankSteps && !(at(first) >= cells.margin)) ++first;
  if (first == kCrankSteps) return std::nullopt;
  int best = first;
  for (int d = first; d < first + kCrankSteps && at(d) >= cells.margin; ++d)
    if (at(d) > at(best)) best = d;
  const double off = off_turn(query.from.crank.si() - start * kTurn / kCrankSteps);
  const double by = best * kTurn / kCrankSteps - off;
  if (by < kSame) return std::nullopt;
  const Move move{.turns = Turns::together,
                  .crank_by = CrankAngle::from_si(by),
                  .cam_by = CamAngle::from_si(by / 2)};
  if (!(least_along(engine, query.from, move, query.crank_within, query.cam_within) >=
        query.margin))
    return std::nullopt;
  return move;
}

Result<std::vector<Move>> moves_on_then_off(const PathEngine& engine, const PathQuery& query) {
  if (auto stays_on = moves_chain_on(engine, query)) return stays_on;
  const Cells cells = cells_of(engine, query);
  if (const auto first = move_to_window(engine, query, cells)) {
    PathQuery rest = query;
    rest.from = after(query.from, *first);
    if (auto moves = moves_chain_off(engine, rest, cells)) {
      moves->insert(moves->begin(), *first);
      return moves;
    }
  }
  return moves_chain_off(engine, query, cells);
}

}  // namespace

Result<SafeWay> find_way(const PathEngine& engine, const PathQuery& query) {
  if (auto refusal = unusable(engine, query)) return tl::make_unexpected(*refusal);
  if (auto refusal = too_near(engine, query, query.from, "in the state as found"))
    return tl::make_unexpected(*refusal);
  if (auto refusal = too_near(engine, query, query.to, "in the state wanted"))
    return tl::make_unexpected(*refusal);
  const auto moves = query.chain == Chain::on ? moves_chain_on(engine, query)
                     : query.chain == Chain::off
                         ? moves_chain_off(engine, query, cells_of(engine, query))
                         : moves_on_then_off(engine, query);
  if (!moves) return tl::make_unexpected(moves.error());
  return measured(engine, query, *moves);
}

}  // namespace tautmark::clearance
