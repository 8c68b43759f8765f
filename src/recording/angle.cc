// SPDX-License-Identifier: Apache-2.0
#include "recording/angle.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "recording/slots.h"

namespace tautmark {
namespace {

constexpr double kSameTooth = 1e-6;  // degrees

double slope(const Knots& k, std::size_t i) {
  return (k.angle[i + 1] - k.angle[i]) / (k.time[i + 1] - k.time[i]);
}

// Weighted harmonic mean of the slopes beside; the slope itself at the ends.
double tangent(const Knots& k, std::size_t i) {
  if (i == 0) return slope(k, 0);
  if (i + 1 == k.time.size()) return slope(k, i - 1);
  const double before = k.time[i] - k.time[i - 1], after = k.time[i + 1] - k.time[i];
  const double w1 = 2 * after + before, w2 = after + 2 * before;
  return (w1 + w2) / (w1 / slope(k, i - 1) + w2 / slope(k, i));
}

double hermite(const Knots& k, std::size_t i, double time) {
  const double h = k.time[i + 1] - k.time[i];
  const double s = (time - k.time[i]) / h;
  const double m0 = h * tangent(k, i), m1 = h * tangent(k, i + 1);
  const double a = k.angle[i], b = k.angle[i + 1] - a;
  // Angles relative to the knot before: many turns would cost digits.
  return a + s * (m0 + s * ((3 * b - 2 * m0 - m1) + s * (m0 + m1 - 2 * b)));
}

double lagrange(const Knots& k, std::size_t first, std::size_t count, double time) {
  const double base = k.angle[first];
  double sum = 0;
  for (std::size_t i = first; i < first + count; ++i) {
    double weight = 1;
    for (std::size_t j = first; j < first + count; ++j)
      if (j != i) weight *= (time - k.time[j]) / (k.time[i] - k.time[j]);
    sum += weight * (k.angle[i] - base);
  }
  return base + sum;
}

std::size_t knot_before(const Knots& k, double time) {
  const auto after = std::upper_bound(k.time.begin(), k.time.end(), time);
  const auto i = static_cast<std::size_t>(after - k.time.begin());
  return std::min(i == 0 ? 0 : i - 1, k.time.size() - 2);
}

// Index of the knot at `angle`, at or after `from`.
std::optional<std::size_t> knot_at_angle(const Knots& k, std::size_t from, double angle) {
  const auto at = std::lower_bound(k.angle.begin() + static_cast<std::ptrdiff_t>(from),
                                   k.angle.end(), angle - kSameTooth);
  if (at == k.angle.end() || *at > angle + kSameTooth) return std::nullopt;
  return static_cast<std::size_t>(at - k.angle.begin());
}

}  // namespace

double wrapped(double degrees, double cycle) {
  return degrees - cycle * std::floor((degrees + cycle / 2) / cycle);
}

double circular_mean(std::span<const double> degrees, double cycle) {
  double x = 0, y = 0;
  const double scale = 2 * std::numbers::pi / cycle;
  for (const double angle : degrees) {
    x += std::cos(angle * scale);
    y += std::sin(angle * scale);
  }
  if (degrees.empty()) return 0;
  const double mean = std::atan2(y, x) / scale;
  return mean < 0 ? mean + cycle : mean;
}

std::optional<double> angle_at(const Knots& knots, double time, Interpolation method) {
  const std::size_t n = knots.time.size();
  if (n < 2 || !(time >= knots.time.front()) || time > knots.time.back()) return std::nullopt;
  const std::size_t i = knot_before(knots, time);
  switch (method) {
    case Interpolation::linear:
      break;
    case Interpolation::three_point:
      if (n >= 3) return lagrange(knots, i == 0 ? 0 : i - 1, 3, time);
      break;
    case Interpolation::four_point:
      if (n >= 4) return lagrange(knots, std::min(i == 0 ? 0 : i - 1, n - 4), 4, time);
      break;
    case Interpolation::monotone_cubic:
      return hermite(knots, i, time);
  }
  return knots.angle[i] + slope(knots, i) * (time - knots.time[i]);
}

double speed_at(const Knots& knots, double time) {
  if (knots.time.size() < 2 || time < knots.time.front() || time > knots.time.back()) return 0;
  return slope(knots, knot_before(knots, time));
}

std::vector<TurnSpeed> speed_per_turn(const Knots& knots, const Wheel& wheel) {
  const std::size_t step = wheel.angles.size() / static_cast<std::size_t>(wheel.symmetry);
  std::vector<TurnSpeed> turns;
  for (std::size_t i = 0; i < knots.time.size();) {
    bool at_zero = false;
    for (std::size_t zero = 0; zero < wheel.angles.size(); zero += step)
      at_zero = at_zero || std::abs(wrapped(knots.angle[i] - wheel.angles[zero], 360)) < kSameTooth;
    const auto next = at_zero ? knot_at_angle(knots, i, knots.angle[i] + 360) : std::nullopt;
    if (!next) {
      ++i;
      continue;
    }
    turns.push_back(
        {(knots.time[i] + knots.time[*next]) / 2, 60 / (knots.time[*next] - knots.time[i])});
    i = *next;
  }
  return turns;
}

double ripple_uncertainty(int teeth, double per_minute) {
  constexpr double kRipple = 0.25, kAt = 250, kOrder = 2;
  if (teeth >= 6) return 0;
  const double falling = per_minute > kAt ? kAt / per_minute : 1;
  return kRipple * falling * falling * (180 / std::numbers::pi) / (kOrder * std::numbers::sqrt2);
}

Result<LearnedSpacing> learn_spacing(const Wheel& wheel, std::span<const Knots> pieces) {
  const std::size_t teeth = wheel.angles.size();
  std::vector<double> x;               // 1/n², per turn
  std::vector<std::vector<double>> y;  // angle of every tooth, per turn
  double slowest = 0, fastest = 0;
  for (const Knots& k : pieces) {
    for (std::size_t i = 0; i + teeth < k.time.size(); ++i) {
      if (std::abs(wrapped(k.angle[i], 360)) > kSameTooth) continue;
      if (std::abs(k.angle[i + teeth] - k.angle[i] - 360) > kSameTooth || i < teeth) continue;
      const double turn = k.time[i + teeth] - k.time[i], before = k.time[i] - k.time[i - teeth];
      const double speed = 60 / turn;
      if (speed < 1000 || std::abs(turn / before - 1) > 0.05) continue;
      // Speed changes evenly over the turn: angle = s + acceleration·s·(1 - s).
      std::vector<double> angles;
      const double bend = 0.5 * (1 - turn / before);
      for (std::size_t j = 0; j < teeth; ++j) {
        const double s = (k.time[i + j] - k.time[i]) / turn;
        angles.push_back(360 * (s - bend * s * (1 - s)));
      }
      y.push_back(std::move(angles));
      x.push_back(1e6 / (speed * speed));
      slowest = x.size() == 1 ? speed : std::min(slowest, speed);
      fastest = std::max(fastest, speed);
    }
  }
  if (x.size() < 10) return refuse("fewer than 10 steady turns above 1000 1/min");
  if (fastest < 1.3 * slowest)
    return refuse("one speed only: tooth spacing and speed ripple look the same");
  LearnedSpacing learned;
  learned.turns = static_cast<int>(x.size());
  const auto n = static_cast<double>(x.size());
  const double mean_x = std::accumulate(x.begin(), x.end(), 0.0) / n;
  double sxx = 0;
  for (const double v : x) sxx += (v - mean_x) * (v - mean_x);
  for (std::size_t j = 0; j < teeth; ++j) {
    double mean_y = 0, sxy = 0, residual = 0;
    for (const auto& turn : y) mean_y += turn[j] / n;
    for (std::size_t i = 0; i < x.size(); ++i) sxy += (x[i] - mean_x) * (y[i][j] - mean_y);
    const double b = sxy / sxx, a = mean_y - b * mean_x;
    for (std::size_t i = 0; i < x.size(); ++i)
      residual += (y[i][j] - a - b * x[i]) * (y[i][j] - a - b * x[i]);
    learned.teeth.push_back(
        {a - wheel.angles[j], std::sqrt(residual / (n - 2) * (1 / n + mean_x * mean_x / sxx))});
  }
  return learned;
}

std::vector<double> step_shares(std::span<const std::vector<double>> pieces, int teeth) {
  const auto p = static_cast<std::size_t>(teeth);
  std::vector<std::vector<double>> shares(p);
  for (const std::vector<double>& t : pieces) {
    for (std::size_t i = p; i + p + 1 < t.size(); ++i) {
      const double step = t[i + 1] - t[i];
      const std::size_t before = i - (p - 1) / 2, after = before + p;  // centered for odd p
      double share = step / (t[after] - t[before]);
      if (p % 2 == 0) share = (share + step / (t[after - 1] - t[before - 1])) / 2;
      shares[i % p].push_back(share);
    }
  }
  std::vector<double> steps;
  double sum = 0;
  for (auto& share : shares) {
    steps.push_back(lower_median(std::move(share)));
    sum += steps.back();
  }
  for (double& step : steps) step *= 360 / sum;
  return steps;
}

}  // namespace tautmark
