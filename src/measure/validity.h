// SPDX-License-Identifier: Apache-2.0
// What this module takes as a length, and where linear expansion with one coefficient is taken as
// valid; one range for all of it.
#pragma once

#include <cmath>
#include <optional>
#include <string>

#include "base/quantity.h"

namespace tautmark::measure {

// Far beyond any part of an engine, far below where arithmetic overflows.
inline constexpr Length kLongest = mm(100'000);
inline constexpr Temperature kColdest = degC(-60);
inline constexpr Temperature kHottest = degC(300);
inline constexpr Expansion kLeastExpansion = ppm_per_K(-5);
inline constexpr Expansion kMostExpansion = ppm_per_K(100);

// The comparisons are written so that NaN is refused.
inline bool is_length(Length length) { return std::abs(length.si()) <= kLongest.si(); }
inline bool is_size(Length size) { return size.si() > 0 && is_length(size); }

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
