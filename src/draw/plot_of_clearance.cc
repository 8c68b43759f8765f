// SPDX-License-Identifier: Apache-2.0
#include "draw/plot_of_clearance.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "clearance/gap_table.h"
#include "draw/clearance_common.h"
#include "draw/head_table.h"
#include "judge/gap_words.h"

namespace tautmark {
namespace {

using clearance::EngineValve;
using draw::add_once;
using draw::degrees;
using draw::nodes;
using draw::Top;

constexpr double kCycle = 720;
constexpr double kNothing = std::numeric_limits<double>::infinity();
constexpr double kColumnStep = 2, kRowStep = 1.5;  // crank deg
constexpr double kDrawnWithoutTeeth = 30;          // crank deg, in place of a tooth

std::vector<const ValvesOfCam*> on_camshaft(const std::vector<ValvesOfCam>& all,
                                            const std::string& camshaft) {
  std::vector<const ValvesOfCam*> found;
  for (const ValvesOfCam& one : all)
    if (one.camshaft == camshaft) found.push_back(&one);
  return found;
}

// One valve of one cylinder at every node.
struct ValveField {
  clearance::GapNumbers numbers;
  EngineValve valve;
  double wanted = kNothing;  // m; infinite: not in the definition
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
  // Steps and lines are of the piston; heads in one another, at distance 0, are a contact.
  constexpr double kTouching = 1e-6, kInside = -3e-4;
  if (node.other < kTouching) node.gap = std::min(node.gap, kInside);
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

void set_rows(const ValvesOfCam& valves, ClearanceMapPlot& plot) {
  double least = 0, most = 0;
  for (const PhaserPlace& place : valves.phaser) {
    least = std::min(least, in_crank_deg(place.early));
    most = std::max(most, in_crank_deg(place.early));
  }
  const double tooth = valves.teeth > 0 ? kCycle / valves.teeth : kDrawnWithoutTeeth;
  const double beyond = (kTeethInTable + 0.6) * tooth;
  plot.rows = nodes(least - beyond, most + beyond, kRowStep);
  for (int teeth = static_cast<int>(std::ceil(plot.rows.front() / tooth));
       teeth * tooth <= plot.rows.back(); ++teeth) {
    const std::string off = teeth == 0 ? "" : degrees(std::abs(teeth * tooth));
    if (valves.teeth > 0)
      plot.up.push_back({teeth * tooth, teeth_words(teeth), off});
    else
      plot.up.push_back(
          {teeth * tooth, teeth == 0 ? "right" : off + (teeth > 0 ? " early" : " late"), {}});
  }
  if (most > least) plot.travel.push_back({least, most, "phaser travel"});
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
  draw::set_frame(loaded, plot, camshaft);
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
    if (auto field = field_of(*one)) {
      plot.uncertain = std::max(plot.uncertain, in_mm(field->valve.taken_off));
      fields.emplace_back(one, std::move(*field));
    }
    tops = draw::tops_of(loaded.drive, one->cylinders);
  }
  const bool is_one_cylinder = tops.empty();
  if (is_one_cylinder) tops = {{1, 0}};
  std::vector<double> other(plot.rows.size(), kNothing);
  for (const auto& [of, field] : fields)
    for (const Top& top : tops) add_field(field, top.at, plot, other);
  if (plot.not_known.empty() && !fields.empty()) set_least(fields, other, plot);
  draw::set_across(kCycle, 90, plot);
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

std::string clearance_map_svg(const LoadedDrive& loaded, const std::string& camshaft,
                              const PlotOptions& options, const Case* engine) {
  return clearance_map_svg(plot_of_gaps(loaded, valves_of(loaded, engine), camshaft), options);
}

std::string clearance_map_svg(const LoadedDrive& loaded, const WayAnswer& answer,
                              std::size_t camshaft, const PlotOptions& options) {
  return clearance_map_svg(plot_of_way(loaded, answer, camshaft), options);
}

}  // namespace tautmark
