// SPDX-License-Identifier: Apache-2.0
// Summary of repeated readings: plain doubles, SI of one kind.
//
//   mean  = Σ x / n
//   sd    = sqrt(Σ (x - mean)² / (n - 1))               not given for n = 1
//   lag1  = Σ (x_i - mean)(x_{i+1} - mean) / Σ (x_i - mean)²
//                                                       not given for n = 1 or sd = 0
//
// Two passes with a correction of the first mean: the sum of squares minus n·mean² loses every
// digit on readings such as 25.0021, 25.0023 (statistics_test.cc, OnePassFormulaFails).
//
// sd = 0 does not say that the gauge is perfect: it is the resolution talking, and the resolution
// term of the budget (uncertainty.h) stays.
//
// Refused: no readings; a reading that is not finite; readings so large that their squares
// overflow.
// Source: NIST StRD, univariate summary statistics (definitions and certified values).
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "base/diagnostic.h"

namespace tautmark {

struct Summary {
  int n = 0;
  double mean = 0;
  std::optional<double> sd;
  double min = 0;
  double max = 0;
  std::optional<double> lag1;  // near +1: the readings creep; near 0: they scatter
};

Result<Summary> summarize(std::span<const double> readings);

// Repeats at several positions of one part: the differences between the positions are form, not
// scatter, so each position keeps its own mean.
//
//   sd = sqrt(Σ_g Σ (x - mean_g)² / nu),   nu = Σ_g (n_g - 1)
//
// A position with a single reading adds nothing. Refused: no position with two readings or more.
struct PooledSd {
  double sd = 0;
  double nu = 0;  // degrees of freedom
};

Result<PooledSd> pooled_sd(std::span<const std::vector<double>> positions);

}  // namespace tautmark
