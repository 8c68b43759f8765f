// SPDX-License-Identifier: Apache-2.0
// Oil pressure against a limit under the limit's own conditions. A pressure taken with another oil,
// another temperature or another speed has no limit to be compared with: it stays open, whatever
// the number. A main-gallery reading never answers for a head port, and none answers for a
// clearance: these are findings of their own.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/text.h"
#include "drive/drive_fields.h"
#include "judge/against_fit.h"
#include "judge/case_recordings.h"
#include "judge/checks/checks.h"
#include "judge/conditions.h"
#include "measure/statistics.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "oil-pressure";

// Which oil was in it: the latest oil entry before the reading, and what the reading says of it.
ConditionCheck oil_check(const CheckInput& input, const EntryOf<PressureReading>& reading,
                         std::vector<std::string>& evidence) {
  const auto& grade = input.drive->drive.oil->grade;
  if (!grade) return {Met::not_entered, "the drive names no oil grade, so the limit has no oil"};
  const OilFound* before = nullptr;
  bool later = false;
  bool reached = false;
  for (const Entry* entry : input.entries) {
    reached = reached || entry == reading.entry;
    const auto* oil = std::get_if<OilFound>(&entry->body);
    if (oil == nullptr || !oil->grade) continue;
    later = later || reached;
    if (reached) continue;
    before = oil;
    evidence.erase(std::remove(evidence.begin(), evidence.end(), entry->id), evidence.end());
    evidence.push_back(entry->id);
  }
  const bool right = before != nullptr && folded(*before->grade) == folded(*grade);
  if (reading.body->oil == OilState::other)
    return {Met::no, fmt::format("taken with another oil than {}", *grade)};
  if (before != nullptr && !right) {
    if (reading.body->oil == OilState::as_specified)
      return {Met::no, fmt::format("the reading says the specified oil, the oil entry says {}",
                                   *before->grade)};
    return {Met::no,
            fmt::format("{} was in the engine; the limit is for {}", *before->grade, *grade)};
  }
  if (right || reading.body->oil == OilState::as_specified) return {};
  return {Met::not_entered,
          later ? fmt::format("the oil was entered after the pressure: was {} in it then?", *grade)
                : fmt::format("which oil was in it? The limit is for {}", *grade)};
}

// Speed by the program's list unless an instrument is named; the tachometer of the engine is good.
std::vector<ConditionCheck> conditions(const CheckInput& input, const PressureLimit& limit,
                                       const EntryOf<PressureReading>& from,
                                       std::vector<std::string>& evidence) {
  const PressureReading& reading = *from.body;
  double u_temperature = 0;
  if (reading.oil_temperature)
    u_temperature = instrument_data(*input.value, reading.thermometer, Kind::temperature_difference,
                                    reading.oil_temperature->value.si(), 1)
                        .expanded_U /
                    2;
  return {
      range_check(limit.speed, reading.speed, "engine speed", 0),
      range_check(limit.oil_temperature, reading.oil_temperature, "oil temperature", u_temperature),
      oil_check(input, from, evidence)};
}

struct Taken {
  std::vector<std::string> evidence;
  std::vector<std::string> budget;
  ValueInUse value;
  std::optional<std::string> contradiction;
};

// The entries that were taken under one limit's conditions, as one pressure.
std::optional<Taken> pooled(const CheckInput& input,
                            const std::vector<EntryOf<PressureReading>>& entries) {
  Taken taken;
  InstrumentData gauge;
  std::vector<double> all;
  std::vector<std::pair<double, std::string>> means;
  for (const auto& [entry, reading] : entries) {
    const AnyQuantity& first = reading->values.value.values.front();
    const double step = std::pow(10.0, -first.decimals) * first.unit->factor;
    const InstrumentData data =
        instrument_data(*input.value, reading->instrument, Kind::pressure, first.si, step);
    if (data.expanded_U >= gauge.expanded_U) gauge = data;
    std::vector<double> values;
    for (const AnyQuantity& value : reading->values.value.values) values.push_back(value.si);
    const auto summary = summarize(values);
    if (!summary) return std::nullopt;
    means.emplace_back(summary->mean, fmt::format("{} ({})", reading->values.text, entry->id));
    all.insert(all.end(), values.begin(), values.end());
    taken.evidence.push_back(entry->id);
  }
  const auto summary = summarize(all);
  if (!summary) return std::nullopt;
  const double sd = std::max(summary->sd.value_or(gauge.expanded_U / 2), gauge.repeatability_sd);
  const double nu =
      summary->sd && *summary->sd >= gauge.repeatability_sd ? summary->n - 1 : kInfiniteNu;
  const auto budget = combine({{"repeat", sd / std::sqrt(summary->n), nu},
                               {"resolution", resolution_u(gauge.resolution)},
                               {"calibration", gauge.expanded_U / 2}});
  if (!budget) return std::nullopt;
  taken.budget = {gauge.words};
  taken.value = {{summary->mean, budget->u, budget->nu}, sd, summary->n, gauge.expanded_U};
  // Two entries further apart than two gauges can explain, and a tenth of the pressure.
  const double apart = 3 * std::hypot(gauge.expanded_U, gauge.expanded_U) / 2;
  for (const auto& a : means)
    for (const auto& b : means)
      if (a.first < b.first && b.first - a.first > std::max(apart, 0.1 * b.first))
        taken.contradiction = fmt::format(
            "{} and {} under the same conditions contradict each other", a.second, b.second);
  return taken;
}

