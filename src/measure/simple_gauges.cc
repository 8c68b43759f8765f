// SPDX-License-Identifier: Apache-2.0
#include "measure/simple_gauges.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "measure/statistics.h"
#include "measure/uncertainty.h"
#include "measure/validity.h"

namespace tautmark {
namespace {

constexpr double kSteepestStem = 45;

}  // namespace

Result<Length> dial_travel(Length reading, Angle stem_angle) {
  if (!std::isfinite(reading.si())) return refuse("the reading is not a finite number");
  if (!(std::abs(in_deg(stem_angle)) <= kSteepestStem + 1e-9)) {
    return refuse("a dial stem more than 45 degrees off the motion measures something else");
  }
  return reading * std::cos(stem_angle.si());
}

Result<FeelerGap> feeler_gap(const FeelerInterval& interval) {
  const double a = interval.passes.si();
  const double b = interval.does_not_pass.si();
  if (!measure::is_length(interval.passes) || !measure::is_length(interval.does_not_pass)) {
    return refuse("a blade lies within 100 m");
  }
  if (a < 0) return refuse("a blade is thinner than nothing");
  if (!(a < b)) return refuse("the blade that passes is thinner than the one that does not");
  return FeelerGap{.value = Length::from_si((a + b) / 2),
                   .u = Length::from_si(rectangular_u((b - a) / 2))};
}

Result<Decision> decide_feeler(const FeelerInterval& interval, const Limits& limits, double level) {
  const Result<FeelerGap> gap = feeler_gap(interval);
  if (!gap) return refuse(gap.error().why);
  // The normal decision is asked for its refusals of limits and level only.
  const Result<Decision> checked =
      decide({.value = gap->value.si(), .u = gap->u.si()}, limits, level);
  if (!checked) return refuse(checked.error().why);

  constexpr double kInfinity = std::numeric_limits<double>::infinity();
  const double a = interval.passes.si();
  const double b = interval.does_not_pass.si();
  const double lower = limits.lower.value_or(-kInfinity);
  const double upper = limits.upper.value_or(kInfinity);
  const double width = b - a;
  const double inside = std::max(0.0, std::min(b, upper) - std::max(a, lower)) / width;
  const double best = std::min(1.0, (upper - lower) / width);
  const double middle = gap->value.si();

  Decision result;
  result.probability_within = std::min(1.0, inside);
  result.guard_band = result.rejection_band = (level - 0.5) * width;
  // A hair of slack: 0.28 - 0.20 in binary is not 0.08, and equality belongs to the better verdict.
  constexpr double kHair = 1e-12;
  if (inside >= level - kHair) {
    result.conformity = Conformity::pass;
  } else if (middle < lower - result.rejection_band || middle > upper + result.rejection_band) {
    result.conformity = Conformity::fail;
  } else if (best < level - kHair) {
    result.conformity = Conformity::gauge_not_good_enough;
  } else {
    result.conformity =
        middle >= lower && middle <= upper ? Conformity::pass_in_band : Conformity::fail_in_band;
  }
  return result;
}

Result<RockedBore> rocked_bore(std::span<const Length> readings) {
  std::vector<double> values;
  for (const Length reading : readings) values.push_back(reading.si());
  const Result<Summary> summary = summarize(values);
  if (!summary) return refuse(summary.error().why);
  return RockedBore{.size = Length::from_si(summary->min),
                    .spread = Length::from_si(summary->max - summary->min),
                    .n = summary->n};
}

}  // namespace tautmark
