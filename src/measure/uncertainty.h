// SPDX-License-Identifier: Apache-2.0
// Uncertainty of a result from the uncertainties of what it is made of: plain doubles, SI.
//
//   u_c²   = Σ (c_i u_i)² + 2 Σ_{i<j} c_i c_j u_i u_j r_ij      JCGM 100:2008, 5.1.2 and 5.2.2
//   nu_eff = u_c⁴ / Σ ((c_i u_i)⁴ / nu_i)                       JCGM 100:2008, G.4.1
//   U      = k u_c
//
//   u_i   standard uncertainty of an input     c_i   sensitivity, ∂result/∂input
//   nu_i  degrees of freedom of u_i            r_ij  correlation of two inputs
//
// Validity: small uncertainties (first order; second_order_* below for a sensitivity of zero) and
// a result that is about normal. One dominant rectangular term makes it wider than it need be:
// see stack.h. nu_eff assumes independent terms; where terms are correlated it is also held to the
// smallest nu among the correlated terms, which is the safe side.
// Leaving a correlation out is not the safe side either: its sign decides.
#pragma once

#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"

namespace tautmark {

inline constexpr double kInfiniteNu = std::numeric_limits<double>::infinity();

struct Contribution {
  std::string name;
  double u = 0;
  double nu = kInfiniteNu;
  double sensitivity = 1;
};

// r between terms[first] and terms[second]; pairs not named have r = 0.
struct Correlation {
  std::size_t first = 0;
  std::size_t second = 0;
  double r = 0;
};

struct Budget {
  std::vector<Contribution> terms;  // as given, in the order given
  double u = 0;                     // combined standard uncertainty
  double nu = kInfiniteNu;          // effective degrees of freedom
};

// Refused: no terms; a negative or non-finite u; a non-finite sensitivity; nu < 1 or NaN; a
// correlation outside [-1, 1], of a term with itself, named twice or of a term that is not there;
// correlations that contradict each other; nu_eff < 1.
Result<Budget> combine(std::vector<Contribution> terms, std::span<const Correlation> = {});

// Standard uncertainty of knowledge that is no scatter (type B). Plain arithmetic: a negative or
// non-finite argument gives a negative or non-finite u, and combine refuses that.
constexpr double rectangular_u(double half_width) { return half_width / std::numbers::sqrt3; }
constexpr double resolution_u(double step) { return step / (2 * std::numbers::sqrt3); }
constexpr double triangular_u(double half_width) {
  return half_width / (std::numbers::sqrt2 * std::numbers::sqrt3);
}
constexpr double arcsine_u(double half_width) { return half_width / std::numbers::sqrt2; }
constexpr double certificate_u(double expanded, double k) { return expanded / k; }
// nu of a type B value that may itself be wrong by the fraction q: 1 / (2 q²)  (G.4.2).
constexpr double nu_from_doubt(double q) { return 1 / (2 * q * q); }

// Second-order terms, for a working point where the sensitivity is zero (JCGM 100:2008, 5.1.2
// note). Each is the u of a term of its own with sensitivity 1.
//   product of two independent inputs:   |∂²f/∂x∂y| u_x u_y
//   square of one normal input:          |∂²f/∂x²| u_x² / √2
inline double second_order_product_u(double mixed_derivative, double u_x, double u_y) {
  return std::abs(mixed_derivative) * u_x * u_y;
}
inline double second_order_square_u(double second_derivative, double u_x) {
  return std::abs(second_derivative) * u_x * u_x / std::numbers::sqrt2;
}

enum class NuRounding {
  exact,
  truncate,  // to the next lower integer, as for a printed table (JCGM 100:2008, G.4.1)
};

// Student factor t with P(|T| <= t) = p for nu degrees of freedom; the normal factor for infinite
// nu. Refused: p outside (0, 1), closer to 1 than 1e-9; nu < 1.
Result<double> student_factor(double p_two_sided, double nu,
                              NuRounding rounding = NuRounding::exact);

// Coverage factor for about 95 %: 2 for nu >= 50 or infinite, else the Student factor.
Result<double> coverage_factor(double nu, NuRounding rounding = NuRounding::exact);

// Simultaneous readings of several inputs: means, their standard uncertainties and correlations.
//
//   u(x̄_i) = s_i / √n
//   r_ij   = Σ (x_ik - x̄_i)(x_jk - x̄_j) / sqrt(Σ (x_ik - x̄_i)² Σ (x_jk - x̄_j)²)
//                                                                 JCGM 100:2008, 5.2.3 and H.2
// A series without scatter has r = 0. Refused: no series, fewer than two readings, series of
// different length, a reading that is not finite.
struct CorrelatedMeans {
  int n = 0;
  std::vector<double> mean;
  std::vector<double> u;
  std::vector<Correlation> correlations;  // every pair i < j
};

Result<CorrelatedMeans> correlated_means(std::span<const std::vector<double>> series);

}  // namespace tautmark
