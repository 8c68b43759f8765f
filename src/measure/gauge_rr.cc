// SPDX-License-Identifier: Apache-2.0
#include "measure/gauge_rr.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "measure/all_finite.h"
#include "measure/distribution.h"

namespace tautmark {
namespace {

// 1 / d2 for a mean of many ranges of 2 and 3 readings (K1).
constexpr std::array kRangeFactors = {0.8862, 0.5908};
// 1 / sqrt(d2² + d3²) for one range of 2, 3, ... 10 values (K2, K3). Those for 3 and 10 are as
// printed in the manual, the others computed (measure_scipy_test.cc).
constexpr std::array kSingleRangeFactors = {0.7071, 0.5231, 0.4467, 0.4030, 0.3742,
                                            0.3534, 0.3375, 0.3249, 0.3146};
// D4: a cell range above D4 times the mean range is not scatter of the same kind.
constexpr std::array kRangeLimitFactors = {3.267, 2.58};
constexpr double kCategoryFactor = 1.41;
constexpr double kStudySigmas = 6;

struct Cells {
  explicit Cells(const GaugeStudy& s) : study(s) {}
  const GaugeStudy& study;

  [[nodiscard]] double reading(int appraiser, int trial, int part) const {
    const int row = appraiser * study.trials + trial;
    const int index = row * study.parts + part;
    return study.readings[static_cast<std::size_t>(index)];
  }
  [[nodiscard]] double mean(int appraiser, int part) const {
    double sum = 0;
    for (int t = 0; t < study.trials; ++t) sum += reading(appraiser, t, part);
    return sum / study.trials;
  }
  [[nodiscard]] double range(int appraiser, int part) const {
    double low = reading(appraiser, 0, part);
    double high = low;
    for (int t = 1; t < study.trials; ++t) {
      low = std::min(low, reading(appraiser, t, part));
      high = std::max(high, reading(appraiser, t, part));
    }
    return high - low;
  }
};

struct Means {
  std::vector<double> appraiser;
  std::vector<double> part;
  double grand = 0;
};

Means means_of(const Cells& cells) {
  const GaugeStudy& s = cells.study;
  Means means;
  means.appraiser.assign(static_cast<std::size_t>(s.appraisers), 0);
  means.part.assign(static_cast<std::size_t>(s.parts), 0);
  for (int o = 0; o < s.appraisers; ++o) {
    for (int p = 0; p < s.parts; ++p) {
      const double mean = cells.mean(o, p);
      means.appraiser[static_cast<std::size_t>(o)] += mean / s.parts;
      means.part[static_cast<std::size_t>(p)] += mean / s.appraisers;
      means.grand += mean / (s.parts * s.appraisers);
    }
  }
  return means;
}

double range_of(const std::vector<double>& values) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  return *high - *low;
}

double squares_about(const std::vector<double>& values, double center) {
  double sum = 0;
  for (const double value : values) sum += (value - center) * (value - center);
  return sum;
}

std::optional<std::string> objection(const GaugeStudy& s) {
  constexpr int kMost = 1000;  // each; 1e9 in all still fits an int
  if (s.parts < 2 || s.appraisers < 2 || s.trials < 2) {
    return "no verdict: a study needs at least two parts, two appraisers and two trials";
  }
  if (s.parts > kMost || s.appraisers > kMost || s.trials > kMost) {
    return "no verdict: the study is larger than 1000 parts, appraisers or trials";
  }
  const auto wanted = static_cast<std::size_t>(s.parts) * static_cast<std::size_t>(s.appraisers) *
                      static_cast<std::size_t>(s.trials);
  if (s.readings.size() != wanted) {
    return fmt::format("no verdict: the study has {} readings of {}", s.readings.size(), wanted);
  }
  if (!measure::all_finite(s.readings)) return "no verdict: a reading is not a finite number";
  const Cells cells(s);
  for (int o = 0; o < s.appraisers; ++o) {
    for (int p = 0; p < s.parts; ++p) {
      if (cells.range(o, p) > 0) return std::nullopt;
    }
  }
  return "no verdict: every repeat is equal, so the resolution hides the scatter of the gauge";
}

constexpr const char* kTooLarge = "no verdict: the readings are too large";

VarianceLine line(double sum_of_squares, double degrees_of_freedom) {
  return {.sum_of_squares = sum_of_squares,
          .degrees_of_freedom = degrees_of_freedom,
          .mean_square = sum_of_squares / degrees_of_freedom};
}

std::optional<double> ratio(double above, double below) {
  if (!(below > 0)) return std::nullopt;
  const double f = above / below;
  return std::isfinite(f) ? std::optional(f) : std::nullopt;
}

// The sums of squares, each summed by itself: differences of large sums would lose digits.
void fill_lines(const Cells& cells, AnovaGaugeRr& result) {
  const GaugeStudy& s = cells.study;
  const Means means = means_of(cells);
  const double p = s.parts;
  const double o = s.appraisers;
  const double r = s.trials;
  double interaction = 0;
  double error = 0;
  for (int i = 0; i < s.appraisers; ++i) {
    for (int j = 0; j < s.parts; ++j) {
      const double cell = cells.mean(i, j);
      const double rest = cell - means.appraiser[static_cast<std::size_t>(i)] -
                          means.part[static_cast<std::size_t>(j)] + means.grand;
      interaction += r * rest * rest;
      for (int k = 0; k < s.trials; ++k) {
        const double deviation = cells.reading(i, k, j) - cell;
        error += deviation * deviation;
      }
    }
  }
  result.appraisers = line(p * r * squares_about(means.appraiser, means.grand), o - 1);
  result.parts = line(o * r * squares_about(means.part, means.grand), p - 1);
  result.interaction = line(interaction, (o - 1) * (p - 1));
  result.error = line(error, o * p * (r - 1));
  result.total =
      line(result.appraisers.sum_of_squares + result.parts.sum_of_squares + interaction + error,
           o * p * r - 1);
}

}  // namespace

