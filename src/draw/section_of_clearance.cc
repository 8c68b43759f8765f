// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "clearance/gap_table.h"
#include "draw/plot_of_clearance.h"
#include "judge/gap_words.h"

namespace tautmark {
namespace {

using clearance::Contact;
using clearance::ValveInputs;

// What the definition says of these valves, and on which side of the bore they are drawn.
struct OfDrive {
  const Valves* valves = nullptr;
  double side = -1;
};
OfDrive of_drive(const Drive& drive, const ValvesOfCam& of) {
  for (const Bank& bank : drive.banks) {
    double side = -1;
    for (const Camshaft& camshaft : bank.camshafts)
      for (const Valves& valves : camshaft.valves) {
        if (fmt::format("bank {} / {}", bank.number, camshaft.name) == of.camshaft &&
            valves.name == of.name)
          return {&valves, side};
        side = 1;
      }
  }
  return {};
}

std::optional<double> mm_of(const auto& length) {
  if (!length) return std::nullopt;
  return in_mm(length->value);
}

SectionValve drawn(const ValvesOfCam& of, const OfDrive& from, CrankAngle at, CrankAngle early) {
  const ValveInputs& in = of.inputs;
  const Length drop = clearance::drop(*in.slider, at);
  SectionValve valve{.name = of.name, .lean = from.side * in_deg(*in.inclination)};
  valve.lift = in_mm(clearance::lift(*in.lift, at + early));
  const clearance::EngineValve engine = *clearance::engine_valve(in, {});
  valve.gap = in_mm(clearance::gap(engine.site, drop, mm(valve.lift)).axial);
  valve.flat_crown = *in.flat_crown;
  if (from.valves == nullptr) return valve;
  valve.head_diameter = mm_of(from.valves->head_diameter);
  valve.head_thickness = mm_of(from.valves->head_thickness);
  if (from.valves->from_axis && from.valves->above_deck) {
    valve.across = from.side * in_mm(from.valves->from_axis->value);
    valve.above = in_mm(from.valves->above_deck->value);
  }
  if (valve.flat_crown || !in.sides || !in.wall_height || !(in.wall_height->si() > 0)) return valve;
  valve.wall_height = in_mm(*in.wall_height);
  valve.pocket_diameter = 2 * in_mm(in.sides->pocket_radius);
  valve.pocket_beside = in_mm(drop) * std::sin(in.inclination->si()) - in_mm(in.sides->offset_x);
  return valve;
}

// "7.5° after the dead center of gas exchange"
std::string crank_words(CrankAngle at) {
  double cycle = std::fmod(in_crank_deg(at), 720);
  if (cycle < 0) cycle += 720;
  const double nearest = std::round(cycle / 360);
  const double off = cycle - 360 * nearest;
  const std::string_view which = nearest == 1 ? "gas exchange" : "firing";
  if (std::abs(off) < 0.05) return fmt::format("at top dead center, {}", which);
  return fmt::format("{:.1f}° {} top dead center, {}", std::abs(off), off > 0 ? "after" : "before",
                     which);
}

std::vector<std::string> notes_of(const ClearanceSection& section, const Drive& drive,
                                  const ValveInputs& in) {
  std::vector<std::string> notes;
  if (!section.is_placed)
    notes.emplace_back(
        "Place of the valve in the cylinder: not in the definition, so no bore is drawn.");
  if (!section.valve.head_diameter)
    notes.emplace_back("Diameter of the head: not in the definition, so the head is drawn dashed.");
  if (!section.valve.flat_crown) {
    const bool has_no_wall = in.wall_height && !(in.wall_height->si() > 0);
    notes.emplace_back(has_no_wall ? "Pocket without walls: its floor is drawn as wide as the head."
                       : section.valve.wall_height
                           ? "Pocket wall drawn as high all round as at its highest."
                           : "Width, depth or place of the pocket: not in the definition, only its "
                             "floor is drawn.");
    notes.emplace_back("Dashed: the crown beside the floors, not in the definition.");
  }
  notes.emplace_back(section.other ? "Both valves drawn in one plane. Stem, seat, rings and crank "
                                     "drive are symbols."
                                   : "Stem, seat, rings and crank drive are symbols.");
  if (!drive.cylinders || !drive.cylinders->bore)
    notes.emplace_back("Bore: not in the definition.");
  return notes;
}

void set_facts(const LoadedDrive& loaded, const ValvesOfCam& of, const SectionAsked& asked,
               const PhaserPlace& place, const clearance::TableCell& cell,
               ClearanceSection& section) {
  const Drive& drive = loaded.drive;
  section.title = drive.title.value_or(drive.name);
  section.invented = drive.invented.value_or(false);
  section.headline = "DO NOT TURN on this drawing: where the engine stands is asked of its case.";
  section.facts = {{"drive", drive.name + (drive.revision ? ", revision " + *drive.revision : "")},
                   {"camshaft", of.camshaft},
                   {"stands", teeth_words(asked.teeth) + ", " + place.words},
                   {"answer", gap_words(cell)}};
  if (cell.nearest == clearance::Nearest::wall && cell.wall)
    section.facts.emplace_back("wall",
                               fmt::format("{:.2f} mm sideways, the nearest", in_mm(*cell.wall)));
  if (cell.nearest == clearance::Nearest::other_valve && cell.other)
    section.facts.emplace_back("valves",
                               fmt::format("{:.2f} mm apart, the nearest", in_mm(*cell.other)));
  if (of.inputs.required)
    section.facts.emplace_back("wanted",
                               fmt::format("at least {:.2f} mm", in_mm(*of.inputs.required)));
  section.is_contact = section.valve.gap <= 0;
  section.gap_words =
      section.is_contact
          ? fmt::format("contact by {:.2f} mm", std::abs(section.valve.gap))
          : fmt::format("gap {:.2f}{} mm", section.valve.gap,
                        cell.uncertainty ? fmt::format(" ± {:.2f}", in_mm(*cell.uncertainty)) : "");
  if (cell.contact == Contact::not_known) section.not_known = cell.missing;
}

}  // namespace

Result<ClearanceSection> section_of_gaps(const LoadedDrive& loaded,
                                         const std::vector<ValvesOfCam>& valves,
                                         const SectionAsked& asked) {
  const auto refuse = [](std::string why) { return tl::make_unexpected(Refusal{std::move(why)}); };
  const ValvesOfCam* of = nullptr;
  const PhaserPlace* place = nullptr;
  clearance::TableCell cell;
  std::string missing;
  for (const ValvesOfCam& one : valves) {
    if (one.camshaft != asked.camshaft) continue;
    for (const std::string& name : clearance::missing_for_gap(one.inputs))
      missing += (missing.empty() ? "" : "; ") + name;
    if (one.teeth == 0) missing += (missing.empty() ? "" : "; ") + std::string("sprocket_teeth");
    if (!missing.empty()) break;
    const auto found = std::find_if(
        one.phaser.begin(), one.phaser.end(),
        [&](const PhaserPlace& p) { return p.words == asked.phaser || one.phaser.size() == 1; });
    if (found == one.phaser.end()) {
      std::string places;
      for (const PhaserPlace& p : one.phaser) places += (places.empty() ? "" : ", ") + p.words;
      return refuse("no place \"" + asked.phaser + "\" of the phaser; there are: " + places);
    }
    clearance::TableCell own = gap_cell_of(one, asked.teeth, *found);
    if (of != nullptr && !(own.spare < cell.spare)) continue;
    of = &one;
    place = &*found;
    cell = std::move(own);
  }
  if (!missing.empty()) return refuse("NOT KNOWN without: " + missing);
  if (of == nullptr) return refuse("no valves on " + asked.camshaft);
  const CrankAngle early = crank_deg(asked.teeth * 720.0 / of->teeth) + place->early;
  const OfDrive from = of_drive(loaded.drive, *of);
  ClearanceSection section;
  section.valve = drawn(*of, from, cell.at, early);
  section.is_placed = from.valves != nullptr && from.valves->from_axis && from.valves->above_deck;
  if (section.is_placed && loaded.drive.cylinders && loaded.drive.cylinders->bore)
    section.bore = in_mm(loaded.drive.cylinders->bore->value);
  for (const ValvesOfCam& one : valves) {
    const OfDrive beside = of_drive(loaded.drive, one);
    if (&one == of || one.cylinders != of->cylinders || !of->inputs.other || !section.is_placed ||
        beside.side == from.side || !clearance::missing_for_gap(one.inputs).empty())
      continue;
    section.other = drawn(one, beside, cell.at, of->other_on_same_camshaft ? early : CrankAngle{});
  }
  section.crank_words = crank_words(cell.at);
  const clearance::Slider& slider = *of->inputs.slider;
  const double tilt = -std::asin(slider.pin_offset.si() / (slider.rod + slider.half_throw).si());
  section.crank =
      SectionCrank{in_mm(slider.half_throw), in_mm(slider.rod), in_mm(slider.pin_offset),
                   in_crank_deg(cell.at) + tilt * 180 / std::numbers::pi};
  set_facts(loaded, *of, asked, *place, cell, section);
  section.notes = notes_of(section, loaded.drive, of->inputs);
  if (section.other && !of->other_on_same_camshaft)
    section.notes.push_back("The " + section.other->name +
                            " camshaft is right, its phaser locked or without one.");
  return section;
}

Result<std::string> clearance_section_svg(const LoadedDrive& loaded, const SectionAsked& asked,
                                          const PlotOptions& options, const Case* engine) {
  const auto section = section_of_gaps(loaded, valves_of(loaded, engine), asked);
  if (!section) return tl::make_unexpected(section.error());
  return clearance_section_svg(*section, options);
}

}  // namespace tautmark
