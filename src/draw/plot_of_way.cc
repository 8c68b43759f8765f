// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "draw/clearance_common.h"
#include "draw/head_table.h"
#include "draw/plot_of_clearance.h"

namespace tautmark {
namespace {

using clearance::EngineValve;
using draw::add_once;
using draw::degrees;
using draw::nodes;
using draw::Top;

constexpr double kTurn = 360;
// Where the map begins, so that what lies at the dead centers and at the marks is not cut: deg.
constexpr int kCrankFrom = -60, kCamFrom = -45;

double in_turn(double degrees) {
  const double rest = std::fmod(degrees, kTurn);
  return rest < 0 ? rest + kTurn : rest;
}

// Cells as searched: they hold between the nodes, with the doubt about both angles.
void set_searched(const WayAnswer& answer, std::size_t camshaft, ClearanceMapPlot& plot) {
  constexpr int kCrankSteps = 360, kCamSteps = 720, kSkip = 2;
  std::vector<EngineValve> valves = answer.engine.camshafts[camshaft].valves;
  const clearance::ClearanceMap searched =
      clearance::clearance_map(valves, {.crank_steps = kCrankSteps,
                                        .cam_steps = kCamSteps,
                                        .between_nodes = true,
                                        .crank_within = answer.query.crank_within,
                                        .cam_within = answer.query.cam_within});
  for (EngineValve& valve : valves) valve.taken_off = valve.taken_off_wall = {};
  const clearance::ClearanceMap plain = clearance::clearance_map(
      valves, {.crank_steps = kCrankSteps / kSkip, .cam_steps = kCamSteps / kSkip});
  const double margin = in_mm(answer.query.margin);
  plot.columns = nodes(kCrankFrom, kCrankFrom + kTurn, kSkip);
  plot.rows = nodes(kCamFrom, kCamFrom + kTurn, 1);
  for (std::size_t row = 0; row < plot.rows.size(); ++row)
    for (std::size_t column = 0; column < plot.columns.size(); ++column) {
      const int crank =
          static_cast<int>(std::lround(in_turn(plot.columns[column]) / kSkip)) % plain.crank_steps;
      const int cam = static_cast<int>(std::lround(in_turn(plot.rows[row]))) % plain.cam_steps;
      plot.gap.push_back(1e3 * static_cast<double>(plain.at(crank, cam)));
      plot.spare.push_back(1e3 * static_cast<double>(searched.at(kSkip * crank, kSkip * cam)) -
                           margin);
    }
}

// Where the camshaft goes all the way round.
void set_free(ClearanceMapPlot& plot) {
  const std::size_t width = plot.columns.size();
  std::optional<double> from;
  for (std::size_t column = 0; column <= width; ++column) {
    bool is_free = column < width;
    for (std::size_t row = 0; is_free && row < plot.rows.size(); ++row)
      is_free = plot.spare[row * width + column] >= 0;
    if (is_free && !from) from = plot.columns[column];
    if (!is_free && from) {
      const double to = plot.columns[column - 1];
      if (to > *from) plot.free.push_back({*from, to});
      from.reset();
    }
  }
}

// Where its own valves are so far out that the other head of the cylinder could be met.
void set_crossing(const clearance::PathEngine& engine, const clearance::PathQuery& query,
                  std::size_t camshaft, ClearanceMapPlot& plot) {
  constexpr int kLifts = 32;
  std::vector<char> is_near(plot.rows.size(), 0);
  for (const clearance::CrossingValves& pair : engine.crossing) {
    if (pair.cam_a != camshaft && pair.cam_b != camshaft) continue;
    const bool is_a = pair.cam_a == camshaft;
    const EngineValve& own = engine.camshafts[camshaft].valves[is_a ? pair.valve_a : pair.valve_b];
    const EngineValve& other =
        engine.camshafts[is_a ? pair.cam_b : pair.cam_a].valves[is_a ? pair.valve_b : pair.valve_a];
    const clearance::ValvePair heads =
        is_a ? pair.heads : clearance::ValvePair{pair.heads.b, pair.heads.a};
    const draw::HeadTable table(heads, own.lift->highest, other.lift->highest);
    // Heads in one another have distance 0.
    const double wanted = std::max((query.margin + pair.taken_off).si(), 1e-6);
    for (std::size_t row = 0; row < plot.rows.size(); ++row) {
      const double lift = clearance::lift(*own.lift, crank_deg(2 * plot.rows[row]) - own.top).si();
      for (int i = 0; i <= kLifts && is_near[row] == 0; ++i)
        if (table.at(lift, other.lift->highest.si() * i / kLifts) < wanted) is_near[row] = 1;
    }
  }
  for (std::size_t row = 0; row < is_near.size(); ++row) {
    if (is_near[row] == 0) continue;
    const double low = std::max(plot.rows[row] - 0.5, plot.rows.front()),
                 high = std::min(plot.rows[row] + 0.5, plot.rows.back());
    if (!plot.with_others_shut.empty() && plot.with_others_shut.back().to >= low)
      plot.with_others_shut.back().to = high;
    else
      plot.with_others_shut.push_back({low, high, ""});
  }
}

MapWay way_of(const WayAnswer& answer, std::size_t camshaft) {
  const auto cam_at = [&](const clearance::EngineState& state) {
    return camshaft < state.cams.size() ? in_cam_deg(state.cams[camshaft]) : 0;
  };
  MapWay way{in_crank_deg(answer.query.from.crank),
             cam_at(answer.query.from),
             in_crank_deg(answer.query.to.crank),
             cam_at(answer.query.to),
             {}};
  for (const WayMove& one : answer.moves) {
    const clearance::Move& move = one.move;
    MapMove drawn{.words = one.words};
    switch (move.turns) {
      case clearance::Turns::crank:
        drawn.across_by = in_crank_deg(move.crank_by);
        break;
      case clearance::Turns::camshaft:
        drawn.elsewhere = move.camshaft != camshaft;
        if (!drawn.elsewhere) drawn.up_by = in_cam_deg(move.cam_by);
        break;
      case clearance::Turns::together:
        drawn.across_by = in_crank_deg(move.crank_by);
        drawn.up_by = in_cam_deg(move.cam_by);
        break;
    }
    way.moves.push_back(std::move(drawn));
  }
  return way;
}

}  // namespace

ClearanceMapPlot plot_of_way(const LoadedDrive& loaded, const WayAnswer& answer,
                             std::size_t camshaft) {
  ClearanceMapPlot plot;
  const clearance::PathEngine& engine = answer.engine;
  draw::set_frame(loaded, plot, engine.camshafts[camshaft].name);
  plot.goes_round = true;
  plot.headline =
      "DO NOT TURN on this drawing alone: what may be turned is said by the answer of the case.";
  if (!answer.forbidden.empty()) plot.headline = "DO NOT TURN: " + answer.forbidden.front();
  if (answer.forbidden.empty() && !answer.no_way.empty())
    plot.headline = "DO NOT TURN: " + answer.no_way;
  plot.not_known = answer.forbidden;
  for (const EngineValve& valve : engine.camshafts[camshaft].valves)
    if (!clearance::wall_is_computed(valve.site))
      add_once(plot.not_known, "height of the pocket wall");
  set_searched(answer, camshaft, plot);
  plot.wanted = in_mm(answer.query.margin);
  set_crossing(engine, answer.query, camshaft, plot);
  if (plot.not_known.empty()) set_free(plot);
  for (double at = kCrankFrom; at <= kCrankFrom + kTurn; at += 30)
    plot.across.push_back({at, degrees(in_turn(at)), {}});
  for (double at = kCamFrom; at <= kCamFrom + kTurn; at += 45)
    plot.up.push_back({at, degrees(in_turn(at)), {}});
  plot.across_words = "crankshaft, in running direction, from the firing dead center of cylinder 1";
  plot.up_words = "camshaft, cam degrees";
  plot.chain_on = {0, kTurn / 2};
  std::map<double, std::string> tops;
  std::vector<int> cylinders;
  for (int i = 1; i <= loaded.drive.cylinders.value_or(Cylinders{}).count.value_or(0); ++i)
    cylinders.push_back(i);
  for (const Top& top : draw::tops_of(loaded.drive, cylinders)) {
    std::string& words = tops[std::fmod(top.at, kTurn)];
    words += (words.empty() ? "" : ", ") + std::to_string(top.cylinder);
  }
  for (const auto& [at, words] : tops) {
    plot.tops.push_back({at > kCrankFrom + kTurn ? at - kTurn : at, words});
  }
  if (answer.forbidden.empty()) {
    plot.way = way_of(answer, camshaft);
    for (std::size_t i = 0; i < answer.moves.size(); ++i)
      plot.notes.push_back(fmt::format("{}  {}", i + 1, answer.moves[i].words));
  }
  plot.facts.emplace_back("chain", answer.query.chain == clearance::Chain::off  ? "off"
                                   : answer.query.chain == clearance::Chain::on ? "on"
                                                                                : "on, then off");
  plot.facts.emplace_back("wanted", fmt::format("at least {:.2f} mm", plot.wanted));
  if (answer.may() && answer.least)
    plot.facts.emplace_back("least",
                            fmt::format("{:.2f} mm on the whole way", in_mm(*answer.least)));
  plot.notes.emplace_back(
      "Both ways round: what leaves the map comes in at the other side. Dash-dot: chain on, timing "
      "right.");
  if (!plot.free.empty())
    plot.notes.emplace_back(
        "Line along the upper edge: with the crankshaft there this camshaft goes all the way "
        "round, no "
        "contact with a piston expected.");
  return plot;
}

}  // namespace tautmark
