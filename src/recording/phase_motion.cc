// SPDX-License-Identifier: Apache-2.0
#include "recording/phase_motion.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "recording/slots.h"

namespace tautmark {
namespace {

constexpr double kNoise = 8;      // sd: 400 cycles of noise span 6
constexpr double kSlowest = 0.5;  // deg/s: slower is drift
constexpr std::size_t kStay = 4;  // cycles that make a level

// Turning points of a zigzag whose legs are over the reach at the later cycle.
std::vector<std::size_t> turning_points(const std::vector<double>& psi,
                                        const std::vector<double>& reach) {
  std::vector<std::size_t> points;
  std::size_t low = 0, high = 0;
  int way = 0;  // of the leg now: +1 up, -1 down, 0 not yet known
  for (std::size_t i = 1; i < psi.size(); ++i) {
    if (way <= 0 && psi[i] < psi[low]) low = i;
    if (way >= 0 && psi[i] > psi[high]) high = i;
    if (way <= 0 && psi[i] - psi[low] > reach[i]) {
      points.push_back(low);
      way = 1;
      high = i;
    } else if (way >= 0 && psi[high] - psi[i] > reach[i]) {
      points.push_back(high);
      way = -1;
      low = i;
    }
  }
  if (way != 0) points.push_back(way > 0 ? high : low);
  return points;
}

// Where the phase stands before or after a leg; the turning point itself when it does not stay.
double level(std::span<const CyclePhase> cycles, std::size_t from, std::size_t to,
             std::size_t turning) {
  std::vector<double> psi;
  for (std::size_t i = from; i <= to; ++i) psi.push_back(cycles[i].psi);
  return psi.size() < kStay ? cycles[turning].psi : lower_median(std::move(psi));
}

PhaseMotion motion_between(std::span<const CyclePhase> cycles, std::size_t first,
                           std::size_t last) {
  PhaseMotion m;
  const double start = cycles[first].psi, way = cycles[last].psi - start;
  m.end = first;
  while (m.end < last && (cycles[m.end].psi - start) / way < 0.9) ++m.end;
  m.begin = m.end;
  while (m.begin > first && (cycles[m.begin].psi - start) / way > 0.1) --m.begin;
  m.begin_time = cycles[m.begin].time;
  m.end_time = cycles[m.end].time;
  m.turning_time = cycles[last].time;
  m.from = level(cycles, first, m.begin, first);
  m.to = level(cycles, m.end, last, last);
  for (std::size_t i = m.begin; i < m.end; ++i) {
    const double rate = (cycles[i + 1].psi - cycles[i].psi) / (cycles[i + 1].time - cycles[i].time);
    if (rate * way > m.greatest_rate * way) m.greatest_rate = rate;
  }
  return m;
}

}  // namespace

std::string change_words(double degrees) {
  if (std::abs(degrees) < 0.05) return "no change";
  return fmt::format("{:.1f}° {} (crank), {:.1f}° cam", std::abs(degrees),
                     degrees > 0 ? "earlier" : "later", std::abs(degrees) / 2);
}

double robust_jitter(std::span<const double> psi) {
  std::vector<double> sizes;
  for (std::size_t i = 1; i < psi.size(); ++i) sizes.push_back(std::abs(psi[i] - psi[i - 1]));
  return 1.4826 / std::numbers::sqrt2 * lower_median(std::move(sizes));
}

std::vector<PhaseMotion> phase_motions(const CamPhase& phase, double least) {
  std::vector<double> psi, speeds, reach;
  for (const CyclePhase& c : phase.cycles) {
    psi.push_back(c.psi);
    speeds.push_back(c.per_minute);
  }
  const double usual = lower_median(speeds);
  const double floor = std::max(least, kNoise * robust_jitter(psi));
  for (const double speed : speeds) {
    const double slower = speed > 0 ? usual / speed : 1;
    reach.push_back(std::max(floor, 2 * phase.systematic * slower * slower));
  }
  std::vector<PhaseMotion> motions;
  const std::vector<std::size_t> points = turning_points(psi, reach);
  for (std::size_t i = 1; i < points.size(); ++i) {
    const PhaseMotion m = motion_between(phase.cycles, points[i - 1], points[i]);
    if (std::abs(m.to - m.from) > kSlowest * (m.end_time - m.begin_time)) motions.push_back(m);
  }
  return motions;
}

TwoLevels two_levels(std::span<const double> psi) {
  TwoLevels levels;
  if (psi.size() < 8) return levels;
  std::vector<double> sorted(psi.begin(), psi.end());
  std::sort(sorted.begin(), sorted.end());
  const auto n = static_cast<double>(sorted.size());
  double left = 0, best = 0;
  const double total = std::accumulate(sorted.begin(), sorted.end(), 0.0);
  for (std::size_t k = 1; k < sorted.size(); ++k) {
    left += sorted[k - 1];
    const auto count = static_cast<double>(k);
    const double low = left / count, high = (total - left) / (n - count);
    const double between = count * low * low + (n - count) * high * high;
    if (k > 1 && between <= best) continue;
    best = between;
    levels.at_low = static_cast<int>(k);
  }
  levels.at_high = static_cast<int>(sorted.size()) - levels.at_low;
  const double cut = sorted[static_cast<std::size_t>(levels.at_low) - 1];
  std::vector<double> below, above, apart;
  for (const double v : psi) (v > cut ? above : below).push_back(v);
  levels.low = lower_median(below);
  levels.high = above.empty() ? levels.low : lower_median(above);
  for (const double v : psi) apart.push_back(std::abs(v - (v > cut ? levels.high : levels.low)));
  levels.scatter = 1.4826 * lower_median(std::move(apart));
  const double distance = levels.high - levels.low, middle = levels.low + distance / 2;
  int between = 0;
  for (std::size_t i = 0; i < psi.size(); ++i) {
    if (i > 0 && (psi[i] > middle) != (psi[i - 1] > middle)) ++levels.changes;
    if (std::abs(psi[i] - middle) < distance / 6) ++between;
  }
  levels.found = levels.changes >= 4 && distance >= 1 && distance <= 10 &&
                 distance > 5 * levels.scatter && between <= 0.05 * n + 0.5 * levels.changes &&
                 std::min(levels.at_low, levels.at_high) >= 3;
  return levels;
}

std::optional<Skewness> skewness(std::span<const double> psi) {
  if (psi.size() < 8) return std::nullopt;
  const auto n = static_cast<double>(psi.size());
  double mean = 0, m2 = 0, m3 = 0;
  for (const double v : psi) mean += v / n;
  for (const double v : psi) {
    m2 += (v - mean) * (v - mean) / n;
    m3 += std::pow(v - mean, 3) / n;
  }
  if (!(m2 > 0)) return std::nullopt;
  const double g = m3 / std::pow(m2, 1.5);
  // Transformation to a standard normal.
  const double y = g * std::sqrt((n + 1) * (n + 3) / (6 * (n - 2)));
  const double beta =
      3 * (n * n + 27 * n - 70) * (n + 1) * (n + 3) / ((n - 2) * (n + 5) * (n + 7) * (n + 9));
  const double w2 = -1 + std::sqrt(2 * (beta - 1));
  const double delta = 1 / std::sqrt(0.5 * std::log(w2)), alpha = std::sqrt(2 / (w2 - 1));
  const double z = delta * std::asinh(y / alpha);
  return Skewness{g * std::sqrt(n * (n - 1)) / (n - 2),
                  std::erfc(std::abs(z) / std::numbers::sqrt2)};
}

}  // namespace tautmark
