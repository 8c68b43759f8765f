// SPDX-License-Identifier: Apache-2.0
#include "clearance/gap_table.h"

#include <algorithm>
#include <cmath>

#include "clearance/bounds.h"

namespace tautmark::clearance {
namespace {

using Names = std::vector<std::string>;

// Pocket of no height, or no pocket: nothing to ask about its wall.
bool may_have_wall(const ValveInputs& in) {
  if (in.flat_crown.value_or(false)) return false;
  return !in.wall_height || in.wall_height->si() > 0;
}

// An uncertainty below 0 is none.
bool stated(const std::optional<Length>& u) { return u && u->si() >= 0; }

Length or_nothing(const std::optional<Length>& value) { return value.value_or(Length{}); }

// Of the axial gap, all but the phase.
Length axial_uncertainty(const ValveInputs& in) {
  const GapUncertainty& u = in.uncertainty;
  const double cosine = std::cos(in.inclination->si());
  const double along = *in.flat_crown ? 1 / cosine : cosine;
  if (u.measured_gap) return *u.measured_gap * (*in.flat_crown ? along : 1) + or_nothing(u.lift);
  return (or_nothing(u.deck) + or_nothing(u.gasket)) * along + or_nothing(u.recession) +
         or_nothing(u.lift);
}

// The one for either branch of max(c_rad, c_ax - P).
Length wall_uncertainty(const ValveInputs& in) {
  return std::max(or_nothing(in.uncertainty.sides), axial_uncertainty(in));
}

Length required_sides(const ValveInputs& in) {
  return in.required_sides ? *in.required_sides : or_nothing(in.required);
}

// Where one part stands against what it must have.
struct Part {
  Length gap{};
  Length proven{};  // gap - U
  Length required{};
  CrankAngle at{};
  Nearest nearest = Nearest::floor;
};

std::vector<Part> parts_of(const ValveInputs& in, CrankAngle early, TableCell& cell) {
  EngineValve plain = *engine_valve(in, {});
  const CrankAngle within = in.uncertainty.phase.value_or(CrankAngle{});
  plain.taken_off = plain.taken_off_wall = {};
  const LeastGap axial = least_axial(plain, early);
  const Length proven = least_axial(plain, early, within).least - axial_uncertainty(in);
  cell.axial = axial.least;
  cell.uncertainty = axial.least - proven;
  std::vector<Part> parts{{axial.least, proven, or_nothing(in.required), axial.at, axial.nearest}};
  if (const auto wall = least_wall(plain, early)) {
    cell.wall = wall->least;
    parts.push_back({wall->least, least_wall(plain, early, within)->least - wall_uncertainty(in),
                     required_sides(in), wall->at, Nearest::wall});
  }
  if (!in.other || !in.other->lift) return parts;
  std::optional<PairGap> pair;
  for (const CrankAngle other_early : in.other->early)
    pair =
        least_head_distance(in.other->heads, *in.lift, early, *in.other->lift, other_early, pair);
  if (!pair) return parts;
  // A head moves no faster than its lift.
  const Length moved = Length::from_si(within.si() * steepest(*in.lift));
  const Length u = or_nothing(in.other->uncertainty) + or_nothing(in.uncertainty.lift) + moved;
  cell.other = pair->least;
  parts.push_back(
      {pair->least, pair->least - u, required_sides(in), pair->at, Nearest::other_valve});
  return parts;
}

}  // namespace

std::vector<std::string> missing_for_gap(const ValveInputs& in) {
  Names names;
  if (!in.slider) names.emplace_back("stroke and rod length");
  if (!in.lift) names.emplace_back("lift curve of the valve");
  if (!in.inclination) names.emplace_back("inclination of the valve");
  if (!in.flat_crown) names.emplace_back("piston crown (flat or with pockets)");
  if (!in.gap_shut) names.emplace_back("piston gap (valve shut, top dead center)");
  return names;
}

std::vector<std::string> missing_for_proof(const ValveInputs& in) {
  Names names = missing_for_gap(in);
  if (in.lift && in.lift_is_assumed)
    names.emplace_back("lift curve of the valve from the maker or measured: a law is assumed");
  if (may_have_wall(in)) {
    if (!in.wall_height) names.emplace_back("height of the pocket wall");
    if (!in.sides) names.emplace_back("radii and place of valve head and pocket");
    if (!stated(in.uncertainty.sides))
      names.emplace_back("uncertainty of the gap to the pocket wall");
  }
  if (!in.no_other_valve) {
    if (!in.other || !in.other->lift || in.other->early.empty())
      names.emplace_back("valve heads for the distance from valve to valve");
    else if (!stated(in.other->uncertainty))
      names.emplace_back("uncertainty of the distance from valve to valve");
  }
  const GapUncertainty& u = in.uncertainty;
  if (!stated(u.measured_gap)) {
    if (!stated(u.deck)) names.emplace_back("uncertainty of the deck height");
    if (!stated(u.gasket)) names.emplace_back("uncertainty of the gasket thickness");
    if (!stated(u.recession)) names.emplace_back("uncertainty of the valve recession");
  }
  if (!stated(u.lift)) names.emplace_back("uncertainty of the lift");
  if (!u.phase || !(u.phase->si() >= 0)) names.emplace_back("uncertainty of the camshaft phase");
  if (!in.required) names.emplace_back("required minimum of the gap");
  return names;
}

std::optional<EngineValve> engine_valve(const ValveInputs& in, CrankAngle top) {
  if (!missing_for_gap(in).empty()) return std::nullopt;
  return EngineValve{
      .name = in.name,
      .site = {.inclination = *in.inclination,
               .flat_crown = *in.flat_crown,
               .gap_shut = *in.gap_shut,
               .wall_height = in.wall_height,
               .sides = in.sides},
      .slider = *in.slider,
      .top = top,
      .lift = in.lift,
      .taken_off = axial_uncertainty(in),
      .taken_off_wall = wall_uncertainty(in) + required_sides(in) - or_nothing(in.required)};
}

TableCell gap_cell(const ValveInputs& in, double teeth, CrankAngle phaser, int cam_teeth) {
  TableCell cell{.teeth = teeth, .phaser = phaser, .missing = missing_for_gap(in)};
  if (!cell.missing.empty()) return cell;
  const CrankAngle early = crank_deg(720 * teeth / cam_teeth) + phaser;
  cell.missing = missing_for_proof(in);
  bool touches = false, short_of = false;
  for (const Part& part : parts_of(in, early, cell)) {
    // Written so that what is no number never clears.
    touches = touches || !(part.gap.si() > 0);
    short_of = short_of || !(part.proven >= part.required);
    const Length spare = part.proven - part.required;
    if (cell.spare && spare >= *cell.spare) continue;
    cell.spare = spare;
    cell.nearest = part.nearest;
    cell.at = part.at;
  }
  if (touches)
    cell.contact = Contact::expected;
  else if (short_of && in.required)
    cell.contact = Contact::below_required;
  else
    cell.contact = cell.missing.empty() ? Contact::none_expected : Contact::not_known;
  return cell;
}

std::vector<TableCell> gap_table(const ValveInputs& in, int first, int last,
                                 const std::vector<CrankAngle>& phaser, int cam_teeth) {
  std::vector<TableCell> cells;
  for (int teeth = first; teeth <= last; ++teeth)
    for (const CrankAngle place : phaser) cells.push_back(gap_cell(in, teeth, place, cam_teeth));
  return cells;
}

}  // namespace tautmark::clearance
