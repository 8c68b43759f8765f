// SPDX-License-Identifier: Apache-2.0
// Limit deviations of ISO 286-2 for the few classes and size steps that were read in a copy of the
// table. The table is the standard; the formulas of ISO 286-1 are for checking only (before the
// rounding rules they give 63.86 µm for D of 18 to 30 mm where the table says 65).
//
// Size steps are "above ... up to and including": 30 mm belongs to 18-30, 30.001 mm to 30-50.
// Capital letter: hole. Small letter: shaft.
// Refused by name: any other class or step. There is no interpolation and no guess.
// Source: ISO 286-2:2010, as read in the extracts each row names.
#pragma once

#include <span>
#include <string_view>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark {

struct LimitDeviations {
  Length lower;  // ei, EI
  Length upper;  // es, ES
  std::string_view source;
};

Result<LimitDeviations> iso_limit_deviations(Length nominal, std::string_view tolerance_class);

struct IsoFitRow {
  double above_mm;
  double up_to_mm;
  std::string_view tolerance_class;
  int lower_um;
  int upper_um;
  std::string_view source;
};

std::span<const IsoFitRow> iso_fit_rows();

// Clearance of a hole and a shaft of one nominal size; negative: interference.
struct FitClearance {
  Length least;
  Length most;
};

Result<FitClearance> iso_fit_clearance(Length nominal, std::string_view hole_class,
                                       std::string_view shaft_class);

// Formula value of the standard tolerance IT5 to IT9 up to 500 mm, for checking a table only:
//   i = 0.45 ∛D + 0.001 D (µm, D in mm, D = sqrt(D1 D2) of the step);  7 i, 10 i, 16 i, 25 i, 40 i
Result<Length> iso_standard_tolerance_by_formula(Length step_above, Length step_up_to, int grade);

}  // namespace tautmark
