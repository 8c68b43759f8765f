// SPDX-License-Identifier: Apache-2.0
// Oil pressure against a limit under the limit's own conditions. A pressure taken with another oil,
// another temperature or another speed has no limit to be compared with: it stays open, whatever
// the number. A main-gallery reading never answers for a head port, and none answers for a
// clearance: these are findings of their own.
#include <fmt/format.h>

#include <algorithm>
#include <limits>

#include "drive/drive_fields.h"
#include "judge/against_fit.h"
#include "judge/checks/checks.h"
#include "judge/conditions.h"
#include "judge/gauges_together.h"
#include "judge/oil_condition.h"
#include "judge/pressure_read.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "oil-pressure";

Finding judged(const CheckInput& input, const PressureLimit& limit,
               const std::vector<EntryOf<PressureReading>>& here) {
  // The entries that meet the conditions; where none does, the latest of those that come nearest.
  std::vector<EntryOf<PressureReading>> used;
  int least = std::numeric_limits<int>::max();
  for (const auto& reading : here) {
    std::vector<std::string> unused;
    const int bad = badness(limit_conditions(input, limit, reading, unused));
    if (bad < least || bad > 0) {
      if (bad > least) continue;
      used.clear();
    }
    least = bad;
    used.push_back(reading);
  }
  const auto taken = pooled_pressure(input, used);
  if (!taken)
    return open_finding("", "", OpenBecause::outside_model, "the readings cannot be used",
                        {"measure again"});
  LimitInUse use = limit_from(limit.limit, limit.source, input.drive);
  use.checked_by = limit.cross_checked_by.value_or("");
  Finding finding;
  finding.evidence = taken->evidence;
  finding.budget = taken->budget;
  decide_finding(finding, taken->value, std::nullopt, use);
  apply_conditions(finding, limit_conditions(input, limit, used.back(), finding.evidence),
                   {.again = "measure again with the specified oil, hot, at the stated speed",
                    .enter = "enter what is missing of speed, oil temperature and oil"});
  std::vector<std::string> named;
  if (oil_in_it(input, used.back(), named).met == Met::no) {
    const auto grade = grade_in_it(input, used.back());
    finding.follows.emplace_back(
        oil_effect(grade ? against_specified(input, grade->grade) : std::nullopt));
  }
  // A limit holds for sound oil of its grade: with another, neither side of it is proven.
  for (const auto& reading : used) {
    const auto spoiled = spoiled_oil(input, reading.entry->id);
    if (!spoiled || finding.verdict == Verdict::open) continue;
    finding.verdict = Verdict::open;
    finding.open_because = OpenBecause::outside_model;
    finding.why = fmt::format("not comparable: {}; the limit is for sound oil", spoiled->why);
    finding.next = {spoiled->next};
    std::erase(finding.evidence, spoiled->entry);
    finding.evidence.push_back(spoiled->entry);
  }
  if (taken->contradiction) {
    finding.verdict = Verdict::open;
    finding.open_because = OpenBecause::implausible;
    finding.why = *taken->contradiction;
    finding.next = {"measure again, and enter a correction for the entry that is wrong"};
  }
  return finding;
}

// Of a head above its gallery one gauge is wrong, nobody knows which: neither proves anything.
void doubt(const std::optional<GaugesCannotBe>& wrong, Finding& finding) {
  if (!wrong || std::ranges::none_of(finding.evidence, [&](const std::string& entry) {
        return is_one_of(*wrong, entry);
      }))
    return;
  finding.verdict = Verdict::open;
  finding.open_because = OpenBecause::implausible;
  finding.why = wrong->why;
  finding.next = {std::string(kBothGaugesAgain)};
}

}  // namespace

std::vector<Finding> oil_pressure(const CheckInput& input) {
  std::vector<Finding> findings;
  const auto readings = all_of_kind<PressureReading>(input.entries);
  const auto wrong = gauges_cannot_be(gauges_together(input, GaugesOf::now, 1));
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
        finding.subject = port_and_limit(place, limit);
        doubt(wrong, finding);
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
