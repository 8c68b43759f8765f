// SPDX-License-Identifier: Apache-2.0
// What was entered of the oil in an engine: what is wrong with it whatever its grade, and how much
// thinner 5 % of fuel would make a typical one. How much fuel there is, only a laboratory tells.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "judge/check.h"

namespace tautmark {

// The oil in the engine now, or when the entry `at` was made: the latest entry that speaks of each.
// What was said of an oil holds until an entry speaks of it again, names another grade, or says 0
// km since the change: then nothing else is known yet.
struct OilInIt {
  std::optional<EntryOf<OilFound>> grade{}, level{}, smell{}, measured{};
};
OilInIt oil_in(const CheckInput& input, std::string_view at = {});
// "unknown" is no grade.
bool names_grade(const OilFound& found);

// The entry that says so; none: nothing does.
std::optional<EntryOf<OilFound>> fuel_smelled(const OilInIt& oil);
std::optional<EntryOf<OilFound>> found_out_of_grade(const OilInIt& oil, const Drive& drive);
bool is_aerated(const OilInIt& oil);  // foam, or too low a level

// Why a pressure read then is not that of sound oil, in words; none: nothing speaks against it.
struct OilSpoiled {
  std::string why, next;
  std::string entry;
  bool operator==(const OilSpoiled&) const = default;
};
std::optional<OilSpoiled> spoiled_oil(const CheckInput& input, std::string_view at);

// A laboratory's value and its 95 %: as stated, else 1 % (own judgement: two laboratories agree
// within that).
KinematicViscosity viscosity_of(const WrittenMeasured& written);
KinematicViscosity viscosity_U(const WrittenMeasured& written);

// Of which fuel is not asked: from the thinnest of gasoline to the thickest of diesel. Shares of
// the viscosity at 100 °C that are lost; none: no typical oil of this grade is known.
inline constexpr double kFuelAsked = 0.05;  // share that the estimate is made for
struct ThinnedByFuel {
  double least = 0, most = 0;
};
std::optional<ThinnedByFuel> thinned_by_fuel(std::string_view grade);

}  // namespace tautmark
