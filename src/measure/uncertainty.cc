// SPDX-License-Identifier: Apache-2.0
#include "measure/uncertainty.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "measure/distribution.h"
#include "measure/statistics.h"

namespace tautmark {
namespace {

constexpr double kClosestToOne = 1e-9;
constexpr double kNuForTwo = 50;
// Correlations are typed with two digits or computed with rounding; a matrix this little wrong is
// still taken as consistent.
constexpr double kCorrelationSlack = 1e-9;

using Matrix = std::vector<std::vector<double>>;

// By Cholesky: a matrix of correlations that no set of inputs can have leaves a negative pivot.
bool is_consistent(Matrix r) {
  const std::size_t n = r.size();
  for (std::size_t j = 0; j < n; ++j) {
    if (r[j][j] < -kCorrelationSlack) return false;
    const bool is_spent = r[j][j] <= kCorrelationSlack;
    for (std::size_t i = j + 1; i < n; ++i) {
      if (is_spent && std::abs(r[i][j]) > std::sqrt(kCorrelationSlack)) return false;
      const double factor = is_spent ? 0 : r[i][j] / r[j][j];
      for (std::size_t k = i; k < n; ++k) r[k][i] -= factor * r[k][j];
    }
  }
  return true;
}

std::optional<std::string> objection(const Contribution& term) {
  if (!std::isfinite(term.u) || term.u < 0) {
    return fmt::format("the uncertainty of \"{}\" is negative or not a finite number", term.name);
  }
  if (!std::isfinite(term.sensitivity)) {
    return fmt::format("the sensitivity to \"{}\" is not a finite number", term.name);
  }
  if (!(term.nu >= 1)) return fmt::format("\"{}\" has fewer than one degree of freedom", term.name);
  return std::nullopt;
}

// Full matrix with a unit diagonal, or the sentence that refuses it.
Result<Matrix> correlation_matrix(std::size_t n, std::span<const Correlation> correlations) {
  Matrix r(n, std::vector<double>(n, 0));
  for (std::size_t i = 0; i < n; ++i) r[i][i] = 1;
  Matrix named = r;
  for (const Correlation& c : correlations) {
    if (c.first >= n || c.second >= n)
      return refuse("a correlation names a term that is not there");
    if (named[c.first][c.second] != 0) {
      return refuse("a correlation is named twice, or is of a term with itself");
    }
    if (!(std::abs(c.r) <= 1)) return refuse("a correlation lies outside -1 to 1");
    named[c.first][c.second] = named[c.second][c.first] = 1;
    r[c.first][c.second] = r[c.second][c.first] = c.r;
  }
  if (!is_consistent(r)) return refuse("the correlations contradict each other");
  return r;
}

double rounded_nu(double nu, NuRounding rounding) {
  return rounding == NuRounding::truncate && std::isfinite(nu) ? std::floor(nu) : nu;
}

}  // namespace

Result<Budget> combine(std::vector<Contribution> terms, std::span<const Correlation> correlations) {
  if (terms.empty()) return refuse("an uncertainty budget needs at least one term");
  double largest = 0;
  for (const Contribution& term : terms) {
    if (auto why = objection(term)) return refuse(*why);
    largest = std::max(largest, std::abs(term.sensitivity) * term.u);
  }
  if (!std::isfinite(largest)) return refuse("a term of the budget is too large");

  // Scaled by the largest term: fourth powers of micrometers in meters would run out of exponent.
  std::vector<double> share;
  share.reserve(terms.size());
  for (const Contribution& term : terms) {
    share.push_back(largest > 0 ? term.sensitivity * term.u / largest : 0);
  }
  double square = 0;
  double fourth_over_nu = 0;
  for (std::size_t i = 0; i < terms.size(); ++i) {
    square += share[i] * share[i];
    fourth_over_nu += std::pow(share[i], 4) / terms[i].nu;
  }
  double correlated_nu = kInfiniteNu;
  if (!correlations.empty()) {
    const Result<Matrix> r = correlation_matrix(terms.size(), correlations);
    if (!r) return refuse(r.error().why);
    for (const Correlation& c : correlations) {
      square += 2 * share[c.first] * share[c.second] * c.r;
      if (c.r != 0 && share[c.first] != 0 && share[c.second] != 0) {
        correlated_nu = std::min({correlated_nu, terms[c.first].nu, terms[c.second].nu});
      }
    }
    square = std::max(square, 0.0);  // two terms that cancel exactly may round below zero
  }

  Budget result{.terms = std::move(terms), .u = largest * std::sqrt(square), .nu = kInfiniteNu};
  if (fourth_over_nu > 0) result.nu = std::min(square * square / fourth_over_nu, correlated_nu);
  // Exactly one reading's worth may come out a rounding below 1.
  if (result.nu < 1 && result.nu > 1 - 1e-12) result.nu = 1;
  if (result.nu < 1) return refuse("the result has fewer than one effective degree of freedom");
  if (!std::isfinite(result.u)) return refuse("the combined uncertainty is too large");
  return result;
}

Result<double> student_factor(double p_two_sided, double nu, NuRounding rounding) {
  if (!(p_two_sided > 0 && p_two_sided <= 1 - kClosestToOne)) {
    return refuse("a coverage probability lies between 0 and 0.999999999");
  }
  if (!(nu >= 1)) return refuse("there is fewer than one degree of freedom");
  // From the small upper tail: (1 + p) / 2 would round it away.
  return -student_quantile((1 - p_two_sided) / 2, rounded_nu(nu, rounding));
}

Result<double> coverage_factor(double nu, NuRounding rounding) {
  if (nu >= kNuForTwo) return 2.0;
  return student_factor(0.95, nu, rounding);
}

Result<CorrelatedMeans> correlated_means(std::span<const std::vector<double>> series) {
  if (series.empty()) return refuse("there is no series of readings");
  const std::size_t n = series.front().size();
  if (n < 2) return refuse("a correlation needs at least two simultaneous readings");

  CorrelatedMeans result;
  result.n = static_cast<int>(n);
  std::vector<double> sd;
  for (const std::vector<double>& readings : series) {
    if (readings.size() != n) return refuse("simultaneous series have the same number of readings");
    const Result<Summary> summary = summarize(readings);
    if (!summary) return refuse(summary.error().why);
    result.mean.push_back(summary->mean);
    sd.push_back(summary->sd.value_or(0));
    result.u.push_back(sd.back() / std::sqrt(static_cast<double>(n)));
  }
  for (std::size_t i = 0; i < series.size(); ++i) {
    for (std::size_t j = i + 1; j < series.size(); ++j) {
      Correlation c{.first = i, .second = j, .r = 0};
      if (sd[i] > 0 && sd[j] > 0) {
        double products = 0;
        for (std::size_t k = 0; k < n; ++k) {
          products +=
              ((series[i][k] - result.mean[i]) / sd[i]) * ((series[j][k] - result.mean[j]) / sd[j]);
        }
        c.r = std::clamp(products / static_cast<double>(n - 1), -1.0, 1.0);
      }
      result.correlations.push_back(c);
    }
  }
  return result;
}

}  // namespace tautmark
