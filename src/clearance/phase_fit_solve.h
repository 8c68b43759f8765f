// SPDX-License-Identifier: Apache-2.0
// The numbers of phase_fit(): start and Gauss-Newton. Internal to phase_fit.cc; SI.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "clearance/phase_fit.h"

namespace tautmark::clearance {

struct Weighting {
  double lift_variance = 1;   // m²; 1 where the noise is not known: only the ratio counts then
  double angle_variance = 0;  // rad²
};

struct Solution {
  double eps = 0, zero = 0, scale = 1;
  double chi_square = 0;    // with the weights
  double eps_variance = 0;  // element of the inverse normal matrix, with the weights
};

// The phase of the greatest cross-correlation, on a grid of 1 crank deg; 0 where none is positive.
double best_start(const LiftCurve& reference, std::span<const LiftSample> readings, double within);

// Empty where the readings do not determine it, or it does not settle.
std::optional<Solution> gauss_newton(const LiftCurve& reference,
                                     std::span<const LiftSample> readings, double start,
                                     const Weighting& weighting, bool fit_scale);

// Of eps with no error: what these angles can show. Empty where they show nothing.
std::optional<double> eps_variance(const LiftCurve& reference, std::span<const LiftSample> readings,
                                   const Weighting& weighting);

}  // namespace tautmark::clearance
