// SPDX-License-Identifier: Apache-2.0
// How far a 95 % statement reaches: Student's t, two-sided. nu degrees of freedom, infinity:
// normal. Precondition nu >= 1.
#pragma once

#include <limits>

namespace tautmark {

inline constexpr double kManyReadings = std::numeric_limits<double>::infinity();

double coverage_factor_95(double nu);  // 1.96 for many readings, 12.7 for nu = 1

}  // namespace tautmark
