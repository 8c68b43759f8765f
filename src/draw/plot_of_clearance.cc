// SPDX-License-Identifier: Apache-2.0
#include "draw/plot_of_clearance.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "clearance/gap_table.h"
#include "clearance/valve_pair.h"
#include "draw/head_table.h"
#include "judge/gap_words.h"

namespace tautmark {
namespace {

using clearance::EngineValve;

constexpr double kCycle = 720, kTurn = 360;
constexpr double kNothing = std::numeric_limits<double>::infinity();
constexpr double kColumnStep = 2, kRowStep = 1.5;  // crank deg
constexpr int kTeethDrawn = 4;
constexpr double kDrawnWithoutTeeth = 90;  // crank deg

void add_once(std::vector<std::string>& words, const std::string& one) {
  if (std::find(words.begin(), words.end(), one) == words.end()) words.push_back(one);
}

std::vector<const ValvesOfCam*> on_camshaft(const std::vector<ValvesOfCam>& all,
                                            const std::string& camshaft) {
  std::vector<const ValvesOfCam*> found;
  for (const ValvesOfCam& one : all)
    if (one.camshaft == camshaft) found.push_back(&one);
  return found;
}

// One after the other, with the number of its cylinder; empty when the definition has no order.
struct Top {
  int cylinder = 0;
  double at = 0;  // crank deg
};
std::vector<Top> tops_of(const Drive& drive, const std::vector<int>& cylinders) {
  if (!drive.cylinders || drive.cylinders->firing_order.empty()) return {};
  std::vector<CrankAngle> at;
  for (const Written<CrankAngle>& one : drive.cylinders->fires_at) at.push_back(one.value);
  const auto tops = clearance::firing_tops(drive.cylinders->firing_order, at);
  if (!tops) return {};
  std::vector<Top> found;
  for (const int cylinder : cylinders)
    if (cylinder >= 1 && static_cast<std::size_t>(cylinder) <= tops->size())
      found.push_back({cylinder, in_crank_deg((*tops)[static_cast<std::size_t>(cylinder) - 1])});
  return found;
}

// One valve of one cylinder at every node.
struct ValveField {
  clearance::GapNumbers numbers;
  EngineValve valve;
  double taken_off_side = 0;  // m
  double wanted = kNothing;   // m; infinite: not in the definition
  const clearance::OtherValve* other = nullptr;
  bool other_follows = false;  // on the same camshaft
  draw::HeadTable heads{};
  double other_taken_off = 0;  // uncertainty, and what is wanted more than of a piston
};

std::optional<ValveField> field_of(const ValvesOfCam& of) {
  const clearance::ValveInputs& in = of.inputs;
  auto valve = clearance::engine_valve(in, {});
  if (!valve) return std::nullopt;
  ValveField field{.numbers = clearance::gap_numbers(valve->site), .valve = *valve};
  if (in.required) field.wanted = in.required->si();
  if (in.other && in.other->lift) {
    field.other = &*in.other;
    field.other_follows = of.other_on_same_camshaft;
    field.heads = draw::HeadTable(in.other->heads, in.lift->highest, in.other->lift->highest);
    const Length more =
        in.required_sides ? *in.required_sides - in.required.value_or(Length{}) : Length{};
    field.other_taken_off =
        (in.other->uncertainty.value_or(Length{}) + in.uncertainty.lift.value_or(Length{}) + more)
            .si();
  }
  return field;
}

struct Node {
  double gap = kNothing, spare = kNothing, other = kNothing;  // m
};

// `at` is the angle of the cylinder's own cycle, crank deg.
Node node_of(const ValveField& field, double drop, double lift, const std::vector<double>& others) {
  const double axial = field.numbers.axial(drop, lift);
  Node node{axial, axial - field.valve.taken_off.si() - field.wanted};
  if (field.numbers.has_wall) {
    const double wall = std::max(field.numbers.radial(drop), axial - field.numbers.wall_height);
    node.gap = std::min(node.gap, wall);
    node.spare = std::min(node.spare, wall - field.valve.taken_off_wall.si() - field.wanted);
  }
  for (const double other : others) node.other = std::min(node.other, field.heads.at(lift, other));
  node.spare = std::min(node.spare, node.other - field.other_taken_off - field.wanted);
  // Heads in one another have distance 0: a contact.
  constexpr double kTouching = 1e-6, kInside = -3e-4;
  node.gap = std::min(node.gap, node.other < kTouching ? kInside : node.other);
  if (field.wanted == kNothing) node.spare = kNothing;
  return node;
}

// Adds one valve of one cylinder that fires at `top` to the plot; the least distance to the other
// valve of each row goes to `other`.
void add_field(const ValveField& field, double top, ClearanceMapPlot& plot,
               std::vector<double>& other) {
  const auto angle = [&](double crank) { return crank_deg(crank - top); };
  for (std::size_t column = 0; column < plot.columns.size(); ++column) {
    const double crank = plot.columns[column];
    const double drop = clearance::drop(field.valve.slider, angle(crank)).si();
    std::vector<double> others;
    if (field.other != nullptr && !field.other_follows)
      for (const CrankAngle early : field.other->early)
        others.push_back(clearance::lift(*field.other->lift, angle(crank) + early).si());
    std::sort(others.begin(), others.end());
    others.erase(std::unique(others.begin(), others.end()), others.end());
    for (std::size_t row = 0; row < plot.rows.size(); ++row) {
      const CrankAngle at = angle(crank) + crank_deg(plot.rows[row]);
      if (field.other_follows) others = {clearance::lift(*field.other->lift, at).si()};
      const Node node = node_of(field, drop, clearance::lift(*field.valve.lift, at).si(), others);
      const std::size_t index = row * plot.columns.size() + column;
      plot.gap[index] = std::min(plot.gap[index], node.gap * 1e3);
      plot.spare[index] = std::min(plot.spare[index], node.spare * 1e3);
      other[row] = std::min(other[row], node.other * 1e3);
    }
  }
}

std::vector<double> nodes(double from, double to, double step) {
  const int count = std::max(1, static_cast<int>(std::ceil((to - from) / step - 1e-9)));
  std::vector<double> all;
  for (int i = 0; i <= count; ++i) all.push_back(from + (to - from) * i / count);
  return all;
}

std::string degrees(double value) {
  const double whole = std::round(value);
  return std::abs(value - whole) < 0.05 ? fmt::format("{:.0f}°", whole)
                                        : fmt::format("{:.1f}°", value);
}

void set_rows(const ValvesOfCam& valves, ClearanceMapPlot& plot) {
  double least = 0, most = 0;
  for (const PhaserPlace& place : valves.phaser) {
    least = std::min(least, in_crank_deg(place.early));
    most = std::max(most, in_crank_deg(place.early));
  }
  const double tooth = valves.teeth > 0 ? kCycle / valves.teeth : kDrawnWithoutTeeth / kTeethDrawn;
  const double beyond = (kTeethDrawn + 0.5) * tooth;
  plot.rows = nodes(least - beyond, most + beyond, kRowStep);
  for (int teeth = -kTeethDrawn; teeth <= kTeethDrawn; ++teeth) {
    const double at = teeth * tooth;
    if (valves.teeth > 0)
      plot.up.push_back({at, teeth_words(teeth), teeth == 0 ? "" : degrees(std::abs(at))});
    else
      plot.up.push_back(
          {at, teeth == 0 ? "right" : degrees(std::abs(at)) + (teeth > 0 ? " early" : " late")});
  }
  if (most > least) plot.travel.push_back({least, most, "phaser, timing right"});
}

void set_least(const std::vector<std::pair<const ValvesOfCam*, ValveField>>& fields,
               const std::vector<double>& other, ClearanceMapPlot& plot) {
  const auto axial_at = [&](double early) {
    double least = kNothing;
    for (const auto& [of, field] : fields) {
      EngineValve plain = field.valve;
      plain.taken_off = {};
      least = std::min(least, in_mm(clearance::least_axial(plain, crank_deg(early)).least));
    }
    return least;
  };
  for (std::size_t row = 0; row < plot.rows.size(); ++row) {
    MapLeast least{.up = plot.rows[row], .gap = axial_at(plot.rows[row])};
    for (const auto& [of, field] : fields) {
      EngineValve plain = field.valve;
      plain.taken_off_wall = {};
      if (const auto wall = clearance::least_wall(plain, crank_deg(plot.rows[row])))
        least.wall = std::min(least.wall.value_or(kNothing), in_mm(wall->least));
    }
    if (std::isfinite(other[row])) least.other = other[row];
    plot.least.push_back(least);
  }
  for (const MapTick& tick : plot.up) {
    const double gap = axial_at(tick.at);
    plot.least_words.emplace_back(tick.at, gap > 0 ? fmt::format("{:.2f}", gap) : "contact");
  }
}

void set_frame(const LoadedDrive& loaded, ClearanceMapPlot& plot, const std::string& camshaft) {
  const Drive& drive = loaded.drive;
  plot.title = drive.title.value_or(drive.name);
  plot.invented = drive.invented.value_or(false);
  plot.facts = {{"drive", drive.name + (drive.revision ? ", revision " + *drive.revision : "")},
                {"camshaft", camshaft}};
}

void set_across(double to, double step, ClearanceMapPlot& plot) {
  for (double at = 0; at <= to; at += step) plot.across.push_back({at, degrees(at)});
}

std::string phaser_words(const std::vector<PhaserPlace>& places) {
  std::string words;
  for (const PhaserPlace& place : places) {
    const double early = in_crank_deg(place.early);
    if (early == 0) continue;
    words += fmt::format("{}{}, {} {}", words.empty() ? "" : "; ", place.words,
                         degrees(std::abs(early)), early > 0 ? "early" : "late");
  }
  return words;
}

}  // namespace

std::vector<std::string> camshafts_of(const std::vector<ValvesOfCam>& valves) {
  std::vector<std::string> found;
  for (const ValvesOfCam& one : valves) add_once(found, one.camshaft);
  return found;
}

ClearanceMapPlot plot_of_gaps(const LoadedDrive& loaded, const std::vector<ValvesOfCam>& valves,
                              const std::string& camshaft) {
  ClearanceMapPlot plot;
  set_frame(loaded, plot, camshaft);
  plot.headline = "DO NOT TURN on this drawing: where the engine stands is asked of its case.";
  plot.up_words = "camshaft against crankshaft";
  plot.columns = nodes(0, kCycle, kColumnStep);
  const std::vector<const ValvesOfCam*> here = on_camshaft(valves, camshaft);
  if (here.empty()) {
    plot.not_known = {"valves"};
    plot.rows = {-1, 1};
  } else {
    set_rows(*here.front(), plot);
  }
  const std::size_t count = plot.columns.size() * plot.rows.size();
  plot.gap.assign(count, kNothing);
  plot.spare.assign(count, kNothing);
  std::vector<std::pair<const ValvesOfCam*, ValveField>> fields;
  std::vector<Top> tops;
  for (const ValvesOfCam* one : here) {
    for (const std::string& missing : clearance::missing_for_proof(one->inputs))
      add_once(plot.not_known, missing);
    for (const std::string& why : one->not_proven) add_once(plot.not_known, why);
    if (one->inputs.required) plot.wanted = std::max(plot.wanted, in_mm(*one->inputs.required));
    if (auto field = field_of(*one)) fields.emplace_back(one, std::move(*field));
    tops = tops_of(loaded.drive, one->cylinders);
  }
  const bool is_one_cylinder = tops.empty();
  if (is_one_cylinder) tops = {{1, 0}};
  std::vector<double> other(plot.rows.size(), kNothing);
  for (const auto& [of, field] : fields)
    for (const Top& top : tops) add_field(field, top.at, plot, other);
  if (plot.not_known.empty() && !fields.empty()) set_least(fields, other, plot);
  set_across(kCycle, 90, plot);
  plot.across_words =
      is_one_cylinder ? "crankshaft, in running direction, from the cylinder's firing dead center"
                      : "crankshaft, in running direction, two turns";
  for (const Top& top : tops) {
    if (is_one_cylinder) break;
    plot.tops.push_back({top.at, std::to_string(top.cylinder)});
    if (top.at == 0) plot.tops.push_back({kCycle, std::to_string(top.cylinder)});
  }
  if (plot.wanted > 0)
    plot.facts.emplace_back("wanted", fmt::format("at least {:.2f} mm", plot.wanted));
  if (!here.empty())
    if (const std::string words = phaser_words(here.front()->phaser); !words.empty())
      plot.facts.emplace_back("phaser", words);
  plot.notes = {
      "With the chain on, turning the crankshaft goes along a level line; an error of the camshaft "
      "is how high the line lies."};
  if (is_one_cylinder)
    plot.notes.emplace_back(
        "Firing order or firing angles are not in the definition: one cylinder is drawn, every "
        "other one of the bank is the same at its own angles.");
  else
    plot.notes.emplace_back(
        "All cylinders of the bank. This camshaft is off alone; every other one is right, anywhere "
        "in the travel of its phaser.");
  if (std::any_of(plot.least.begin(), plot.least.end(),
                  [](const MapLeast& one) { return one.wall || one.other; }))
    plot.notes.emplace_back(
        "Beside the map dashed: pocket wall and other valve, where they are near.");
  return plot;
}

namespace {

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
  plot.columns = nodes(0, kTurn, kSkip);
  plot.rows = nodes(0, kTurn, 1);
  for (std::size_t row = 0; row < plot.rows.size(); ++row)
    for (std::size_t column = 0; column < plot.columns.size(); ++column) {
      const int crank = static_cast<int>(column) % plain.crank_steps;
      const int cam = static_cast<int>(row) % plain.cam_steps;
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
  std::map<double, double> known;  // own lift -> least distance; one curve for all cylinders
  for (const clearance::CrossingValves& pair : engine.crossing) {
    if (pair.cam_a != camshaft && pair.cam_b != camshaft) continue;
    const bool is_a = pair.cam_a == camshaft;
    const EngineValve& own = engine.camshafts[camshaft].valves[is_a ? pair.valve_a : pair.valve_b];
    const EngineValve& other =
        engine.camshafts[is_a ? pair.cam_b : pair.cam_a].valves[is_a ? pair.valve_b : pair.valve_a];
    const clearance::ValvePair heads =
        is_a ? pair.heads : clearance::ValvePair{pair.heads.b, pair.heads.a};
    const draw::HeadTable table(heads, own.lift->highest, other.lift->highest);
    const double wanted = (query.margin + pair.taken_off).si();
    for (std::size_t row = 0; row < plot.rows.size(); ++row) {
      const double lift = clearance::lift(*own.lift, crank_deg(2 * plot.rows[row]) - own.top).si();
      for (int i = 0; i <= kLifts && is_near[row] == 0; ++i)
        if (table.at(lift, other.lift->highest.si() * i / kLifts) < wanted) is_near[row] = 1;
    }
  }
  for (std::size_t row = 0; row < is_near.size(); ++row) {
    if (is_near[row] == 0) continue;
    const double low = std::max(plot.rows[row] - 0.5, 0.0),
                 high = std::min(plot.rows[row] + 0.5, kTurn);
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
  set_frame(loaded, plot, engine.camshafts[camshaft].name);
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
  set_across(kTurn, 30, plot);
  for (double at = 0; at <= kTurn; at += 45) plot.up.push_back({at, degrees(at), {}});
  plot.across_words = "crankshaft, in running direction, from the firing dead center of cylinder 1";
  plot.up_words = "camshaft, cam degrees";
  plot.chain_on = {0, kTurn / 2};
  std::map<double, std::string> tops;
  std::vector<int> cylinders;
  for (int i = 1; i <= loaded.drive.cylinders.value_or(Cylinders{}).count.value_or(0); ++i)
    cylinders.push_back(i);
  for (const Top& top : tops_of(loaded.drive, cylinders)) {
    std::string& words = tops[std::fmod(top.at, kTurn)];
    words += (words.empty() ? "" : ", ") + std::to_string(top.cylinder);
  }
  for (const auto& [at, words] : tops) {
    plot.tops.push_back({at, words});
    if (at == 0) plot.tops.push_back({kTurn, words});
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
        "Line along the upper edge: with the crankshaft there the valves of this camshaft meet no "
        "piston in a full turn of it.");
  return plot;
}

std::string clearance_map_svg(const LoadedDrive& loaded, const std::string& camshaft,
                              const PlotOptions& options) {
  return clearance_map_svg(plot_of_gaps(loaded, valves_of(loaded), camshaft), options);
}

std::string clearance_map_svg(const LoadedDrive& loaded, const WayAnswer& answer,
                              std::size_t camshaft, const PlotOptions& options) {
  return clearance_map_svg(plot_of_way(loaded, answer, camshaft), options);
}

}  // namespace tautmark
