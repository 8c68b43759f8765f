// SPDX-License-Identifier: Apache-2.0
// Fuel that was smelled in the oil of one engine, and how much thinner 5 % of it would make a
// typical oil. How much there is, only a laboratory tells.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "judge/check.h"

namespace tautmark {

inline constexpr double kFuelAsked = 0.05;  // share that the estimate is made for

// The entry of the oil that is in the engine, if it smells of fuel: now, or when the entry `at` was
// made.
std::optional<EntryOf<OilFound>> fuel_smelled(const CheckInput& input, std::string_view at = {});

// Of which fuel is not asked: from the thinnest of gasoline to the thickest of diesel. Shares of
// the viscosity at 100 °C that are lost; none: no typical oil of this grade is known.
struct ThinnedByFuel {
  double least = 0, most = 0;
};
std::optional<ThinnedByFuel> thinned_by_fuel(std::string_view grade);

// The entry of a laboratory that found the oil out of its grade: now, or when `at` was made.
std::optional<EntryOf<OilFound>> found_out_of_grade(const CheckInput& input,
                                                    std::string_view at = {});
// 95 %, where the report states none: two laboratories agree within 1 % (own judgement).
KinematicViscosity viscosity_of(const WrittenMeasured& written);
KinematicViscosity viscosity_U(const WrittenMeasured& written);

// Foam, or too low a level, by the latest entry before the entry `at` that speaks of it.
bool is_aerated(const CheckInput& input, std::string_view at);

// Why a pressure read then is not that of sound oil, in words; none: nothing speaks against it.
struct OilSpoiled {
  std::string why, next;
  std::string entry;
};
std::optional<OilSpoiled> spoiled_oil(const CheckInput& input, std::string_view at);

}  // namespace tautmark
