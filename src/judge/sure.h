// SPDX-License-Identifier: Apache-2.0
// Uncertainties as the gaps take them: 99.9 %, two-sided, of a normal distribution.
#pragma once

#include "base/quantity_text.h"

namespace tautmark {

inline constexpr double kSureAt = 3.291;
inline constexpr double kNinetyFive = 1.960;
inline constexpr double kSureFromTwo = kSureAt / 2;  // of a half width with k = 2

// Of what is written with ±; 0 without one.
inline double sure(const AnyMeasured& measured) {
  return measured.expanded_si.value_or(0) / measured.coverage * kSureAt;
}

}  // namespace tautmark
