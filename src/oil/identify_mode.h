// SPDX-License-Identifier: Apache-2.0
// What `posterior` and `explain_wear` share: predicted readings for normal scores z of the
// unknowns, and the most likely z. identify.h has the model.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "oil/identify.h"

namespace tautmark::oil {

// Symmetric, positive definite, row after row; L of L·Lᵀ stands in the lower triangle.
class Cholesky {
 public:
  explicit Cholesky(std::vector<double> matrix, std::size_t size);
  void solve(std::span<double> x) const;             // A x = b, in place
  void to_factor(std::span<double> x) const;         // L⁻¹ b, in place
  void solve_transposed(std::span<double> x) const;  // L⁻ᵀ b, in place
  double ln_determinant() const;                     // of A
 private:
  std::vector<double> l_;
  std::size_t n_;
};

class PredictedReadings {
 public:
  static Result<PredictedReadings> prepare(const Identification& in);

  std::size_t unknowns() const { return priors_.size(); }
  std::size_t readings() const { return readings_.size(); }
  void values_of(std::span<const double> z, std::span<double> values) const;
  // (read - predicted) / standard uncertainty, by reading.
  Result<void> residuals(std::span<const double> z, std::span<double> out);
  // |r|² + |z|².
  Result<double> cost(std::span<const double> z);
  // ∂r/∂z by central differences, reading after reading.
  Result<std::vector<double>> slopes(std::span<const double> z);
  // Pressure at a node (Pa) in a condition, and by `option` applied last.
  Result<void> solve_at(std::span<const double> values, const Running& running,
                        const ApplyToNetwork& option);
  const NetworkSolver& solver() const { return solver_; }

 private:
  explicit PredictedReadings(NetworkSolver solver) : solver_(std::move(solver)) {}
  NetworkSolver solver_;
  std::vector<ElementLaw> as_given_{};
  std::vector<Prior> priors_{};
  ApplyToNetwork apply_{};
  ApplyToRunning apply_to_running_{};
  std::vector<PressureReading> readings_{};
  std::vector<Running> runnings_{};        // each once
  std::vector<std::size_t> in_running_{};  // by reading
  std::vector<double> values_{}, residuals_{}, shifted_{}, other_{};
};

struct Mode {
  std::vector<double> z{};
  std::vector<double> residuals{};
  double cost = 0;                // |r|² + |z|²
  std::vector<double> slopes{};   // ∂r/∂z
  std::vector<double> hessian{};  // of half the cost by Gauss-Newton: JᵀJ + 1
};
Result<Mode> find_mode(PredictedReadings& model, std::vector<double> start);

double normal_below(double z);  // Φ
double chi_square_tail(double chi_square, double degrees);

// What is wrong with priors and readings, by name.
Result<void> check_identification(const Identification& in);

}  // namespace tautmark::oil
