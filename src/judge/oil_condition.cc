// SPDX-License-Identifier: Apache-2.0
#include "judge/oil_condition.h"

#include <algorithm>
#include <array>

#include "base/text.h"
#include "judge/pressure_read.h"
#include "oil/dilution.h"
#include "oil/grade.h"
#include "oil/library.h"

namespace tautmark {
namespace {

bool is_low(const OilInIt& oil) {
  static constexpr std::array<std::string_view, 4> kLow = {"low", "below", "under", "empty"};
  return oil.level && oil_words_say(*oil.level->body->level, kLow);
}

bool foams(const OilInIt& oil) {
  static constexpr std::array<std::string_view, 5> kFoam = {"foam", "foamy", "foaming", "froth",
                                                            "milky"};
  return oil.smell && oil_words_say(*oil.smell->body->smell, kFoam);
}

}  // namespace

bool names_grade(const OilFound& found) {
  if (!found.grade) return false;
  const std::string said = folded(*found.grade);
  return said != "unknown" && said != "not known" && said != "?";
}

namespace {
bool is_another_oil(const OilInIt& oil, const OilFound& found) {
  if (found.distance_since_change && !(found.distance_since_change->value.si() > 0)) return true;
  return oil.grade && names_grade(found) && !is_same_grade(*oil.grade->body->grade, *found.grade);
}
}  // namespace

OilInIt oil_in(const CheckInput& input, std::string_view at) {
  OilInIt oil;
  for (const Entry* entry : input.entries) {
    if (!at.empty() && entry->id == at) break;
    const auto* found = std::get_if<OilFound>(&entry->body);
    if (found == nullptr) continue;
    const EntryOf<OilFound> here{entry, found};
    if (is_another_oil(oil, *found)) oil = {.grade = oil.grade};
    if (names_grade(*found)) oil.grade = here;
    if (found->level) oil.level = here;
    if (found->smell) oil.smell = here;
    if (found->viscosity_40 || found->viscosity_100) oil.measured = here;
  }
  return oil;
}

std::optional<EntryOf<OilFound>> fuel_smelled(const OilInIt& oil) {
  static constexpr std::array<std::string_view, 4> kFuels = {"fuel", "petrol", "gasoline",
                                                             "diesel"};
  if (!oil.smell || !oil_words_say(*oil.smell->body->smell, kFuels)) return std::nullopt;
  return oil.smell;
}

std::optional<EntryOf<OilFound>> found_out_of_grade(const OilInIt& oil, const Drive& drive) {
  if (!oil.measured || !oil.measured->body->viscosity_100 || !drive.oil || !drive.oil->grade)
    return std::nullopt;
  const std::string& grade = oil.grade ? *oil.grade->body->grade : *drive.oil->grade;
  const WrittenMeasured& hot = *oil.measured->body->viscosity_100;
  const auto check = oil::check_grade(grade, grade, viscosity_of(hot), viscosity_U(hot));
  if (!check || check->answer != oil::AgainstGrade::out_of_grade) return std::nullopt;
  return oil.measured;
}

bool is_aerated(const OilInIt& oil) { return is_low(oil) || foams(oil); }

std::optional<OilSpoiled> spoiled_oil(const CheckInput& input, std::string_view at) {
  constexpr const char* kChange =
      "change the oil, enter it with 0 km since the change, and read the pressure again";
  if (input.drive == nullptr) return std::nullopt;
  const OilInIt oil = oil_in(input, at);
  if (const auto measured = found_out_of_grade(oil, input.drive->drive))
    return OilSpoiled{"a laboratory found the oil out of its grade", kChange, measured->entry->id};
  if (const auto fuel = fuel_smelled(oil))
    return OilSpoiled{"fuel was in the oil", kChange, fuel->entry->id};
  if (foams(oil)) return OilSpoiled{"the oil foamed", kChange, oil.smell->entry->id};
  if (is_low(oil))
    return OilSpoiled{"the level of the oil was low",
                      "top it up, read the pressure again, and find where it went",
                      oil.level->entry->id};
  return std::nullopt;
}

KinematicViscosity viscosity_of(const WrittenMeasured& written) {
  return KinematicViscosity::from_si(written.value.value.si);
}
KinematicViscosity viscosity_U(const WrittenMeasured& written) {
  return KinematicViscosity::from_si(
      written.value.expanded_si.value_or(0.01 * written.value.value.si));
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
