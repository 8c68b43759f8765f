// SPDX-License-Identifier: Apache-2.0
// The oil that was found in the engine against the specified one, before any pressure is read:
// another grade, or fuel in it. Forecasts from typical oils, always open.
#include <fmt/format.h>

#include <algorithm>

#include "judge/checks/checks.h"
#include "judge/oil_fuel.h"
#include "judge/pressure_read.h"
#include "judge/verdict.h"
#include "oil/grade.h"

namespace tautmark::checks {
namespace {

Finding told(std::string subject, std::string why, const std::string& entry) {
  Finding finding =
      open_finding("oil-in-it", std::move(subject), OpenBecause::forecast, std::move(why));
  finding.forecast = true;
  finding.evidence = {entry};
  return finding;
}

// `oil-pressure` says it of the reading itself.
bool is_said(const CheckInput& input, std::string_view effect) {
  const std::vector<Finding> pressures = oil_pressure(input);
  return std::any_of(pressures.begin(), pressures.end(), [&](const Finding& finding) {
    return std::find(finding.follows.begin(), finding.follows.end(), effect) !=
           finding.follows.end();
  });
}

std::optional<Finding> another_grade(const CheckInput& input, const EntryOf<OilFound>& found) {
  const std::string& specified = *input.drive->drive.oil->grade;
  const auto compared = against_specified(input, *found.body->grade);
  if (!compared || compared->same_grade) return std::nullopt;
  Finding finding = told("oil", compared->said, found.entry->id);
  const std::string_view effect = oil_effect(compared);
  if (!is_said(input, effect)) finding.follows.emplace_back(effect);
  finding.next = {fmt::format("read pressures with {} in it", specified)};
  finding.budget = {"typical viscosities: real oils of one grade scatter by 10 %"};
  return finding;
}

std::optional<Finding> with_fuel(const EntryOf<OilFound>& found, const std::string& grade) {
  const auto thinner = thinned_by_fuel(grade);
  if (!thinner) return std::nullopt;
  Finding finding =
      told("oil, fuel in it",
           fmt::format("it smells of fuel: {:.0f} % of fuel would make {} about {:.0f} to {:.0f} % "
                       "thinner, hot",
                       100 * kFuelAsked, oil::grade_name(grade), 100 * thinner->least,
                       100 * thinner->most),
           found.entry->id);
  finding.follows = {
      "a pressure read with it is low for that alone: a low one is no proof of a worn journal"};
  finding.next = {
      "change the oil, and find where the fuel comes from, before a pressure is judged"};
  finding.budget = {"the smell says nothing of how much: only a laboratory does"};
  finding.sources = {"blending by log log Z and by log ν (ASTM D7152, Arrhenius)"};
  return finding;
}

}  // namespace

std::vector<Finding> oil_in_it_found(const CheckInput& input) {
  if (input.drive == nullptr || !input.drive->drive.oil || !input.drive->drive.oil->grade)
    return {};
  std::optional<EntryOf<OilFound>> grade;
  for (const auto& found : all_of_kind<OilFound>(input.entries))
    if (found.body->grade) grade = found;
  std::vector<Finding> findings;
  if (grade)
    if (auto finding = another_grade(input, *grade)) findings.push_back(std::move(*finding));
  if (const auto smell = fuel_smelled(input))
    if (auto finding =
            with_fuel(*smell, grade ? *grade->body->grade : *input.drive->drive.oil->grade))
      findings.push_back(std::move(*finding));
  return findings;
}

}  // namespace tautmark::checks
