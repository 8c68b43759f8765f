// SPDX-License-Identifier: Apache-2.0
#include "judge/valve_gaps.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "base/text.h"
#include "clearance/lift.h"
#include "drive/lint_sizes.h"
#include "judge/lobe_curve.h"
#include "judge/on_engine.h"
#include "judge/slider_of.h"
#include "judge/sure.h"

namespace tautmark {
namespace {

using clearance::Contact;
using clearance::ValveInputs;

constexpr double kPhaserStep = 2;  // crank deg, of the other camshaft's travel

std::vector<PhaserPlace> phaser_places(const Camshaft& camshaft,
                                       std::vector<std::string>& not_proven) {
  if (!camshaft.phaser) return {{"no phaser", {}}};
  const Phaser& phaser = *camshaft.phaser;
  if (!phaser.base || !phaser.range) {
    not_proven.emplace_back(!phaser.base ? "phaser: base" : "phaser: range");
    return {{"phaser locked", {}}};
  }
  const CrankAngle range = phaser.range->value;
  switch (*phaser.base) {
    case PhaserBase::full_retard:
      return {{"phaser locked", {}}, {"full advance", range}};
    case PhaserBase::full_advance:
      return {{"phaser locked", {}}, {"full retard", -range}};
    case PhaserBase::mid_travel:
      break;
  }
  return {{"phaser locked", {}}, {"full advance", range / 2}, {"full retard", -range / 2}};
}

// Everywhere between the ends of its travel.
std::vector<CrankAngle> whole_travel(const std::vector<PhaserPlace>& places) {
  CrankAngle least{}, most{};
  for (const PhaserPlace& place : places) {
    least = std::min(least, place.early);
    most = std::max(most, place.early);
  }
  std::vector<CrankAngle> all;
  for (CrankAngle at = least; at < most; at = at + crank_deg(kPhaserStep)) all.push_back(at);
  all.push_back(most);
  return all;
}

std::optional<clearance::ValveHead> head_of(const Valves& valves, double side) {
  if (!valves.from_axis || !valves.above_deck || !valves.angle || !valves.head_diameter ||
      !valves.head_thickness)
    return {};
  return clearance::ValveHead{.x = side * valves.from_axis->value,
                              .z = valves.above_deck->value,
                              .lean = side * valves.angle->value,
                              .radius = valves.head_diameter->value / 2,
                              .thickness = valves.head_thickness->value};
}

void set_piston(const Drive& drive, ValvesOfCam& out) {
  if (!drive.cylinders) return;
  const Cylinders& cylinders = *drive.cylinders;
  if (const auto slider = slider_of(drive)) {
    out.inputs.slider = *slider;
  } else if (cylinders.stroke && cylinders.rod) {
    out.not_proven.push_back(slider.error().why);
  }
  if (!cylinders.pin_offset) out.not_proven.emplace_back("cylinders: pin_offset (0 mm: none)");
}

void set_lift(const Valves& valves, const std::optional<SourceRef>& whole, ValvesOfCam& out) {
  if (!valves.lobe) return;
  std::string why;
  out.inputs.lift = lobe_curve(*valves.lobe, why);
  if (!why.empty()) out.not_proven.push_back(std::move(why));
  if (out.inputs.lift != nullptr && out.inputs.lift->highest > kMostProvenLift)
    out.not_proven.emplace_back("lobe: a lift of more than 30 mm is not plausible");
  if (!valves.lobe->lash) out.not_proven.emplace_back("lobe: lash (0 mm with adjusters)");
  if (valves.lobe->uncertainty)
    out.inputs.uncertainty.lift = valves.lobe->uncertainty->value * (kSureAt / kNinetyFive);
  const std::optional<SourceRef>& own = valves.lobe->source ? valves.lobe->source : valves.source;
  out.inputs.lift_is_assumed = !is_makers(own, whole);
}

void set_gap(const Valves& valves, const std::optional<SourceRef>& whole, ValvesOfCam& out) {
  ValveInputs& in = out.inputs;
  if (valves.angle) in.inclination = valves.angle->value;
  if (valves.crown) in.flat_crown = valves.crown == CrownKind::flat;
  if (valves.gap_at_top) {
    in.gap_shut = Length::from_si(valves.gap_at_top->value.value.si);
    // A flat crown is counted along the bore.
    if (in.flat_crown == true && in.inclination)
      in.gap_shut = *in.gap_shut * std::cos(in.inclination->si());
    if (valves.gap_at_top->value.expanded_si)
      in.uncertainty.measured_gap = Length::from_si(sure(valves.gap_at_top->value));
  }
  if (in.gap_shut && *in.gap_shut > kMostProvenGap)
    out.not_proven.emplace_back("valves: a gap_at_top of more than 20 mm is not plausible");
  if (valves.pocket_depth) in.wall_height = valves.pocket_depth->value;
  if (valves.head_diameter && valves.pocket_diameter && valves.pocket_along && valves.pocket_aside)
    in.sides = {valves.head_diameter->value / 2, valves.pocket_diameter->value / 2,
                valves.pocket_along->value, valves.pocket_aside->value};
  in.uncertainty.sides = valves.pocket_uncertainty ? valves.pocket_uncertainty->value * kSureFromTwo
                                                   : in.uncertainty.measured_gap;
  if (valves.margin) in.required = valves.margin->value;
  if (valves.margin && valves.margin_between)
    in.required_sides = std::max(valves.margin->value, valves.margin_between->value);
  if (!valves.margin_between) out.not_proven.emplace_back("valves: margin_between");
  if (!is_makers(valves.source, whole))
    out.not_proven.emplace_back("the maker's figures of valves and piston");
}

// Of the way to the other valve, of which the gap to the piston says something only while it is
// the definition's own.
std::optional<Length> between(const Valves& valves, const ValvesOfCam& own) {
  if (valves.between_uncertainty) return valves.between_uncertainty->value * kSureFromTwo;
  if (own.gap_from.empty()) return own.inputs.uncertainty.measured_gap;
  if (!valves.gap_at_top || !valves.gap_at_top->value.expanded_si) return std::nullopt;
  return Length::from_si(sure(valves.gap_at_top->value));
}

struct Placed {
  std::size_t index = 0;  // of the answer
  const Valves* valves = nullptr;
};

// What is not proven of the other valve and is not said of this one too.
std::vector<std::string> lacking(const ValvesOfCam& other, const ValvesOfCam& own) {
  std::vector<std::string> words;
  for (const std::string& why : other.not_proven)
    if (std::find(own.not_proven.begin(), own.not_proven.end(), why) == own.not_proven.end())
      words.push_back(fmt::format("{} valves: {}", other.name, why));
  return words;
}

// Two kinds of valves in a cylinder meet one another; more or fewer are not computed.
void set_others(std::vector<ValvesOfCam>& all, const std::vector<Placed>& bank) {
  if (bank.size() != 2) return;
  std::array<std::vector<std::string>, 2> lacks;
  for (std::size_t i = 0; i < 2; ++i) {
    ValvesOfCam& own = all[bank[i].index];
    const ValvesOfCam& other = all[bank[1 - i].index];
    const auto a = head_of(*bank[i].valves, i == 0 ? -1 : 1);
    const auto b = head_of(*bank[1 - i].valves, i == 0 ? 1 : -1);
    if (!a || !b || other.inputs.lift == nullptr) continue;
    own.other_on_same_camshaft = own.camshaft == other.camshaft;
    own.inputs.other = clearance::OtherValve{.heads = {*a, *b},
                                             .lift = other.inputs.lift,
                                             .early = whole_travel(other.phaser),
                                             .uncertainty = between(*bank[i].valves, own)};
    // Its lift is as uncertain as it is on its own, and nothing that it lacks is proven of the way
    // between the two.
    std::optional<Length>& way = own.inputs.other->uncertainty;
    if (way && other.inputs.uncertainty.lift) way = *way + *other.inputs.uncertainty.lift;
    if (!other.inputs.uncertainty.lift) way.reset();
    if (other.inputs.lift_is_assumed) own.inputs.lift_is_assumed = true;
    lacks.at(i) = lacking(other, own);
  }
  for (std::size_t i = 0; i < 2; ++i) {
    std::vector<std::string>& own = all[bank[i].index].not_proven;
    own.insert(own.end(), lacks.at(i).begin(), lacks.at(i).end());
  }
}

}  // namespace

std::vector<ValvesOfCam> valves_of(const LoadedDrive& loaded, const Case* engine) {
  const Drive& drive = loaded.drive;
  std::vector<ValvesOfCam> all;
  for (const Bank& bank : drive.banks) {
    std::vector<Placed> of_bank;
    for (const Camshaft& camshaft : bank.camshafts) {
      for (const Valves& valves : camshaft.valves) {
        ValvesOfCam one{.camshaft = fmt::format("bank {} / {}", bank.number, camshaft.name),
                        .name = valves.name,
                        .written = &valves,
                        .teeth = camshaft.sprocket_teeth.value_or(0),
                        .cylinders = bank.cylinders};
        one.inputs.name = one.camshaft + ", " + one.name;
        one.phaser = phaser_places(camshaft, one.not_proven);
        set_piston(drive, one);
        set_lift(valves, drive.source, one);
        set_gap(valves, drive.source, one);
        one.inputs.uncertainty.phase = CrankAngle{};  // exactly so many teeth off
        if (engine != nullptr) set_on_engine(*engine, camshaft.valves.size(), one);
        if (loaded.unconfirmed.contains(std::string(topic::kValves)))
          one.not_proven.emplace_back("confirms: valves and pistons");
        if (has_errors(loaded.warnings))
          one.not_proven.emplace_back("a definition that does not contradict itself");
        of_bank.push_back({all.size(), &valves});
        all.push_back(std::move(one));
      }
    }
    set_others(all, of_bank);
  }
  return all;
}

clearance::TableCell gap_cell_of(const ValvesOfCam& valves, int teeth, const PhaserPlace& place) {
  ValveInputs inputs = valves.inputs;
  if (inputs.other && valves.other_on_same_camshaft)
    inputs.other->early = {crank_deg(teeth * 720.0 / valves.teeth) + place.early};
  clearance::TableCell cell = clearance::gap_cell(inputs, teeth, place.early, valves.teeth);
  if (!valves.not_proven.empty() && cell.contact == Contact::none_expected)
    cell.contact = Contact::not_known;
  if (cell.contact == Contact::not_known)
    cell.missing.insert(cell.missing.end(), valves.not_proven.begin(), valves.not_proven.end());
  return cell;
}

std::vector<GapRow> gap_rows(const ValvesOfCam& valves) {
  std::vector<GapRow> rows;
  if (valves.teeth == 0) return rows;
  for (int teeth = kTeethInTable; teeth >= -kTeethInTable; --teeth) {
    GapRow row{.teeth = teeth};
    for (const PhaserPlace& place : valves.phaser)
      row.cells.push_back(gap_cell_of(valves, teeth, place));
    rows.push_back(std::move(row));
  }
  return rows;
}

namespace {

void add_once(std::vector<std::string>& words, const std::string& one) {
  if (std::find(words.begin(), words.end(), one) == words.end()) words.push_back(one);
}

// Both heads out as far as they go: then no turn of either camshaft brings them together.
void meet(const ValvesOfCam& one, std::vector<std::string>& not_known) {
  if (!one.inputs.other) {
    add_once(not_known, one.inputs.name + ": the other valve of the cylinder");
    return;
  }
  const clearance::OtherValve& other = *one.inputs.other;
  const Length apart = clearance::head_distance(other.heads.a, one.inputs.lift->highest,
                                                other.heads.b, other.lift->highest);
  const Length wanted = one.inputs.required_sides.value_or(Length{}) +
                        other.uncertainty.value_or(Length{}) +
                        one.inputs.uncertainty.lift.value_or(Length{});
  if (apart < wanted)
    add_once(not_known, one.inputs.name +
                            ": at full lift the valves of a cylinder can meet one another; one "
                            "camshaft at a time, the other one with its valves shut");
}

}  // namespace

Result<std::vector<CrankAngle>> firing_tops_of(const Drive& drive) {
  std::vector<CrankAngle> fires_at;
  if (drive.cylinders)
    for (const Written<CrankAngle>& at : drive.cylinders->fires_at) fires_at.push_back(at.value);
  if (fires_at.empty() || drive.cylinders->firing_order.empty())
    return refuse("cylinders: firing_order and fires_at");
  auto tops = clearance::firing_tops(drive.cylinders->firing_order, fires_at);
  if (!tops) return refuse("cylinders: " + tops.error().why);
  return tops;
}

FreeCamshafts free_camshafts(const LoadedDrive& loaded, const std::vector<ValvesOfCam>& valves) {
  FreeCamshafts out;
  const Drive& drive = loaded.drive;
  if (valves.empty()) out.not_known.emplace_back("valves");
  const auto tops = firing_tops_of(drive);
  if (!tops) out.not_known.push_back(tops.error().why);
  for (const ValvesOfCam& one : valves) {
    for (const std::string& missing : clearance::missing_for_proof(one.inputs))
      add_once(out.not_known, one.inputs.name + ": " + missing);
    for (const std::string& why : one.not_proven)
      add_once(out.not_known, one.inputs.name + ": " + why);
    if (one.cylinders.empty()) add_once(out.not_known, "cylinders of each bank");
  }
  if (!out.not_known.empty()) return out;
  std::vector<clearance::EngineValve> engine;
  for (const ValvesOfCam& one : valves) {
    meet(one, out.not_known);
    out.least = std::max(out.least, *one.inputs.required);
    for (const int cylinder : one.cylinders) {
      if (cylinder < 1 || static_cast<std::size_t>(cylinder) > tops->size()) {
        add_once(out.not_known, "cylinders of each bank");
        continue;
      }
      engine.push_back(
          *clearance::engine_valve(one.inputs, (*tops)[static_cast<std::size_t>(cylinder) - 1]));
    }
  }
  if (!out.not_known.empty()) return out;
  auto windows = clearance::crank_windows(engine, out.least);
  if (windows) out.windows = std::move(*windows);
  if (!windows) out.not_known.push_back(windows.error().why);
  return out;
}

std::string_view contact_text(Contact contact) {
  switch (contact) {
    case Contact::expected:
      return "contact";
    case Contact::below_required:
      return "below the least gap wanted";
    case Contact::none_expected:
      return "no contact expected";
    case Contact::not_known:
      break;
  }
  return "not known";
}

}  // namespace tautmark
