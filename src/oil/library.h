// SPDX-License-Identifier: Apache-2.0
// Typical oils by grade, for when only the grade on the bottle is known, and one oil against
// another: the oil that is in it against the specified one.
//
// File format oils/1 (data/oils.yaml): `sources` by name, and `oils` with viscosity at 40 and 100
// °C, density at 15 °C, HTHS; every value names its source. A typical value is a default, never a
// fact: real oils of one grade scatter by 10 % at 100 °C, and what rests on it says "typical".
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "base/tree.h"
#include "base/written.h"
#include "oil/viscosity.h"

namespace tautmark::oil {

template <class T>
struct Sourced {
  T value{};
  std::string source;  // name in the file; after reading the whole text of that source
};

struct OilOfLibrary {
  std::string grade;  // "5W-30"
  Sourced<Written<KinematicViscosity>> viscosity_40{};
  Sourced<Written<KinematicViscosity>> viscosity_100{};
  Sourced<Written<Density>> density_15{};
  std::optional<Sourced<WrittenRange<DynamicViscosity>>> hths{};
};

// Refuses, in one text with file, line and column of every mistake: what is no such file, a grade
// that is none or stands there twice, a source that is not listed, a pair of viscosities that
// viscosity.h refuses or warns of, an oil outside the limits of its own grade, a density outside
// density.h.
Result<std::vector<OilOfLibrary>> read_oils(const TextFileRef& file);
Result<std::vector<OilOfLibrary>> read_oils(std::string file_name, std::string text);

// Those of data/oils.yaml, which is part of the program.
const std::vector<OilOfLibrary>& known_oils();

// By grade, however it is spelled; null where there is none.
const OilOfLibrary* oil_of_grade(const std::vector<OilOfLibrary>& oils, std::string_view grade);

struct OilProperties {
  std::string grade;
  ViscosityLaw law{};
  Density at_15{};
};
Result<OilProperties> properties_of(const OilOfLibrary& oil);

struct OilAt {
  KinematicViscosity kinematic{};
  DynamicViscosity dynamic{};
  Density density{};
  double slope = 0;  // d ln μ/dT, 1/K, negative
  std::vector<std::string> warnings{};
};
Result<OilAt> oil_at(const OilProperties& oil, Temperature at);

struct OilComparison {
  double ratio = 0;  // μ of the oil in it to that of the specified one, at the same temperature
  // The oil in it at `at` is as thick as the specified one at `at` + shift: negative, it is
  // thicker. Empty: as thick only beyond -50 to 150 °C.
  std::optional<TemperatureDifference> shift{};
  bool same_grade = false;
  std::string said;
};
// Warnings of either oil at this temperature are those of oil_at.
Result<OilComparison> compare_oils(const OilProperties& in_it, const OilProperties& specified,
                                   Temperature at);

// May a pressure reading be held against its limit? A limit holds for the specified grade and hot
// oil only: a thicker oil hides clearance, a cold one too.
enum class LimitApplies { yes, grade_unknown, another_grade, temperature_unknown, too_cold };
struct LimitAnswer {
  LimitApplies answer = LimitApplies::grade_unknown;
  std::string said;
};
// `in_it` empty: nobody knows. `least`: from which temperature the limit holds, if it names one.
LimitAnswer limit_applies(std::string_view in_it, std::string_view specified,
                          std::optional<Temperature> oil, std::optional<Temperature> least);

}  // namespace tautmark::oil
