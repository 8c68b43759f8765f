// SPDX-License-Identifier: Apache-2.0
// Linear tolerance stack Y = Σ a_i x_i of independent parts x_i ± t_i: plain doubles, SI.
//
//   worst case        ± Σ |a_i| t_i
//   root sum square   ± sqrt(Σ (a_i t_i)²)       same multiple of sigma as the parts; valid for
//                                                centered normal parts
//   rectangular sd    sqrt(Σ (a_i t_i)² / 3)
//   two rectangular parts, half widths A >= B: P(|Y - mean| > q) = (A + B - q)² / (4 A B) for
//                     q >= A - B, so q_p = A + B - sqrt(4 A B (1 - p)); nearer to the middle the
//                     density is flat, 1 / (2 A)
//   Monte Carlo       JCGM 101:2008; equal-tailed interval, standard error of each end from the
//                     ranks M p ± sqrt(M p (1 - p))
//
// Limits that are not symmetrical go in as their middle and half their width.
// Refused: an empty stack, a value that is not finite, a negative tolerance, p outside (0, 1),
// fewer than 1e5 or more than 1e7 draws.
#pragma once

#include <cstdint>
#include <span>

#include "base/diagnostic.h"

namespace tautmark {

enum class PartShape {
  rectangular,
  triangular,
  normal,  // the tolerance is three standard deviations
};

struct StackPart {
  double sensitivity = 1;  // a
  double nominal = 0;      // x, middle of the limits
  double tolerance = 0;    // t, half the width of the limits
  PartShape shape = PartShape::rectangular;
};

struct StackBand {
  double mean = 0;
  double half_width = 0;
};

Result<StackBand> worst_case_stack(std::span<const StackPart> parts);
Result<StackBand> root_sum_square_stack(std::span<const StackPart> parts);
Result<double> rectangular_stack_sd(std::span<const StackPart> parts);

// Exact for two rectangular parts with half widths a and b, in either order; both above 0.
Result<double> two_rectangular_half_width(double a, double b, double p);
Result<double> two_rectangular_coverage(double a, double b, double half_width);

struct MonteCarloOptions {
  std::int64_t draws = 200'000;
  double p = 0.95;
  std::uint64_t seed = 1;
};

struct MonteCarloStack {
  double mean = 0;
  double sd = 0;
  double lower = 0;
  double upper = 0;
  double lower_standard_error = 0;
  double upper_standard_error = 0;
};

// Own random generator (xoshiro256**, seeded by splitmix64): the same draws on every machine. A
// normal part also uses the logarithm of the C library, whose last bit may differ.
Result<MonteCarloStack> monte_carlo_stack(std::span<const StackPart> parts,
                                          const MonteCarloOptions& options = {});

}  // namespace tautmark
