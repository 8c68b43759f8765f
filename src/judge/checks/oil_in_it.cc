// SPDX-License-Identifier: Apache-2.0
// The oil that was found in the engine against the specified one, before any pressure is read:
// another grade, or fuel in it. Forecasts from typical oils, always open.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "judge/checks/checks.h"
#include "judge/pressure_read.h"
#include "judge/verdict.h"
#include "oil/dilution.h"
#include "oil/grade.h"

namespace tautmark::checks {
namespace {

constexpr double kFuel = 0.05;  // share that the estimate is made for

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

// Which fuel is not asked: from the thinnest of gasoline to the thickest of diesel.
std::optional<Finding> with_fuel(const EntryOf<OilFound>& found, const std::string& grade) {
  const oil::OilOfLibrary* typical = oil::oil_of_grade(oil::known_oils(), grade);
  if (typical == nullptr) return std::nullopt;
  const KinematicViscosity fresh = typical->viscosity_100.value.value;
  const auto thin = oil::diluted(fresh, oil::gasoline_at_100(), kFuel);
  const auto thick = oil::diluted(fresh, oil::diesel_at_100(), kFuel);
  if (!thin || !thick) return std::nullopt;
  const double most = 1 - std::min(thin->least, thick->least) / fresh;
  const double least = 1 - std::max(thin->most, thick->most) / fresh;
  Finding finding =
      told("oil, fuel in it",
           fmt::format("it smells of fuel: {:.0f} % of fuel would make {} about {:.0f} to {:.0f} % "
                       "thinner, hot",
                       100 * kFuel, oil::grade_name(grade), 100 * least, 100 * most),
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
  static constexpr std::array<std::string_view, 4> kFuels = {"fuel", "petrol", "gasoline",
                                                             "diesel"};
  if (input.drive == nullptr || !input.drive->drive.oil || !input.drive->drive.oil->grade)
    return {};
  std::optional<EntryOf<OilFound>> grade, smell;
  for (const auto& found : all_of_kind<OilFound>(input.entries)) {
    if (found.body->grade) {
      grade = found;
      smell.reset();  // another entry, another oil
    }
    if (found.body->smell) smell = found;
  }
  std::vector<Finding> findings;
  if (grade)
    if (auto finding = another_grade(input, *grade)) findings.push_back(std::move(*finding));
  if (smell && oil_words_say(*smell->body->smell, kFuels))
    if (auto finding =
            with_fuel(*smell, grade ? *grade->body->grade : *input.drive->drive.oil->grade))
      findings.push_back(std::move(*finding));
  return findings;
}

}  // namespace tautmark::checks
