// SPDX-License-Identifier: Apache-2.0
#include "measure/statistics.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "measure/all_finite.h"

namespace tautmark {
namespace {

// The second pass takes out what rounding left in the first: with 10000000.2 and 1001 readings the
// plain sum is already off in the digits that the scatter needs.
double corrected_mean(std::span<const double> x) {
  const auto n = static_cast<double>(x.size());
  const double first = std::accumulate(x.begin(), x.end(), 0.0) / n;
  double rest = 0;
  for (const double value : x) rest += value - first;
  return first + rest / n;
}

double sum_of_squares(std::span<const double> x, double mean) {
  double squares = 0;
  for (const double value : x) squares += (value - mean) * (value - mean);
  return squares;
}

}  // namespace

Result<Summary> summarize(std::span<const double> readings) {
  if (readings.empty()) return refuse("there is no reading");
  if (!measure::all_finite(readings)) return refuse("a reading is not a finite number");

  Summary result;
  const auto [min, max] = std::minmax_element(readings.begin(), readings.end());
  result.n = static_cast<int>(readings.size());
  result.min = *min;
  result.max = *max;
  // Equal readings have exactly this mean and no scatter; rounding in a sum of them would invent
  // one.
  result.mean = *min == *max ? *min : corrected_mean(readings);
  const double squares = sum_of_squares(readings, result.mean);
  if (!measure::all_finite({result.mean, squares})) return refuse("the readings are too large");
  if (result.n == 1) return result;

  result.sd = std::sqrt(squares / (result.n - 1));
  if (squares > 0) {
    double products = 0;
    for (std::size_t i = 0; i + 1 < readings.size(); ++i) {
      products += (readings[i] - result.mean) * (readings[i + 1] - result.mean);
    }
    result.lag1 = products / squares;
  }
  return result;
}

Result<PooledSd> pooled_sd(std::span<const std::vector<double>> positions) {
  double squares = 0;
  double nu = 0;
  for (const std::vector<double>& repeats : positions) {
    if (repeats.empty()) continue;
    const Result<Summary> summary = summarize(repeats);
    if (!summary) return refuse(summary.error().why);
    if (!summary->sd) continue;
    const double own_nu = summary->n - 1;
    squares += *summary->sd * *summary->sd * own_nu;
    nu += own_nu;
  }
  if (nu < 1) return refuse("no position was read twice, so there is no scatter to pool");
  if (!std::isfinite(squares)) return refuse("the readings are too large");
  return PooledSd{.sd = std::sqrt(squares / nu), .nu = nu};
}

}  // namespace tautmark
