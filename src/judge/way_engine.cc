// SPDX-License-Identifier: Apache-2.0
// From the definition and what is known of the state to the engine that the search turns.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "base/text.h"
#include "judge/way_parts.h"

namespace tautmark::way {
namespace {

constexpr std::string_view kFiguresPlease =
    "The figures that are missing, from the maker or measured on this engine.";

// Of each bank some, of all banks each cylinder once.
bool every_cylinder_once(const Ground& ground) {
  std::set<int> seen;
  std::size_t named = 0;
  for (const Bank& bank : ground.drive.drive.banks)
    for (const int cylinder : bank.cylinders) {
      ++named;
      if (cylinder < 1 || static_cast<std::size_t>(cylinder) > ground.tops.size()) return false;
      seen.insert(cylinder);
    }
  return named == seen.size() && named == ground.tops.size();
}

// The other kind of valves of the same cylinders: the one whose lift `other` holds.
std::optional<std::size_t> other_of(const Ground& ground, std::size_t at) {
  const ValvesOfCam& own = ground.valves[at];
  if (!own.inputs.other) return std::nullopt;
  for (std::size_t i = 0; i < ground.valves.size(); ++i)
    if (i != at && ground.valves[i].inputs.lift == own.inputs.other->lift &&
        ground.valves[i].cylinders == own.cylinders)
      return i;
  return std::nullopt;
}

Length required_sides(const clearance::ValveInputs& inputs) {
  return inputs.required_sides.value_or(inputs.required.value_or(Length{}));
}

Length margin_of(const Ground& ground) {
  Length margin{};
  for (const ValvesOfCam& valves : ground.valves)
    margin = std::max(margin, valves.inputs.required.value_or(Length{}));
  return margin;
}

// Camshaft and place in its list of a valve.
struct Found {
  std::size_t camshaft = 0, valve = 0;
};
Found place_of(const Ground& ground, std::size_t which, std::size_t cylinder) {
  const ValvesOfCam& valves = ground.valves[which];
  Found found;
  while (ground.camshafts[found.camshaft].camshaft != valves.camshaft) ++found.camshaft;
  for (std::size_t i = 0; i < which; ++i)
    if (ground.valves[i].camshaft == valves.camshaft)
      found.valve += ground.valves[i].cylinders.size();
  found.valve += cylinder;
  return found;
}

// By how much a camshaft can be off its teeth, either way.
CrankAngle uncertain(const Ground& ground, const CamPlace& place) {
  CrankAngle phase{};
  for (const ValvesOfCam& valves : ground.valves)
    if (valves.camshaft == place.camshaft)
      phase = std::max(phase, valves.inputs.uncertainty.phase.value_or(CrankAngle{}));
  return place.within + phase + (place.early_to - place.early_from) / 2;
}

CamAngle cam_at(CrankAngle crank, const CamPlace& place, int half_teeth) {
  const CamAngle teeth = cam_deg(half_teeth * 180.0 / *place.sprocket);
  return to_cam(crank) + teeth + to_cam((place.early_from + place.early_to) / 2);
}

// Whether every camshaft could go all the way round where the crankshaft stands.
bool stands_free(const Ground& ground, const clearance::PathQuery& query) {
  std::vector<clearance::EngineValve> all;
  for (const clearance::Camshaft& camshaft : engine_of(ground).camshafts)
    all.insert(all.end(), camshaft.valves.begin(), camshaft.valves.end());
  const auto windows = clearance::crank_windows(all, query.margin);
  if (!windows) return false;
  const double from = in_crank_deg(query.from.crank - query.crank_within);
  const double wide = 2 * in_crank_deg(query.crank_within);
  return std::any_of(windows->begin(), windows->end(), [&](const clearance::CrankWindow& window) {
    const double into = std::fmod(std::fmod(from - in_crank_deg(window.from), 360) + 360, 360);
    return into + wide <= in_crank_deg(window.to - window.from);
  });
}

std::string gap_text(Length gap) {
  return gap.si() > 0 ? fmt::format("{:.2f} mm", in_mm(gap))
                      : fmt::format("contact by {:.2f} mm", -in_mm(gap));
}

}  // namespace

void see_figures(const Ground& ground, WayAnswer& out) {
  const std::string ask(kFiguresPlease);
  if (!ground.tops.empty() && !every_cylinder_once(ground))
    forbid(out, "the definition does not say which cylinders each bank has", ask);
  for (const CamPlace& place : ground.camshafts) {
    if (!place.sprocket || *place.sprocket <= 0)
      forbid(out, place.camshaft + ": the teeth of its sprocket are not known", ask);
    if (std::none_of(ground.valves.begin(), ground.valves.end(),
                     [&](const ValvesOfCam& valves) { return valves.camshaft == place.camshaft; }))
      forbid(out, place.camshaft + ": no valves and pistons in the definition", ask);
  }
  for (std::size_t i = 0; i < ground.valves.size(); ++i) {
    const ValvesOfCam& valves = ground.valves[i];
    std::vector<std::string> missing = clearance::missing_for_proof(valves.inputs);
    missing.insert(missing.end(), valves.not_proven.begin(), valves.not_proven.end());
    if (missing.empty() && !other_of(ground, i)) missing.emplace_back("the other valve");
    if (!missing.empty())
      forbid(out,
             fmt::format("{}: not proven without {}", valves.inputs.name, joined(missing, "; ")),
             ask);
  }
}

clearance::PathEngine engine_of(const Ground& ground) {
  clearance::PathEngine engine;
  for (const CamPlace& place : ground.camshafts) {
    clearance::Camshaft camshaft{.name = place.camshaft};
    for (const ValvesOfCam& valves : ground.valves) {
      if (valves.camshaft != place.camshaft) continue;
      for (const int cylinder : valves.cylinders) {
        auto valve = clearance::engine_valve(valves.inputs,
                                             ground.tops[static_cast<std::size_t>(cylinder) - 1]);
        valve->name = fmt::format("{}, cylinder {}", valves.inputs.name, cylinder);
        camshaft.valves.push_back(std::move(*valve));
      }
    }
    engine.camshafts.push_back(std::move(camshaft));
  }
  const Length margin = margin_of(ground);
  for (std::size_t a = 0; a < ground.valves.size(); ++a) {
    const std::size_t b = *other_of(ground, a);
    if (b < a) continue;
    const clearance::ValveInputs& one = ground.valves[a].inputs;
    const clearance::ValveInputs& other = ground.valves[b].inputs;
    const Length wanted = std::max(required_sides(one), required_sides(other));
    // Each holds the lift of the other one.
    const Length taken_off = std::max(*one.other->uncertainty + *one.uncertainty.lift,
                                      *other.other->uncertainty + *other.uncertainty.lift) +
                             std::max(Length{}, wanted - margin);
    for (std::size_t i = 0; i < ground.valves[a].cylinders.size(); ++i) {
      const Found at_a = place_of(ground, a, i), at_b = place_of(ground, b, i);
      engine.crossing.push_back({.cam_a = at_a.camshaft,
                                 .valve_a = at_a.valve,
                                 .cam_b = at_b.camshaft,
                                 .valve_b = at_b.valve,
                                 .heads = one.other->heads,
                                 .taken_off = taken_off});
    }
  }
  return engine;
}

clearance::PathQuery query_of(const Ground& ground) {
  clearance::PathQuery query{.margin = margin_of(ground)};
  query.from.crank = ground.crank;
  query.to.crank = ground.wanted;
  CrankAngle uncertain_cam{};
  for (const CamPlace& place : ground.camshafts) {
    query.from.cams.push_back(cam_at(ground.crank, place, *place.half_teeth));
    query.to.cams.push_back(cam_at(ground.wanted, place, 0));
    uncertain_cam = std::max(uncertain_cam, uncertain(ground, place));
  }
  // Teeth are counted from the crank: what the crank is off, the camshafts are off by half of it.
  query.crank_within = ground.crank_within + kCrankByHand;
  query.cam_within = to_cam(uncertain_cam + ground.crank_within) + kCamByHand;
  if (ground.found.state->chain == OnOff::off)
    query.chain = clearance::Chain::off;
  else if (ground.all_right())
    query.chain = clearance::Chain::on;
  else
    // A chain that jumped may jump again, so it comes off where the engine stands if a camshaft
    // that slips meets no piston there; and where nothing may turn under it, the pin in or nobody
    // has looked.
    query.chain = ground.found.state->pin != InOut::out || stands_free(ground, query)
                      ? clearance::Chain::off
                      : clearance::Chain::on_then_off;
  return query;
}

std::vector<std::string> explained(const Ground& ground) {
  std::vector<std::string> sentences;
  for (const CamPlace& place : ground.camshafts) {
    const int half_teeth = place.half_teeth.value_or(0);
    if (half_teeth == 0 || place.sprocket.value_or(0) <= 0) continue;
    for (const ValvesOfCam& valves : ground.valves) {
      if (valves.camshaft != place.camshaft || !missing_for_gap(valves.inputs).empty()) continue;
      clearance::EngineValve plain = *clearance::engine_valve(valves.inputs, {});
      plain.taken_off = {};
      std::vector<std::string> figures;
      bool clears = false, touches = false;
      for (const PhaserPlace& at : valves.phaser) {
        const CrankAngle early = crank_deg(360.0 * half_teeth / *place.sprocket) + at.early;
        const Length gap = least_axial(plain, early).least;
        figures.push_back(fmt::format("{} {}", at.words, gap_text(gap)));
        (gap.si() > 0 ? clears : touches) = true;
      }
      sentences.push_back(
          fmt::format("{} {} {}: {} valves to their pistons over two whole turns, that camshaft "
                      "alone off: {}{}",
                      place.camshaft, halves_text(std::abs(half_teeth), "tooth", "teeth"),
                      half_teeth > 0 ? "early" : "late", valves.name, joined(figures, "; "),
                      clears && touches
                          ? "; turning free by hand clears contact at locked phasers only, and is "
                            "no release to start"
                          : ""));
    }
  }
  return sentences;
}

}  // namespace tautmark::way
