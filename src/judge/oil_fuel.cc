// SPDX-License-Identifier: Apache-2.0
#include "judge/oil_fuel.h"

#include <algorithm>
#include <array>

#include "judge/pressure_read.h"
#include "oil/dilution.h"
#include "oil/library.h"

namespace tautmark {

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
