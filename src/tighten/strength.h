// SPDX-License-Identifier: Apache-2.0
// Strength classes of bolts: minimum values.
//
// Source: ISO 898-1:2013 table 3 (8.8, 9.8, 10.9, 12.9) and SAE J429 (grades 2, 5, 8), each read in
// two reprints. The class name is nominal: 10.9 has at least 1040 and 940 MPa, not 1000 and 900.
#pragma once

#include <span>
#include <string_view>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::tighten {

struct Strength {
  std::string_view name{};  // "10.9", "SAE 5"
  Pressure tensile{};       // R_m
  Pressure yield{};         // R_p0.2, R_eL
  Pressure proof{};         // S_p
  double elongation = 0;    // A, as a ratio; 0: the standard gives it elsewhere
};

// "8.8", "class 10.9", "12.9", "SAE 5", "grade 8". Refused: another text (with the known ones); a
// size that the standard's row does not cover.
Result<Strength> strength(std::string_view written, Length nominal);

// Every class with a row for this size: what an unmarked bolt may be.
std::span<const std::string_view> strength_names();

}  // namespace tautmark::tighten
