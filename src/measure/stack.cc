// SPDX-License-Identifier: Apache-2.0
#include "measure/stack.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "measure/all_finite.h"
#include "measure/random.h"
#include "measure/statistics.h"

namespace tautmark {
namespace {

constexpr std::int64_t kFewestDraws = 100'000;
constexpr std::int64_t kMostDraws = 10'000'000;
constexpr double kNormalSigmas = 3;

std::optional<std::string> objection(std::span<const StackPart> parts) {
  if (parts.empty()) return "the stack has no part";
  for (const StackPart& part : parts) {
    if (!measure::all_finite({part.sensitivity, part.nominal, part.tolerance})) {
      return "a part has a value that is not a finite number";
    }
    if (part.tolerance < 0) return "a tolerance is negative";
  }
  return std::nullopt;
}

double reach(const StackPart& part) { return std::abs(part.sensitivity) * part.tolerance; }

double nominal_of(std::span<const StackPart> parts) {
  double sum = 0;
  for (const StackPart& part : parts) sum += part.sensitivity * part.nominal;
  return sum;
}

double root_sum_square_of(std::span<const StackPart> parts) {
  double result = 0;
  for (const StackPart& part : parts) result = std::hypot(result, reach(part));
  return result;
}

Result<StackBand> checked_band(double mean, double half_width) {
  if (!measure::all_finite({mean, half_width})) return refuse("the stack is too large");
  return StackBand{.mean = mean, .half_width = half_width};
}

double deviation(PartShape shape, RandomGenerator& random) {
  switch (shape) {
    case PartShape::rectangular:
      return random.symmetric();
    case PartShape::triangular: {
      const double first = random.uniform();
      return first - random.uniform();
    }
    case PartShape::normal:
      return random.normal() / kNormalSigmas;
  }
  return 0;
}

// Order statistic at the (fractional) rank p M, with its standard error from the ranks around it.
struct Percentile {
  double value = 0;
  double standard_error = 0;
};

Percentile percentile(const std::vector<double>& sorted, double p) {
  const auto count = static_cast<double>(sorted.size());
  const auto at = [&](double rank) {
    const double index = std::clamp(rank - 0.5, 0.0, count - 1);
    const auto below = static_cast<std::size_t>(index);
    const std::size_t above = std::min(below + 1, sorted.size() - 1);
    const double part = index - std::floor(index);
    return sorted[below] + part * (sorted[above] - sorted[below]);
  };
  const double spread = std::sqrt(count * p * (1 - p));
  return {.value = at(count * p),
          .standard_error = (at(count * p + spread) - at(count * p - spread)) / 2};
}

}  // namespace

Result<StackBand> worst_case_stack(std::span<const StackPart> parts) {
  if (auto why = objection(parts)) return refuse(*why);
  double sum = 0;
  for (const StackPart& part : parts) sum += reach(part);
  return checked_band(nominal_of(parts), sum);
}

Result<StackBand> root_sum_square_stack(std::span<const StackPart> parts) {
  if (auto why = objection(parts)) return refuse(*why);
  return checked_band(nominal_of(parts), root_sum_square_of(parts));
}

Result<double> rectangular_stack_sd(std::span<const StackPart> parts) {
  const Result<StackBand> band = root_sum_square_stack(parts);
  if (!band) return refuse(band.error().why);
  return band->half_width / std::sqrt(3.0);
}

Result<double> two_rectangular_half_width(double a, double b, double p) {
  if (!measure::all_finite({a, b}) || !(a > 0 && b > 0)) {
    return refuse("both half widths are above zero");
  }
  if (!(p > 0 && p < 1)) return refuse("a coverage probability lies between 0 and 1");
  const double wide = std::max(a, b);
  const double narrow = std::min(a, b);
  const double flat = p * wide;  // as long as this is on the flat top
  if (flat <= wide - narrow) return flat;
  return wide + narrow - 2 * std::sqrt(wide * narrow * (1 - p));
}

Result<double> two_rectangular_coverage(double a, double b, double half_width) {
  if (!measure::all_finite({a, b, half_width}) || !(a > 0 && b > 0 && half_width >= 0)) {
    return refuse("both half widths are above zero, the band is not negative");
  }
  const double wide = std::max(a, b);
  const double narrow = std::min(a, b);
  if (half_width >= wide + narrow) return 1.0;
  if (half_width <= wide - narrow) return half_width / wide;
  const double missing = wide + narrow - half_width;
  return 1 - missing / (2 * wide) * (missing / (2 * narrow));
}

Result<MonteCarloStack> monte_carlo_stack(std::span<const StackPart> parts,
                                          const MonteCarloOptions& options) {
  if (auto why = objection(parts)) return refuse(*why);
  if (options.draws < kFewestDraws || options.draws > kMostDraws) {
    return refuse("the number of draws lies between 1e5 and 1e7");
  }
  if (!(options.p > 0 && options.p < 1)) {
    return refuse("a coverage probability lies between 0 and 1");
  }
  RandomGenerator random(options.seed);
  const double nominal = nominal_of(parts);
  std::vector<double> results;
  results.reserve(static_cast<std::size_t>(options.draws));
  for (std::int64_t i = 0; i < options.draws; ++i) {
    double y = nominal;
    for (const StackPart& part : parts) {
      y += part.sensitivity * part.tolerance * deviation(part.shape, random);
    }
    results.push_back(y);
  }
  const Result<Summary> summary = summarize(results);
  if (!summary) return refuse(summary.error().why);

  std::sort(results.begin(), results.end());
  const Percentile lower = percentile(results, (1 - options.p) / 2);
  const Percentile upper = percentile(results, (1 + options.p) / 2);
  return MonteCarloStack{.mean = summary->mean,
                         .sd = summary->sd.value_or(0),
                         .lower = lower.value,
                         .upper = upper.value,
                         .lower_standard_error = lower.standard_error,
                         .upper_standard_error = upper.standard_error};
}

}  // namespace tautmark
