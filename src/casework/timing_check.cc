// SPDX-License-Identifier: Apache-2.0
#include "casework/timing_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/text.h"
#include "casework/mark_words.h"

namespace tautmark {
namespace {

// Outside these a slip of the unit, or of the zero that it was counted from, is certain.
constexpr double kWidestStop = 120, kNarrowestStop = 1;   // crank deg from the top
constexpr double kCycle = 720;                            // crank deg, either way
constexpr double kMostLift = 40e-3, kLeastShown = -5e-3;  // m; an indicator may stand below zero
// A table with a reading for each crank degree of a cycle, and as many again; what fits a phase
// and the zero of the indicator needs five.
constexpr std::size_t kMostRows = 1500, kFewestRows = 5, kMostPairs = 50;

void check_cylinder(const CaseCheck& check, const std::optional<int>& cylinder, std::size_t index) {
  if (!cylinder) return;
  int most = 0;
  for (const LoadedDrive& drive : check.loaded().drives) {
    if (!drive.drive.cylinders || !drive.drive.cylinders->count) return;
    most = std::max(most, *drive.drive.cylinders->count);
  }
  if (most > 0 && *cylinder > most)
    check.error(entry_path(index, "cylinder"),
                fmt::format("there is no cylinder {}: the engine has {}", *cylinder, most));
}

// Which valves, where a camshaft works more than one kind.
void check_valves(const CaseCheck& check, const std::string& place,
                  const std::optional<std::string>& valves, std::size_t index) {
  std::vector<std::string> known;
  for (const LoadedDrive& loaded : check.loaded().drives)
    for (const Bank& bank : loaded.drive.banks)
      for (const Camshaft& camshaft : bank.camshafts) {
        if (!same_place(fmt::format("bank {} / {}", bank.number, camshaft.name), place)) continue;
        if (camshaft.valves.empty()) return;
        for (const Valves& one : camshaft.valves)
          if (std::find(known.begin(), known.end(), one.name) == known.end())
            known.push_back(one.name);
      }
  if (known.empty()) return;
  if (!valves) {
    if (known.size() > 1)
      check.error(entry_path(index),
                  fmt::format("{} works {}: which of them was it?", place, joined(known, " and ")),
                  fmt::format("valves: {}", known.front()));
    return;
  }
  if (std::none_of(known.begin(), known.end(),
                   [&](const std::string& one) { return folded(one) == folded(*valves); }))
    check.error(entry_path(index, "valves"),
                fmt::format("{} works no valves \"{}\"", place, *valves),
                fmt::format("known: {}", joined(known, "; ")));
}

bool check_crank_degrees(const CaseCheck& check, const WrittenList& list, const std::string& path,
                         std::string_view example) {
  if (list.value.kind == Kind::crank_angle) return true;
  check.error(path, fmt::format("\"{}\" are not crank degrees", list.text),
              fmt::format("write them as {} deg crank", example));
  return false;
}

void check_angle(const CaseCheck& check, const Written<CrankAngle>& angle,
                 const std::string& path) {
  if (!(std::abs(in_crank_deg(angle.value)) <= kCycle))
    check.error(path, fmt::format("{} is more than a cycle from its zero", angle.text),
                "after the top dead center of gas exchange; before it negative");
}

void check_lift(const CaseCheck& check, const Written<Length>& lift, const std::string& path) {
  if (!(lift.value.si() >= kLeastShown && lift.value.si() <= kMostLift))
    check.error(path,
                fmt::format("{} cannot be the lift of a valve: is the unit right?", lift.text));
}

void check_pair(const CaseCheck& check, const EqualLift& pair, const std::string& path) {
  check_lift(check, pair.lift, path + ".lift");
  check_angle(check, pair.opens, path + ".opens");
  check_angle(check, pair.closes, path + ".closes");
  const double open = in_crank_deg(pair.closes.value - pair.opens.value);
  if (!(open > 0 && open < kCycle))
    check.error(path + ".closes",
                fmt::format("{} opening and {} closing are not one after the other within a cycle",
                            pair.opens.text, pair.closes.text),
                "on one scale in running direction; before the top dead center negative",
                path + ".opens", "it opens here");
}

}  // namespace

void check_stop(const CaseCheck& check, const StopReading& stop, std::size_t index) {
  check_cylinder(check, stop.cylinder, index);
  const bool degrees =
      check_crank_degrees(check, stop.before, entry_path(index, "before"), "24.5 24.4") &&
      check_crank_degrees(check, stop.after, entry_path(index, "after"), "22.1 22.2");
  if (!degrees) return;
  const auto &before = stop.before.value.values, &after = stop.after.value.values;
  if (before.size() != after.size()) {
    check.error(entry_path(index, "after"),
                fmt::format("{} readings after the zero and {} before it are no pairs",
                            after.size(), before.size()),
                "one on each side for every time against the stop", entry_path(index, "before"),
                "those before it are here");
    return;
  }
  if (before.size() > kMostPairs)
    check.error(entry_path(index, "before"),
                fmt::format("{} pairs; at most {} are read", before.size(), kMostPairs));
  for (std::size_t i = 0; i < before.size() && i < kMostPairs; ++i) {
    const double half = (before[i].si + after[i].si) / 2 / kRadiansPerDegree;
    if (half >= kNarrowestStop && half <= kWidestStop) continue;
    check.error(
        entry_path(index, "before"),
        fmt::format("pair {}: a stop met {:.1f}° to either side of the top is none", i + 1, half),
        "both are counted from the zero of the wheel: so many degrees before it, so many "
        "after it");
    return;
  }
}

void check_indicator(const CaseCheck& check, const IndicatorReading& reading, std::size_t index) {
  check.check_place(reading.place, entry_path(index, "place"), PlaceType::camshaft);
  check_valves(check, reading.place, reading.valves, index);
  check_cylinder(check, reading.cylinder, index);
  if (reading.pairs.empty() && reading.table.empty())
    check.error(entry_path(index), "no lift was read",
                "pairs with lift, opens, closes; or a table with at, lift");
  if (reading.pairs.size() > kMostPairs || reading.table.size() > kMostRows) {
    const bool pairs = reading.pairs.size() > kMostPairs;
    check.error(entry_path(index, pairs ? "pairs" : "table"),
                fmt::format("{} rows; at most {} are read",
                            pairs ? reading.pairs.size() : reading.table.size(),
                            pairs ? kMostPairs : kMostRows));
    return;
  }
  if (reading.pairs.empty() && !reading.table.empty() && reading.table.size() < kFewestRows)
    check.error(entry_path(index, "table"),
                fmt::format("{} rows show no lobe; {} or more are needed", reading.table.size(),
                            kFewestRows),
                "every 5 or 10 deg crank over the whole lobe; two angles of equal lift are pairs");
  if (reading.as_lobe == true && reading.table.empty())
    check.error(entry_path(index, "as_lobe"), "pairs are no lift curve, and there is no table",
                "read the lift over the whole lobe, or leave it out");
  for (std::size_t i = 0; i < reading.pairs.size(); ++i)
    check_pair(check, reading.pairs[i], entry_path(index, fmt::format("pairs[{}]", i)));
  for (std::size_t i = 0; i < reading.table.size(); ++i) {
    if (check.is_full()) return;
    const std::string path = entry_path(index, fmt::format("table[{}]", i));
    check_angle(check, reading.table[i].at, path + ".at");
    check_lift(check, reading.table[i].lift, path + ".lift");
  }
}

void check_valve_gap(const CaseCheck& check, const ValveGap& gap, std::size_t index) {
  check.check_place(gap.place, entry_path(index, "place"), PlaceType::camshaft);
  check_valves(check, gap.place, gap.valves, index);
  check_cylinder(check, gap.cylinder, index);
  const AnyMeasured& value = gap.gap.value;
  if (value.value.kind != Kind::length)
    check.error(entry_path(index, "gap"), fmt::format("{} is {}; a gap is a length", gap.gap.text,
                                                      kind_name(value.value.kind)));
  else if (!(value.value.si > 0 && value.value.si <= kMostLift))
    check.error(
        entry_path(index, "gap"),
        fmt::format("{} cannot be a gap of valve and piston: is the unit right?", gap.gap.text));
  if (!value.expanded_si)
    check.error(entry_path(index, "gap"), "a gap proves nothing without its uncertainty",
                "gap: 5.1 ± 0.2 mm");
}

void check_standing(const CaseCheck& check, const Standing& standing, std::size_t index) {
  if (standing.crank) {
    const AnyQuantity& crank = standing.crank->value.value;
    if (crank.kind != Kind::crank_angle)
      check.error(entry_path(index, "crank"),
                  fmt::format("{} is {}; the crankshaft stands at crank degrees",
                              standing.crank->text, kind_name(crank.kind)),
                  "crank: 75 ± 1 deg crank");
    else if (!(std::abs(crank.si) <= kCycle * kRadiansPerDegree))
      check.error(entry_path(index, "crank"),
                  fmt::format("{} is more than a cycle", standing.crank->text));
  }
  if (standing.wanted) check_angle(check, *standing.wanted, entry_path(index, "wanted"));
  if (standing.wanted_after && !standing.wanted)
    check.error(entry_path(index, "wanted_after"),
                "it says after which top dead center, and not where", "wanted: 0 deg crank");
  constexpr std::size_t kMostCamshafts = 16;
  if (standing.camshafts.size() > kMostCamshafts) {
    check.error(entry_path(index, "camshafts"),
                fmt::format("{} of them; no engine has so many", standing.camshafts.size()));
    return;
  }
  std::map<std::string, std::size_t> seen;
  for (std::size_t i = 0; i < standing.camshafts.size(); ++i) {
    const CamStanding& camshaft = standing.camshafts[i];
    const std::string path = entry_path(index, fmt::format("camshafts[{}]", i));
    check.check_place(camshaft.at, path + ".at", PlaceType::camshaft);
    const auto [first, is_new] = seen.emplace(folded(camshaft.at), i);
    if (!is_new)
      check.error(path + ".at", fmt::format("{} stands here a second time", camshaft.at), {},
                  entry_path(index, fmt::format("camshafts[{}].at", first->second)),
                  "the first one is here");
    if (!camshaft.stands) continue;
    const auto words = read_mark_words(*camshaft.stands);
    if (!words) check.error(path + ".stands", words.error().problem, words.error().hint);
  }
}

}  // namespace tautmark
