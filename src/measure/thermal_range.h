// SPDX-License-Identifier: Apache-2.0
// Where linear expansion with one coefficient is taken as valid; one range for all of this module.
#pragma once

#include <optional>
#include <string>

#include "base/quantity.h"

namespace tautmark::measure {

inline constexpr Temperature kColdest = degC(-60);
inline constexpr Temperature kHottest = degC(300);
inline constexpr Expansion kLeastExpansion = ppm_per_K(-5);
inline constexpr Expansion kMostExpansion = ppm_per_K(100);

// The negated form also catches NaN.
inline std::optional<std::string> expansion_objection(Expansion alpha, Temperature temperature) {
  if (!(alpha >= kLeastExpansion && alpha <= kMostExpansion)) {
    return "an expansion coefficient lies between -5 and 100 ppm/K";
  }
  if (!(temperature >= kColdest && temperature <= kHottest)) {
    return "the correction holds for -60 degC to 300 degC";
  }
  return std::nullopt;
}

}  // namespace tautmark::measure