// What was read before the drive was last opened says nothing of the engine as it is since.
void keep_since_opened(const CheckInput& input, std::vector<EntryOf<PressureReading>>& here) {
  const Entry* last = opened_after(input, here.back().entry);
  std::erase_if(here, [&](const auto& one) { return opened_after(input, one.entry) != last; });
}

Finding judged(const CheckInput& input, const PressureLimit& limit,
               const std::vector<EntryOf<PressureReading>>& here) {
  // The entries that meet the conditions; where none does, the latest of those that come nearest.
  std::vector<EntryOf<PressureReading>> used;
  int least = std::numeric_limits<int>::max();
  for (const auto& reading : here) {
    std::vector<std::string> unused;
    const int bad = badness(conditions(input, limit, reading, unused));
    if (bad < least || bad > 0) {
      if (bad > least) continue;
      used.clear();
    }
    least = bad;
    used.push_back(reading);
  }
  const auto taken = pooled(input, used);
  if (!taken)
    return open_finding("", "", OpenBecause::outside_model, "the readings cannot be used",
                        {"measure again"});
  LimitInUse use = limit_from(limit.limit, limit.source, input.drive);
  use.checked_by = limit.cross_checked_by.value_or("");
  Finding finding;
  finding.evidence = taken->evidence;
  finding.budget = taken->budget;
  decide_finding(finding, taken->value, std::nullopt, use);
  apply_conditions(finding, conditions(input, limit, used.back(), finding.evidence),
                   {.again = "measure again with the specified oil, hot, at the stated speed",
                    .enter = "enter what is missing of speed, oil temperature and oil"});
  std::vector<std::string> named;
  if (oil_check(input, used.back(), named).met == Met::no)
    finding.follows.emplace_back(
        "a thicker oil hides clearance at the journals and slows a phaser");
  if (taken->contradiction) {
    finding.verdict = Verdict::open;
    finding.open_because = OpenBecause::implausible;
    finding.why = *taken->contradiction;
    finding.next = {"measure again, and enter a correction for the entry that is wrong"};
  }
  return finding;
}

std::string subject_of(const EnginePlace& place, const PressureLimit& limit) {
  return limit.speed ? fmt::format("{} at {}", place.path, limit.speed->text) : place.path;
}

}  // namespace

std::vector<Finding> oil_pressure(const CheckInput& input) {
  std::vector<Finding> findings;
  const auto readings = all_of_kind<PressureReading>(input.entries);
  const bool has_limits = input.drive != nullptr && input.drive->drive.oil;
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::oil_port) continue;
    std::vector<EntryOf<PressureReading>> here;
    for (const auto& reading : readings)
      if (same_place(reading.body->place, place.path)) here.push_back(reading);
    if (here.empty()) continue;
    keep_since_opened(input, here);
    bool any_limit = false;
    if (has_limits) {
      for (const PressureLimit& limit : input.drive->drive.oil->pressures) {
        if (!place_matches(limit.at, place)) continue;
        any_limit = true;
        Finding finding = judged(input, limit, here);
        finding.check = kCheck;
        finding.subject = subject_of(place, limit);
        finding.cautions = {
            "hot oil, running engine: keep clear of fan and belts; a hose that lets go sprays"};
        if (finding.verdict == Verdict::pass)
          finding.follows.push_back(
              "says nothing about the ports behind it, nor about any clearance");
        findings.push_back(std::move(finding));
      }
    }
    if (!any_limit) {
      Finding finding =
          open_finding(std::string(kCheck), place.path, OpenBecause::not_in_drive,
                       "pressure read, but no limit is given",
                       {"enter the maker's limit with its speed, oil temperature and oil"});
      for (const auto& reading : here) finding.evidence.push_back(reading.entry->id);
      findings.push_back(std::move(finding));
    }
  }
  return findings;
}

}  // namespace tautmark::checks
