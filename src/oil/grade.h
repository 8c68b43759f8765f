// SPDX-License-Identifier: Apache-2.0
// What the name of a viscosity grade guarantees, and which names a measured viscosity allows.
//
// A name is wide: any "xW-30" has 9.3 to 12.4 mm²/s at 100 °C, a 29 % spread that goes almost one
// to one into the hot idle pressure. Upper limits are exclusive. Grades 8 to 20 overlap on purpose:
// ν100 alone does not tell them apart, HTHS (high-temperature high-shear viscosity, 150 °C, 1e6
// 1/s) must. An oil that left the limits in service (shear, fuel, soot) is out of its grade; it is
// not the wrong oil.
// Source: SAE J300, January 2015, read in transcriptions; a summary of May 2024 repeats 0W to 10W
// and 20 to 40 (oil.md 1.3). Limits of older editions differ and are not mixed in.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::oil {

struct WinterLimits {
  std::string_view name;  // "5W"
  DynamicViscosity most_cranking{};
  Temperature cranking_at{};
  DynamicViscosity most_pumping{};  // without yield stress
  Temperature pumping_at{};
  KinematicViscosity least_at_100{};
};

struct GradeLimits {
  std::string name;                      // as J300 writes it: "5W-30", "10W", "30"
  std::optional<WinterLimits> winter{};  // of a name with W
  KinematicViscosity least_at_100{};     // the higher one of the W line and the hot line
  std::optional<KinematicViscosity> below_at_100{};  // exclusive; none for a bare W grade
  std::optional<DynamicViscosity> least_hths{};
};

// "5W-30", "5w30", "SAE 5W-30", "10W", "30". Refuses, with the nearest name, what is none.
Result<GradeLimits> grade_limits(std::string_view name);

// The name as J300 writes it; empty when it is none.
std::string grade_name(std::string_view name);

struct PossibleGrade {
  std::string name;       // hot number: "30"
  std::string only_with;  // W lines it needs for this HTHS: "0W, 5W, 10W"; empty: any
};

struct PossibleGrades {
  std::vector<PossibleGrade> grades{};  // from thin to thick; empty: out of the table
  std::string label;  // the highest met; labeling habit, from memory; empty where HTHS is unknown
};

// `winter`: the W line, "5W", where it is known. Refuses a viscosity that is none, an unknown line.
Result<PossibleGrades> possible_grades(KinematicViscosity at_100,
                                       std::optional<DynamicViscosity> hths = std::nullopt,
                                       std::optional<std::string_view> winter = std::nullopt);

// The spread of ν100 among oils of this name.
struct GradeSpread {
  KinematicViscosity least{}, below{};
  double spread = 0;  // below to least, less 1
  double u = 0;       // standard, of ln ν100: rectangular between the two
};
// Refuses a bare W grade: its ν100 has no upper end.
Result<GradeSpread> grade_spread(std::string_view name);

enum class AgainstGrade {
  in_grade,
  cannot_tell,    // the uncertainty reaches over the limit
  out_of_grade,   // sheared, diluted, thickened; not "the wrong oil"
  another_grade,  // by its name; nothing measured is needed for that
};

struct GradeCheck {
  AgainstGrade answer = AgainstGrade::cannot_tell;
  std::string why;
};

// The oil that is said to be in it against the specified name. `expanded` 95 %, of `at_100`. In
// grade is said of ν100 (and of HTHS where it was measured) only. Refuses names that are none, a
// viscosity or uncertainty that is none.
Result<GradeCheck> check_grade(std::string_view in_it, std::string_view specified,
                               KinematicViscosity at_100, KinematicViscosity expanded,
                               std::optional<DynamicViscosity> hths = std::nullopt);

}  // namespace tautmark::oil
