// SPDX-License-Identifier: Apache-2.0
#include "clearance/phase_fit_solve.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace tautmark::clearance {
namespace {

constexpr double kDegree = kRadiansPerDegree;
constexpr int kMostSteps = 60;
constexpr int kMostRounds = 40;
constexpr double kSettled = 1e-12, kSettledRound = 1e-9;  // rad
constexpr double kDetermined = 1e-9;  // smallest pivot, of its column: below, it is not seen

// 0 where either side does not vary: nothing to be seen at that phase.
double correlation(const LiftCurve& reference, std::span<const LiftSample> readings, double eps) {
  double x = 0, y = 0, xx = 0, yy = 0, xy = 0;
  for (const LiftSample& reading : readings) {
    const double l = lift(reference, reading.at + CrankAngle::from_si(eps)).si();
    const double r = (reading.lift - readings.front().lift).si();
    x += l, y += r, xx += l * l, yy += r * r, xy += l * r;
  }
  const auto n = static_cast<double>(readings.size());
  const double spread = (xx - x * x / n) * (yy - y * y / n);
  return spread > 0 ? (xy - x * y / n) / std::sqrt(spread) : 0;
}

using Three = std::array<double, 3>;

struct Normal {
  std::array<Three, 3> matrix{};
  Three rhs{};
  double chi_square = 0;
};

std::vector<double> weights_at(const LiftCurve& reference, std::span<const LiftSample> readings,
                               const Solution& at, const Weighting& weighting) {
  std::vector<double> out;
  out.reserve(readings.size());
  for (const LiftSample& reading : readings) {
    const double slope = at.scale * lift_slope(reference, reading.at + CrankAngle::from_si(at.eps));
    out.push_back(1 / (weighting.lift_variance + slope * slope * weighting.angle_variance));
  }
  return out;
}

// Columns: eps, zero, scale. Without a scale its row is that of the unit matrix.
Normal normal_at(const LiftCurve& reference, std::span<const LiftSample> readings,
                 std::span<const double> weights, const Solution& at, bool fit_scale) {
  Normal out;
  for (std::size_t k = 0; k < readings.size(); ++k) {
    const CrankAngle theta = readings[k].at + CrankAngle::from_si(at.eps);
    const double l = lift(reference, theta).si();
    const double residual = readings[k].lift.si() - at.scale * l - at.zero;
    const Three row{at.scale * lift_slope(reference, theta), 1, fit_scale ? l : 0};
    for (std::size_t i = 0; i < 3; ++i) {
      for (std::size_t j = 0; j < 3; ++j) out.matrix[i][j] += weights[k] * row[i] * row[j];
      out.rhs[i] += weights[k] * row[i] * residual;
    }
    out.chi_square += weights[k] * residual * residual;
  }
  if (!fit_scale) out.matrix[2] = {0, 0, 1};
  return out;
}

// Cholesky; empty where a column is hardly more than the ones before it.
std::optional<std::array<Three, 3>> inverse(std::array<Three, 3> a) {
  // Scaled to a unit diagonal first: radians and meters share the matrix.
  Three unit{};
  for (std::size_t i = 0; i < 3; ++i) {
    if (!(a[i][i] > 0)) return std::nullopt;
    unit[i] = 1 / std::sqrt(a[i][i]);
  }
  std::array<Three, 3> lower{}, lower_inverse{};
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j <= i; ++j) {
      double sum = a[i][j] * unit[i] * unit[j];
      for (std::size_t k = 0; k < j; ++k) sum -= lower[i][k] * lower[j][k];
      if (i == j && !(sum > kDetermined)) return std::nullopt;
      lower[i][j] = i == j ? std::sqrt(sum) : sum / lower[j][j];
    }
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j <= i; ++j) {
      double sum = i == j ? 1 : 0;
      for (std::size_t k = j; k < i; ++k) sum -= lower[i][k] * lower_inverse[k][j];
      lower_inverse[i][j] = sum / lower[i][i];
    }
  std::array<Three, 3> out{};
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 3; ++j)
      for (std::size_t k = std::max(i, j); k < 3; ++k)
        out[i][j] += lower_inverse[k][i] * lower_inverse[k][j] * unit[i] * unit[j];
  return out;
}

// With fixed weights, from `at`, which is moved. False: not determined, or it does not settle.
bool settle(const LiftCurve& reference, std::span<const LiftSample> readings,
            std::span<const double> weights, bool fit_scale, Solution& at) {
  Normal normal = normal_at(reference, readings, weights, at, fit_scale);
  for (int step = 0; step < kMostSteps; ++step) {
    const auto inverted = inverse(normal.matrix);
    if (!inverted) return false;
    Three move{};
    for (std::size_t i = 0; i < 3; ++i)
      for (std::size_t j = 0; j < 3; ++j) move[i] += (*inverted)[i][j] * normal.rhs[j];
    const Solution next{.eps = at.eps + move[0],
                        .zero = at.zero + move[1],
                        .scale = at.scale + (fit_scale ? move[2] : 0)};
    const bool settled = std::abs(next.eps - at.eps) < kSettled;
    at = next;
    normal = normal_at(reference, readings, weights, at, fit_scale);
    at.chi_square = normal.chi_square;
    at.eps_variance = (*inverted)[0][0];
    if (settled) return true;
  }
  return false;
}

}  // namespace

double best_start(const LiftCurve& reference, std::span<const LiftSample> readings, double within) {
  const int reach = static_cast<int>(std::ceil(std::min(within / kDegree, 360.0)));
  double best = 0, most = 0;
  for (int i = -reach; i <= reach; ++i) {
    const double here = correlation(reference, readings, i * kDegree);
    if (here <= most) continue;
    most = here;
    best = i * kDegree;
  }
  return best;
}

std::optional<Solution> gauss_newton(const LiftCurve& reference,
                                     std::span<const LiftSample> readings, double start,
                                     const Weighting& weighting, bool fit_scale) {
  Solution at{.eps = start};
  // The gauge zero of the start: the mean of what the lift leaves.
  for (const LiftSample& reading : readings)
    at.zero += (reading.lift - lift(reference, reading.at + CrankAngle::from_si(start))).si() /
               static_cast<double>(readings.size());
  // The weights follow the slope at the phase found: fitted again until they stay.
  for (int round = 0; round < kMostRounds; ++round) {
    const double before = at.eps;
    const auto weights = weights_at(reference, readings, at, weighting);
    if (!settle(reference, readings, weights, fit_scale, at)) return std::nullopt;
    if (weighting.angle_variance == 0 || std::abs(at.eps - before) < kSettledRound) return at;
  }
  return std::nullopt;
}

std::optional<double> eps_variance(const LiftCurve& reference, std::span<const LiftSample> readings,
                                   const Weighting& weighting) {
  const auto inverted = inverse(
      normal_at(reference, readings, weights_at(reference, readings, {}, weighting), {}, false)
          .matrix);
  if (!inverted) return std::nullopt;
  return (*inverted)[0][0];
}

}  // namespace tautmark::clearance
