// SPDX-License-Identifier: Apache-2.0
// Oil pressure against a limit under the limit's own conditions. A pressure taken with another oil,
// another temperature or another speed has no limit to be compared with: it stays open, whatever
// the number. A main-gallery reading never answers for a head port, and none answers for a
// clearance: these are findings of their own.
#include <fmt/format.h>

#include "base/text.h"
#include "drive/drive_fields.h"
#include "judge/against_fit.h"
#include "judge/checks/checks.h"
#include "measure/statistics.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "oil-pressure";

enum class Met { yes, no, not_entered, too_close };

struct ConditionCheck {
  Met met = Met::yes;
  std::string words;
};

template <class Q>
ConditionCheck range_check(const std::optional<WrittenRange<Q>>& wanted,
                           const std::optional<Written<Q>>& found, std::string_view what,
                           double u) {
  if (!wanted) return {};
  if (!found)
    return {Met::not_entered,
            fmt::format("{} not entered; the limit is for {}", what, wanted->text)};
  const Limits limits{wanted->lower ? std::optional(wanted->lower->si()) : std::nullopt,
                      wanted->upper ? std::optional(wanted->upper->si()) : std::nullopt};
  const auto decision = decide({found->value.si(), u}, limits, kLevel, ZeroUncertainty::accept);
  if (!decision) return {Met::not_entered, decision.error().why};
  if (decision->conformity == Conformity::pass) return {};
  const Met met = decision->conformity == Conformity::fail ? Met::no : Met::too_close;
  return {met, fmt::format("taken at {} {}{}; the limit is for {}", what, found->text,
                           met == Met::too_close ? ", too close to tell" : "", wanted->text)};
}

ConditionCheck oil_check(const CheckInput& input, const PressureReading& reading,
                         std::vector<std::string>& evidence) {
  const auto& grade = input.drive->drive.oil->grade;
  if (!grade) return {Met::not_entered, "the drive names no oil grade, so the limit has no oil"};
  if (reading.oil == OilState::as_specified) return {};
  if (reading.oil == OilState::other)
    return {Met::no, fmt::format("taken with another oil than {}", *grade)};
  for (const auto& [entry, found] : all_of_kind<OilFound>(input.entries)) {
    if (!found->grade) continue;
    evidence.push_back(entry->id);
    if (folded(*found->grade) == folded(*grade)) return {};
    return {Met::no,
            fmt::format("{} was in the engine; the limit is for {}", *found->grade, *grade)};
  }
  return {Met::not_entered, fmt::format("which oil was in it? The limit is for {}", *grade)};
}

// Speed by the program's list unless an instrument is named; the tachometer of the engine is good.
std::vector<ConditionCheck> conditions(const CheckInput& input, const PressureLimit& limit,
                                       const PressureReading& reading,
                                       std::vector<std::string>& evidence) {
  double u_temperature = 0;
  if (reading.oil_temperature)
    u_temperature = instrument_data(*input.value, reading.thermometer, Kind::temperature_difference,
                                    reading.oil_temperature->value.si(), 1)
                        .expanded_U /
                    2;
  return {
      range_check(limit.speed, reading.speed, "engine speed", 0),
      range_check(limit.oil_temperature, reading.oil_temperature, "oil temperature", u_temperature),
      oil_check(input, reading, evidence)};
}

int badness(const std::vector<ConditionCheck>& checks) {
  int worst = 0;
  for (const ConditionCheck& check : checks)
    worst += check.met == Met::yes ? 0 : check.met == Met::no ? 100 : 1;
  return worst;
}

Finding judged(const CheckInput& input, const PressureLimit& limit,
               const EntryOf<PressureReading>& reading) {
  Finding finding;
  finding.evidence = {reading.entry->id};
  std::vector<double> values;
  for (const AnyQuantity& value : reading.body->values.value.values) values.push_back(value.si);
  const AnyQuantity& first = reading.body->values.value.values.front();
  const double step = std::pow(10.0, -first.decimals) * first.unit->factor;
  const InstrumentData gauge =
      instrument_data(*input.value, reading.body->instrument, Kind::pressure, values.front(), step);
  const auto summary = summarize(values);
  LimitInUse use = limit_from(limit.limit, limit.source, input.drive);
  use.checked_by = limit.cross_checked_by.value_or("");
  if (!summary) return open_finding("", "", OpenBecause::outside_model, summary.error().why);
  const double sd = std::max(summary->sd.value_or(gauge.expanded_U / 2), gauge.repeatability_sd);
  const double nu =
      summary->sd && *summary->sd >= gauge.repeatability_sd ? summary->n - 1 : kInfiniteNu;
  const auto budget = combine({{"repeat", sd / std::sqrt(summary->n), nu},
                               {"resolution", resolution_u(gauge.resolution)},
                               {"calibration", gauge.expanded_U / 2}});
  if (!budget) return open_finding("", "", OpenBecause::outside_model, budget.error().why);
  finding.budget = {gauge.words};
  decide_finding(finding, {{summary->mean, budget->u, budget->nu}, sd, summary->n}, std::nullopt,
                 use);

  const auto checks = conditions(input, limit, *reading.body, finding.evidence);
  std::string problems;
  OpenBecause because = OpenBecause::not_measured;
  for (const ConditionCheck& check : checks) {
    if (check.met == Met::yes) continue;
    problems += (problems.empty() ? "" : "; ") + check.words;
    if (check.met == Met::no) because = OpenBecause::outside_model;
    if (check.met == Met::too_close && because == OpenBecause::not_measured)
      because = OpenBecause::too_close;
  }
  if (!problems.empty()) {
    finding.verdict = Verdict::open;
    finding.open_because = because;
    finding.why = fmt::format("{}: not comparable: {}", finding.value->shown, problems);
    finding.next = {because == OpenBecause::outside_model
                        ? "measure again with the specified oil, hot, at the stated speed"
                    : because == OpenBecause::too_close
                        ? "measure again with the oil clearly hotter, or with a better thermometer"
                        : "enter what is missing of speed, oil temperature and oil"};
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
    bool any_limit = false;
    if (has_limits) {
      for (const PressureLimit& limit : input.drive->drive.oil->pressures) {
        if (!place_matches(limit.at, place)) continue;
        any_limit = true;
        // The reading that comes nearest to the limit's conditions; the latest of equals.
        const EntryOf<PressureReading>* best = nullptr;
        int best_badness = 0;
        for (const auto& reading : here) {
          std::vector<std::string> unused;
          const int bad = badness(conditions(input, limit, *reading.body, unused));
          if (best == nullptr || bad <= best_badness) {
            best = &reading;
            best_badness = bad;
          }
        }
        Finding finding = judged(input, limit, *best);
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
