// SPDX-License-Identifier: Apache-2.0
#include "report/clearance_json.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "judge/event_words.h"
#include "judge/gap_words.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;
using clearance::Contact;
using clearance::TableCell;

Json millimeters(const std::optional<Length>& length) {
  return length ? Json(in_mm(*length)) : Json(nullptr);
}

Json cell_json(const TableCell& cell, const PhaserPlace& place) {
  return {{"phaser", place.words},
          {"early_crank_deg", in_crank_deg(place.early)},
          {"answer", contact_text(cell.contact)},
          {"gap_mm", millimeters(cell.axial)},
          {"uncertainty_mm", millimeters(cell.uncertainty)},
          {"wall_mm", millimeters(cell.wall)},
          {"other_valve_mm", millimeters(cell.other)},
          {"spare_mm", millimeters(cell.spare)},
          {"nearest", cell.axial ? Json(nearest_text(cell.nearest)) : Json(nullptr)},
          {"at_crank_deg", cell.axial ? Json(in_crank_deg(cell.at)) : Json(nullptr)},
          {"missing", cell.missing},
          {"words", gap_words(cell)}};
}

Json valves_json(const ValvesOfCam& valves, const std::vector<GapRow>& table) {
  Json rows = Json::array();
  for (const GapRow& row : table) {
    Json cells = Json::array();
    for (std::size_t i = 0; i < row.cells.size(); ++i)
      cells.push_back(cell_json(row.cells[i], valves.phaser[i]));
    rows.push_back(
        {{"teeth_early", row.teeth}, {"words", teeth_words(row.teeth)}, {"cells", cells}});
  }
  std::vector<std::string> missing = clearance::missing_for_proof(valves.inputs);
  missing.insert(missing.end(), valves.not_proven.begin(), valves.not_proven.end());
  if (valves.teeth == 0) missing.emplace_back("sprocket_teeth");
  return {{"camshaft", valves.camshaft},
          {"valves", valves.name},
          {"least_wanted_mm", millimeters(valves.inputs.required)},
          {"missing", missing},
          {"rows", rows}};
}

Json free_json(const FreeCamshafts& free) {
  Json windows = Json::array();
  for (const clearance::CrankWindow& window : free.windows)
    windows.push_back({{"from_crank_deg", in_crank_deg(window.from)},
                       {"to_crank_deg", in_crank_deg(window.to)},
                       {"park_crank_deg", in_crank_deg(window.park)},
                       {"at_park_mm", in_mm(window.at_park)}});
  return {{"windows", windows},
          {"least_mm", free.not_known.empty() ? Json(in_mm(free.least)) : Json(nullptr)},
          {"not_known", free.not_known}};
}

Json freed_json(const FreedCamshafts& freed) {
  Json camshafts = Json::array(), parking = Json::array();
  for (const FreedCamshaft& one : freed.camshafts) {
    Json rests = Json::array();
    for (const clearance::RestPlace& rest : one.rests)
      rests.push_back(
          {{"from_cam_deg", in_cam_deg(rest.from)}, {"to_cam_deg", in_cam_deg(rest.to)}});
    camshafts.push_back({{"camshaft", one.camshaft}, {"most_Nm", one.most.si()}, {"rests", rests}});
  }
  for (const ParkingPlace& place : freed.parking) {
    Json pushed = Json::array();
    for (const Pushed& one : place.camshafts)
      pushed.push_back({{"camshaft", one.camshaft},
                        {"by_cam_deg", in_cam_deg(one.snap.by)},
                        {"with_Nm", std::abs(one.snap.with.si())},
                        {"words", push_words(one)}});
    parking.push_back({{"crank_deg", in_crank_deg(place.crank)},
                       {"worst_Nm", place.worst.si()},
                       {"camshafts", pushed}});
  }
  return {{"camshafts", camshafts}, {"parking", parking}, {"not_known", freed.not_known}};
}

}  // namespace

ClearanceShown clearance_shown(const LoadedDrive& drive, const Case* engine) {
  ClearanceShown shown{.drive = &drive, .valves = valves_of(drive, engine)};
  for (const ValvesOfCam& valves : shown.valves) shown.rows.push_back(gap_rows(valves));
  shown.events = definition_events(drive.drive);
  shown.free = free_camshafts(drive, shown.valves);
  shown.freed = freed_camshafts(drive, shown.valves, shown.free);
  return shown;
}

std::vector<std::string> clearance_cautions() {
  return {
      "This table does not allow turning: where this engine stands is another question, answered "
      "by its case.",
      "One camshaft exactly so many teeth off, all others right; a worn chain adds to it. Rigid "
      "parts, cold, turned slowly by hand.",
      "It does not hold after the engine ran or was cranked with the timing off until a leak-down "
      "test or a borescope says that the valves are straight; nor with another gasket, a surfaced "
      "head or block, other pistons, valves or camshafts, pumped-up adjusters, or anything in the "
      "cylinder.",
      "A freed camshaft snaps round without warning: hold it at its flats, it may go either way; "
      "fingers out. Never on the starter.",
      "The engine maker's current data and procedure for this exact engine come first."};
}

std::vector<std::string> without_figures() {
  return {
      "Leave the crank where it is. Take the valves out of the question first: every follower out, "
      "or the camshaft caps loosened evenly in the maker's sequence so that the valves close; only "
      "then bring the pistons mid-stroke.",
      "Lift, only where turning is allowed or on the bench: a dial indicator on the valve or "
      "follower, every 5 deg of crank in running direction, "
      "over the whole lobe.",
      "Gap: on a dismantled engine, soft clay on the piston under a light checking spring, turned "
      "through by hand and cut; or push the valve down by hand at top dead center against a dial "
      "indicator. The same shows how far the wall of the pocket stands off the head."};
}

Json clearance_json(const ClearanceShown& shown) {
  Json valves = Json::array();
  for (std::size_t i = 0; i < shown.valves.size(); ++i)
    valves.push_back(valves_json(shown.valves[i], shown.rows[i]));
  return {{"drive", shown.drive->drive.name},
          {"turn", "DO NOT TURN"},
          {"valves", valves},
          {"events", shown.events},
          {"free_camshafts", free_json(shown.free)},
          {"freed_camshafts", freed_json(shown.freed)},
          {"cautions", clearance_cautions()},
          {"without_figures", without_figures()}};
}

}  // namespace tautmark
