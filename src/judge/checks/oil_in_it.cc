// SPDX-License-Identifier: Apache-2.0
// The oil that was found in the engine against the specified one, before any pressure is read:
// another grade, or fuel in it. Forecasts from typical oils, always open.
#include <fmt/format.h>

#include <algorithm>

#include "judge/checks/checks.h"
#include "judge/oil_condition.h"
#include "judge/pressure_read.h"
#include "judge/verdict.h"
#include "oil/dilution.h"
#include "oil/grade.h"
#include "oil/viscosity.h"

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

// How much fuel would make it so thin, and what else does.
void add_dilution(const std::string& grade, const WrittenMeasured& found, Finding& finding) {
  const auto limits = oil::grade_limits(grade);
  const oil::OilOfLibrary* typical = oil::oil_of_grade(oil::known_oils(), grade);
  if (!limits || !limits->below_at_100 || typical == nullptr) return;
  const oil::ViscosityRange fresh{limits->least_at_100, typical->viscosity_100.value.value,
                                  *limits->below_at_100};
  const auto explains = oil::dilution_that_explains(fresh, viscosity_of(found), viscosity_U(found),
                                                    oil::gasoline_at_100());
  if (!explains) return;
  finding.follows.push_back(explains->said);
  for (const std::string& cause : explains->other_causes) finding.budget.push_back("or: " + cause);
}

std::string in_grade_words(const oil::GradeCheck& check, const std::string& grade) {
  if (check.answer == oil::AgainstGrade::in_grade)
    return fmt::format("in its grade, {}, by its viscosity at 100 °C", oil::grade_name(grade));
  return check.why;
}

// What a laboratory measured against the grade that the oil has by its label.
std::optional<Finding> measured(const EntryOf<OilFound>& found, const std::string& grade) {
  const auto& hot = found.body->viscosity_100;
  const auto& warm = found.body->viscosity_40;
  Finding finding = told("oil, measured", "", found.entry->id);
  finding.sources = {"SAE J300, January 2015; the laboratory's own report comes first"};
  if (!hot) {
    finding.why = "its viscosity at 100 °C is not entered: its grade cannot be told";
    finding.next = {"the laboratory's viscosity at 100 °C"};
    return finding;
  }
  const auto check = oil::check_grade(grade, grade, viscosity_of(*hot), viscosity_U(*hot));
  if (!check) return std::nullopt;
  finding.why = in_grade_words(*check, grade);
  if (const auto possible = oil::possible_grades(viscosity_of(*hot))) {
    std::string names;
    for (const oil::PossibleGrade& one : possible->grades)
      names += (names.empty() ? "" : ", ") + one.name;
    finding.follows.push_back(
        names.empty() ? "by its viscosity at 100 °C it is none of the grades of SAE J300"
                      : fmt::format("by its viscosity at 100 °C it may be a {} (SAE J300)", names));
  }
  if (warm) {
    const auto index = oil::viscosity_index(viscosity_of(*warm), viscosity_of(*hot));
    if (!index) {
      finding.follows.push_back("the two viscosities cannot be of one oil: " + index.error().why);
    } else {
      finding.follows.push_back(fmt::format("viscosity index {} (ASTM D2270)", index->reported));
      finding.follows.insert(finding.follows.end(), index->warnings.begin(), index->warnings.end());
    }
  }
  if (check->answer == oil::AgainstGrade::out_of_grade) {
    finding.next = {"change the oil, and read the pressures again"};
    add_dilution(grade, *hot, finding);
  }
  return finding;
}

}  // namespace

std::vector<Finding> oil_in_it_found(const CheckInput& input) {
  if (input.drive == nullptr || !input.drive->drive.oil || !input.drive->drive.oil->grade)
    return {};
  const OilInIt oil = oil_in(input);
  const std::string& grade = oil.grade ? *oil.grade->body->grade : *input.drive->drive.oil->grade;
  std::vector<Finding> findings;
  const auto add = [&](std::optional<Finding> finding) {
    if (finding) findings.push_back(std::move(*finding));
  };
  if (oil.grade) add(another_grade(input, *oil.grade));
  if (oil.measured) add(measured(*oil.measured, grade));
  if (const auto smell = fuel_smelled(oil)) add(with_fuel(*smell, grade));
  return findings;
}

}  // namespace tautmark::checks
