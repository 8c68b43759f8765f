// SPDX-License-Identifier: Apache-2.0
#include "judge/oil_condition.h"

#include <algorithm>
#include <array>

#include "judge/pressure_read.h"
#include "oil/dilution.h"
#include "oil/grade.h"
#include "oil/library.h"

namespace tautmark {
namespace {

// The latest entries of the oil before `at` that speak of its level and of its smell.
struct OilSaid {
  std::optional<EntryOf<OilFound>> level{}, smell{};
};
OilSaid oil_said(const CheckInput& input, std::string_view at) {
  OilSaid said;
  for (const Entry* entry : input.entries) {
    if (!at.empty() && entry->id == at) break;
    const auto* found = std::get_if<OilFound>(&entry->body);
    if (found == nullptr) continue;
    if (found->level) said.level = EntryOf<OilFound>{entry, found};
    if (found->smell) said.smell = EntryOf<OilFound>{entry, found};
  }
  return said;
}

bool is_low(const OilSaid& said) {
  static constexpr std::array<std::string_view, 4> kLow = {"low", "below", "under", "empty"};
  return said.level && oil_words_say(*said.level->body->level, kLow);
}

bool foams(const OilSaid& said) {
  static constexpr std::array<std::string_view, 5> kFoam = {"foam", "foamy", "foaming", "froth",
                                                            "milky"};
  return said.smell && oil_words_say(*said.smell->body->smell, kFoam);
}

}  // namespace

bool is_aerated(const CheckInput& input, std::string_view at) {
  const OilSaid said = oil_said(input, at);
  return is_low(said) || foams(said);
}

KinematicViscosity viscosity_of(const WrittenMeasured& written) {
  return KinematicViscosity::from_si(written.value.value.si);
}
KinematicViscosity viscosity_U(const WrittenMeasured& written) {
  return KinematicViscosity::from_si(
      written.value.expanded_si.value_or(0.01 * written.value.value.si));
}

std::optional<EntryOf<OilFound>> found_out_of_grade(const CheckInput& input, std::string_view at) {
  if (input.drive == nullptr || !input.drive->drive.oil || !input.drive->drive.oil->grade)
    return std::nullopt;
  std::string grade = *input.drive->drive.oil->grade;
  std::optional<EntryOf<OilFound>> measured;
  for (const Entry* entry : input.entries) {
    if (!at.empty() && entry->id == at) break;
    const auto* found = std::get_if<OilFound>(&entry->body);
    if (found == nullptr) continue;
    if (found->grade) {
      grade = *found->grade;
      measured.reset();  // another entry, another oil
    }
    if (found->viscosity_100) measured = EntryOf<OilFound>{entry, found};
  }
  if (!measured) return std::nullopt;
  const WrittenMeasured& hot = *measured->body->viscosity_100;
  const auto check = oil::check_grade(grade, grade, viscosity_of(hot), viscosity_U(hot));
  if (!check || check->answer != oil::AgainstGrade::out_of_grade) return std::nullopt;
  return measured;
}

std::optional<OilSpoiled> spoiled_oil(const CheckInput& input, std::string_view at) {
  constexpr const char* kChange = "change the oil, and read the pressure again";
  if (const auto measured = found_out_of_grade(input, at))
    return OilSpoiled{"a laboratory found the oil out of its grade", kChange, measured->entry->id};
  if (const auto fuel = fuel_smelled(input, at))
    return OilSpoiled{"fuel was in the oil", kChange, fuel->entry->id};
  const OilSaid said = oil_said(input, at);
  if (foams(said)) return OilSpoiled{"the oil foamed", kChange, said.smell->entry->id};
  if (is_low(said))
    return OilSpoiled{"the level of the oil was low",
                      "top it up, read the pressure again, and find where it went",
                      said.level->entry->id};
  return std::nullopt;
}

std::optional<EntryOf<OilFound>> fuel_smelled(const CheckInput& input, std::string_view at) {
  static constexpr std::array<std::string_view, 4> kFuels = {"fuel", "petrol", "gasoline",
                                                             "diesel"};
  std::optional<EntryOf<OilFound>> smell;
  for (const Entry* entry : input.entries) {
    if (!at.empty() && entry->id == at) break;
    const auto* found = std::get_if<OilFound>(&entry->body);
    if (found == nullptr) continue;
    if (found->grade) smell.reset();  // another entry, another oil
    if (found->smell) smell = EntryOf<OilFound>{entry, found};
  }
  if (!smell || !oil_words_say(*smell->body->smell, kFuels)) return std::nullopt;
  return smell;
}

std::optional<ThinnedByFuel> thinned_by_fuel(std::string_view grade) {
  const oil::OilOfLibrary* typical = oil::oil_of_grade(oil::known_oils(), grade);
  if (typical == nullptr) return std::nullopt;
  const KinematicViscosity fresh = typical->viscosity_100.value.value;
  const auto thin = oil::diluted(fresh, oil::gasoline_at_100(), kFuelAsked);
  const auto thick = oil::diluted(fresh, oil::diesel_at_100(), kFuelAsked);
  if (!thin || !thick) return std::nullopt;
  return ThinnedByFuel{1 - std::max(thin->most, thick->most) / fresh,
                       1 - std::min(thin->least, thick->least) / fresh};
}

}  // namespace tautmark