Result<RangeGaugeRr> range_gauge_rr(const GaugeStudy& study) {
  if (auto why = objection(study)) return refuse(*why);
  if (study.parts > 10 || study.appraisers > 3 || study.trials > 3) {
    return refuse(
        "no verdict: the range method is tabulated here for up to 10 parts, "
        "3 appraisers and 3 trials; use the ANOVA method");
  }
  const auto factor = [](int n) { return kSingleRangeFactors[static_cast<std::size_t>(n - 2)]; };
  const auto trial_row = static_cast<std::size_t>(study.trials - 2);
  const Cells cells(study);
  const Means means = means_of(cells);
  RangeGaugeRr result;
  for (int o = 0; o < study.appraisers; ++o) {
    for (int p = 0; p < study.parts; ++p) {
      result.mean_range += cells.range(o, p) / (study.appraisers * study.parts);
    }
  }
  result.appraiser_range = range_of(means.appraiser);
  result.part_range = range_of(means.part);
  result.equipment = result.mean_range * kRangeFactors[trial_row];
  result.range_limit = result.mean_range * kRangeLimitFactors[trial_row];
  const double between = result.appraiser_range * factor(study.appraisers);
  result.appraiser = std::sqrt(std::max(
      0.0, between * between - result.equipment * result.equipment / (study.parts * study.trials)));
  result.grr = std::hypot(result.equipment, result.appraiser);
  result.part = result.part_range * factor(study.parts);
  result.total = std::hypot(result.grr, result.part);
  result.categories_exact = kCategoryFactor * result.part / result.grr;
  if (!measure::all_finite({result.total, result.categories_exact})) return refuse(kTooLarge);
  result.categories = static_cast<int>(std::min(result.categories_exact, 1e6));
  return result;
}

Result<AnovaGaugeRr> anova_gauge_rr(const GaugeStudy& study, double alpha) {
  if (auto why = objection(study)) return refuse(*why);
  if (!(alpha >= 0 && alpha <= 1)) return refuse("alpha lies between 0 and 1");
  AnovaGaugeRr result;
  fill_lines(Cells(study), result);
  if (!std::isfinite(result.total.sum_of_squares)) return refuse(kTooLarge);

  const double p = study.parts;
  const double o = study.appraisers;
  const double r = study.trials;
  const double ms_interaction = result.interaction.mean_square;
  const double ms_error = result.error.mean_square;
  result.f_parts = ratio(result.parts.mean_square, ms_interaction);
  result.f_appraisers = ratio(result.appraisers.mean_square, ms_interaction);
  result.f_interaction = ratio(ms_interaction, ms_error);
  if (result.f_interaction) {
    result.p_interaction =
        f_upper_tail(*result.f_interaction, result.interaction.degrees_of_freedom,
                     result.error.degrees_of_freedom);
    result.interaction_pooled = *result.p_interaction > alpha;
  }
  result.repeatability_sd_not_pooled = std::sqrt(ms_error);

  double below = ms_interaction;  // what appraisers and parts are compared with
  result.repeatability_variance = ms_error;
  if (result.interaction_pooled) {
    below = (result.interaction.sum_of_squares + result.error.sum_of_squares) /
            (result.interaction.degrees_of_freedom + result.error.degrees_of_freedom);
    result.repeatability_variance = below;
  } else {
    result.interaction_variance = std::max(0.0, (ms_interaction - ms_error) / r);
  }
  result.appraiser_variance = std::max(0.0, (result.appraisers.mean_square - below) / (p * r));
  result.part_variance = std::max(0.0, (result.parts.mean_square - below) / (o * r));
  result.grr_variance =
      result.repeatability_variance + result.appraiser_variance + result.interaction_variance;
  result.total_variance = result.grr_variance + result.part_variance;
  result.categories_exact = kCategoryFactor * std::sqrt(result.part_variance / result.grr_variance);
  if (!measure::all_finite({result.total_variance, result.categories_exact})) {
    return refuse(kTooLarge);
  }
  result.categories = static_cast<int>(std::min(result.categories_exact, 1e6));
  return result;
}

Result<double> part_of_tolerance(double grr, double tolerance_width) {
  if (!std::isfinite(grr) || grr < 0) return refuse("the scatter is negative or not finite");
  if (!std::isfinite(tolerance_width) || !(tolerance_width > 0)) {
    return refuse("the width of the tolerance is not above zero");
  }
  const double part = kStudySigmas * grr / tolerance_width;
  if (!std::isfinite(part)) return refuse("the width of the tolerance is too small");
  return part;
}

}  // namespace tautmark
