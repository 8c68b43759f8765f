// SPDX-License-Identifier: Apache-2.0
// Check values to a relative tolerance.
#pragma once

#include <gtest/gtest.h>

#include <cmath>

namespace tautmark::oil {

inline void expect_relative(double got, double expected, double tolerance = 1e-6) {
  EXPECT_NEAR(got, expected, std::abs(expected) * tolerance);
}

}  // namespace tautmark::oil
