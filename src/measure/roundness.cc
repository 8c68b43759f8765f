// SPDX-License-Identifier: Apache-2.0
#include "measure/roundness.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "measure/statistics.h"
#include "measure/validity.h"

namespace tautmark {
namespace {

using std::numbers::pi;

constexpr double kSameDirection = 5 * kRadiansPerDegree;
constexpr double kLargestFactor = 20;
constexpr double kSmallestV = 20;
constexpr double kLargestV = 160;

// D0, A, B: the three unknowns of the oval.
using Triple = std::array<double, 3>;
using Matrix = std::array<Triple, 3>;

double dot(const Triple& a, const Triple& b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }
Triple cross(const Triple& a, const Triple& b) {
  return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}

Triple design_row(Angle direction) {
  return {1, std::cos(2 * direction.si()), std::sin(2 * direction.si())};
}

// Half a turn apart is the same diameter.
double apart(double a, double b) {
  const double d = std::abs(std::remainder(a - b, pi));
  return std::min(d, pi - d);
}

int distinct_directions(std::span<const DiameterReading> readings) {
  std::vector<double> seen;
  for (const DiameterReading& reading : readings) {
    const double t = reading.direction.si();
    const bool is_new = std::all_of(seen.begin(), seen.end(),
                                    [&](double s) { return apart(s, t) > kSameDirection; });
    if (is_new) seen.push_back(t);
  }
  return static_cast<int>(seen.size());
}

}  // namespace

Result<DiameterSummary> diameter_summary(std::span<const Length> diameters) {
  std::vector<double> values;
  for (const Length d : diameters) {
    if (!measure::is_size(d)) return refuse("a diameter is above zero, up to 100 m");
    values.push_back(d.si());
  }
  const Result<Summary> summary = summarize(values);
  if (!summary) return refuse(summary.error().why);
  const double range = summary->max - summary->min;
  return DiameterSummary{.n = summary->n,
                         .mean = Length::from_si(summary->mean),
                         .min = Length::from_si(summary->min),
                         .max = Length::from_si(summary->max),
                         .out_of_round_difference = Length::from_si(range),
                         .out_of_round_radial = Length::from_si(range / 2)};
}

Result<Taper> taper(Length top, Length bottom, Length distance) {
  if (!measure::is_size(top) || !measure::is_size(bottom) || !measure::is_size(distance)) {
    return refuse("both diameters and the distance between them are above zero, up to 100 m");
  }
  const Length difference = top - bottom;
  const double ratio = difference / distance;
  if (!std::isfinite(ratio)) return refuse("the distance is too small");
  return Taper{.difference = difference,
               .on_diameter = Ratio::from_si(ratio),
               .wall_angle = Angle::from_si(std::atan(ratio / 2))};
}

Result<OvalFit> oval_fit(std::span<const DiameterReading> readings) {
  for (const DiameterReading& reading : readings) {
    if (!std::isfinite(reading.direction.si())) return refuse("a direction is not a finite number");
    if (!measure::is_size(reading.diameter)) {
      return refuse("a diameter is above zero, up to 100 m");
    }
  }
  if (distinct_directions(readings) < 3) {
    return refuse("an oval needs diameters in at least three directions, 60 degrees apart is best");
  }
  // Deviations from the first reading: micrometers of form on top of 25 mm of size.
  const double base = readings.front().diameter.si();
  Matrix normal{};
  Triple right{};
  for (const DiameterReading& reading : readings) {
    const Triple row = design_row(reading.direction);
    for (std::size_t i = 0; i < 3; ++i) {
      for (std::size_t j = 0; j < 3; ++j) normal[i][j] += row[i] * row[j];
      right[i] += row[i] * (reading.diameter.si() - base);
    }
  }
  // Inverse of a symmetric 3 x 3 matrix: cross products of its rows over the determinant.
  Matrix inverse = {cross(normal[1], normal[2]), cross(normal[2], normal[0]),
                    cross(normal[0], normal[1])};
  const double determinant = dot(normal[0], inverse[0]);
  const auto n = static_cast<double>(readings.size());
  if (!(determinant > 1e-9 * n * n * n)) return refuse("the directions lie too close together");
  for (Triple& row : inverse) {
    for (double& element : row) element /= determinant;
  }
  const Triple fit = {dot(inverse[0], right), dot(inverse[1], right), dot(inverse[2], right)};
  const double a = fit[1];
  const double b = fit[2];
  const double r = std::hypot(a, b);
  // Variance of the amplitude along its own direction, or the worst one where it has none.
  const double mean_variance = (inverse[1][1] + inverse[2][2]) / 2;
  const double worst_variance =
      mean_variance + std::hypot((inverse[1][1] - inverse[2][2]) / 2, inverse[1][2]);
  if (std::sqrt(worst_variance) > kLargestFactor) {
    return refuse("the directions lie too close together");
  }

  OvalFit result;
  result.mean_diameter = Length::from_si(base + fit[0]);
  result.amplitude = Length::from_si(r);
  result.out_of_round_difference = Length::from_si(2 * r);
  result.out_of_round_radial = Length::from_si(r);
  result.mean_u_factor = std::sqrt(inverse[0][0]);
  result.amplitude_u_factor = std::sqrt(worst_variance);
  if (r > 0) {
    const double axis = std::atan2(b, a) / 2;
    result.long_axis = Angle::from_si(axis < 0 ? axis + pi : axis);
    result.amplitude_u_factor =
        std::sqrt((a * a * inverse[1][1] + 2 * a * b * inverse[1][2] + b * b * inverse[2][2])) / r;
  }
  if (readings.size() > 3) {
    double squares = 0;
    for (const DiameterReading& reading : readings) {
      const double rest = reading.diameter.si() - base - dot(design_row(reading.direction), fit);
      squares += rest * rest;
    }
    result.residual_sd = Length::from_si(std::sqrt(squares / (n - 3)));
  }
  return result;
}

Result<CapturedPart> captured_part(int directions) {
  if (directions < 2 || directions > 180) return refuse("2 to 180 directions");
  if (directions % 2 == 0) return CapturedPart{.least = std::cos(pi / directions), .most = 1};
  const double c = std::cos(pi / (2 * directions));
  return CapturedPart{.least = c * c, .most = c};
}

Result<double> two_point_factor(int lobes) {
  if (lobes < 2 || lobes > 100) return refuse("2 to 100 lobes");
  return lobes % 2 == 0 ? 2.0 : 0.0;
}

Result<double> three_point_factor(Angle included_angle, int lobes) {
  if (lobes < 2 || lobes > 100) return refuse("2 to 100 lobes");
  // Negated so that NaN is caught; a hair of slack for degrees turned into radians.
  if (!(in_deg(included_angle) >= kSmallestV - 1e-9 &&
        in_deg(included_angle) <= kLargestV + 1e-9)) {
    return refuse("the included angle of the V block lies between 20 and 160 degrees");
  }
  const double beta = pi / 2 - included_angle.si() / 2;
  const double sign = lobes % 2 == 0 ? 1 : -1;
  const double factor = std::abs(1 + sign * std::cos(lobes * beta) / std::cos(beta));
  // A blind combination comes out as rounding; dividing by that would look like an answer.
  return factor < 1e-12 ? 0 : factor;
}

}  // namespace tautmark
