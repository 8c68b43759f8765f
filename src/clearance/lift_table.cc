// SPDX-License-Identifier: Apache-2.0
#include "clearance/lift_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tautmark::clearance {
namespace {

constexpr double kCycle = 4 * std::numbers::pi;
constexpr double kAngleRounding = 1e-9;  // rad: far below what any wheel shows
constexpr double kCoarsest = 10 * kRadiansPerDegree;
constexpr double kShutStep = 5 * kRadiansPerDegree;
constexpr std::size_t kFewestReadings = 8, kFewestOpen = 4;
constexpr double kSameLift = 1e-6;  // m: first and last reading of a whole cycle

std::string shown(double angle) { return fmt::format("{:.6g}°", angle / kRadiansPerDegree); }

// Steps from each reading to the next, the last one round to the first.
std::vector<double> steps_of(const std::vector<TableReading>& table, double period) {
  std::vector<double> steps(table.size());
  for (std::size_t i = 0; i + 1 < table.size(); ++i) steps[i] = table[i + 1].at - table[i].at;
  steps.back() = period - (table.back().at - table.front().at);
  return steps;
}

Result<void> check_readings(const std::vector<LiftSample>& table) {
  if (table.size() < kFewestReadings)
    return refuse(fmt::format("a lift table needs {} readings or more", kFewestReadings));
  std::size_t open = 0;
  for (std::size_t i = 0; i < table.size(); ++i) {
    const auto [at, lift] = table[i];
    if (!std::isfinite(at.si()) || !std::isfinite(lift.si()))
      return refuse(fmt::format("reading {} is not a number", i + 1));
    if (lift.si() < 0)
      return refuse(
          fmt::format("the lift at {} is negative: set the gauge to zero on the base "
                      "circle",
                      shown(at.si())));
    if (i > 0 && !(at > table[i - 1].at))
      return refuse(fmt::format("the angles must rise: {} follows {}", shown(at.si()),
                                shown(table[i - 1].at.si())));
    if (lift > kShutLift) ++open;
  }
  if (open < kFewestOpen)
    return refuse(
        fmt::format("only {} readings are on the lobe: {} or more are needed", open, kFewestOpen));
  if (open == table.size())
    return refuse(
        "the table never comes back to the base circle: set the gauge to zero there and read on "
        "until the valve is shut");
  if ((table.back().at - table.front().at).si() > kCycle + kAngleRounding)
    return refuse("the table is longer than one cycle (720° crank, 360° cam)");
  return {};
}

// One after the other, the gaps over which the valve is shut filled up.
void add_shut(std::vector<TableReading>& whole, double from, double gap) {
  const int parts = static_cast<int>(std::ceil(gap / kShutStep));
  for (int i = 1; i < parts; ++i) whole.push_back({from + gap * i / parts, 0});
}

}  // namespace

Result<std::vector<TableReading>> whole_cycle(const std::vector<LiftSample>& table) {
  if (const auto fine = check_readings(table); !fine) return tl::make_unexpected(fine.error());
  std::vector<TableReading> readings;
  for (const LiftSample& sample : table) readings.push_back({sample.at.si(), sample.lift.si()});
  if (readings.back().at - readings.front().at > kCycle - kAngleRounding) {
    if (std::abs(readings.back().lift - readings.front().lift) > kSameLift)
      return refuse(
          fmt::format("the table does not close: {:.4g} mm at its beginning, {:.4g} mm "
                      "one cycle later",
                      readings.front().lift * 1e3, readings.back().lift * 1e3));
    readings.pop_back();
  }
  const std::vector<double> steps = steps_of(readings, kCycle);
  std::vector<TableReading> whole;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    whole.push_back(readings[i]);
    if (steps[i] <= kCoarsest + kAngleRounding) continue;
    const bool round = i + 1 == readings.size();
    const TableReading& next = readings[round ? 0 : i + 1];
    if (std::max(readings[i].lift, next.lift) > kShutLift.si())
      return refuse(
          round ? fmt::format("the table does not close: the valve is {:.4g} mm open at its "
                              "beginning and {:.4g} mm at its end",
                              next.lift * 1e3, readings[i].lift * 1e3)
                : fmt::format("from {} to {} is too far while the valve is open: read every 10° "
                              "crank (5° cam) or closer",
                              shown(readings[i].at), shown(next.at)));
    add_shut(whole, readings[i].at, steps[i]);
  }
  return whole;
}

std::vector<double> periodic_spline_slopes(const std::vector<TableReading>& table, double period) {
  const std::size_t n = table.size();
  const std::vector<double> h = steps_of(table, period);
  // Row i: below[i], diagonal[i], above[i] = 1/h_i; below[0] and above[n-1] are the corners, both
  // 1/h_{n-1}. A = T + u vᵀ with u = (g, 0, …, c), v = (1, 0, …, c/g), c the corner.
  std::vector<double> diagonal(n), rhs(n), fix(n, 0.0);
  const auto secant = [&](std::size_t i) {
    return (table[i + 1 == n ? 0 : i + 1].lift - table[i].lift) / h[i];
  };
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t b = i == 0 ? n - 1 : i - 1;
    diagonal[i] = 2 * (1 / h[b] + 1 / h[i]);
    rhs[i] = 3 * (secant(b) / h[b] + secant(i) / h[i]);
  }
  const double corner = 1 / h[n - 1], g = -diagonal[0];
  diagonal[0] -= g;
  diagonal[n - 1] -= corner * corner / g;
  fix[0] = g;
  fix[n - 1] = corner;
  for (std::size_t i = 1; i < n; ++i) {
    const double off = 1 / h[i - 1], factor = off / diagonal[i - 1];
    diagonal[i] -= factor * off;
    rhs[i] -= factor * rhs[i - 1];
    fix[i] -= factor * fix[i - 1];
  }
  rhs[n - 1] /= diagonal[n - 1];
  fix[n - 1] /= diagonal[n - 1];
  for (std::size_t i = n - 1; i-- > 0;) {
    rhs[i] = (rhs[i] - rhs[i + 1] / h[i]) / diagonal[i];
    fix[i] = (fix[i] - fix[i + 1] / h[i]) / diagonal[i];
  }
  const double share = corner / g;
  const double factor = (rhs[0] + share * rhs[n - 1]) / (1 + fix[0] + share * fix[n - 1]);
  for (std::size_t i = 0; i < n; ++i) rhs[i] -= factor * fix[i];
  return rhs;
}

void hold_shut(const std::vector<TableReading>& table, std::vector<double>& slopes) {
  for (std::size_t i = 0; i < table.size(); ++i)
    if (table[i].lift <= 0) slopes[i] = 0;
}

TablePoint between(const std::vector<TableReading>& table, const std::vector<double>& slopes,
                   double period, double at) {
  const std::size_t n = table.size();
  double rest = std::fmod(at - table.front().at, period);
  if (rest < 0) rest += period;
  const auto after = std::upper_bound(
      table.begin() + 1, table.end(), table.front().at + rest,
      [](double angle, const TableReading& reading) { return angle < reading.at; });
  const auto i = static_cast<std::size_t>(after - table.begin()) - 1;
  const std::size_t j = i + 1 == n ? 0 : i + 1;
  const double step = j == 0 ? table[0].at + period - table[i].at : table[j].at - table[i].at;
  const double t = (table[0].at + rest - table[i].at) / step;
  return {
      hermite(table[i].lift, step * slopes[i], table[j].lift, step * slopes[j], t),
      hermite_slope(table[i].lift, step * slopes[i], table[j].lift, step * slopes[j], t) / step};
}

}  // namespace tautmark::clearance
