// SPDX-License-Identifier: Apache-2.0
// Stick-slip: what is left about the local lines repeats itself. Its autocorrelation has a peak at
// the period; the height is that of a square wave of the same power.
#include <algorithm>
#include <cmath>

#include "tighten/trace_signs.h"

namespace tautmark::tighten {
namespace {

constexpr std::size_t kMost = 4096;
constexpr std::size_t kLeast = 24;
constexpr double kRepeats = 0.35;  // autocorrelation at the period
constexpr double kSamePeak = 0.8;  // of the highest

// Torque less its local line, evenly spaced from the elastic origin to the end.
std::vector<double> residuals(const CleanTrace& clean, const TraceFit& fit, double& spacing) {
  const double from = std::max(fit.origin, clean.angle.front());
  const double span = clean.angle.back() - from;
  spacing =
      (clean.angle.back() - clean.angle.front()) / static_cast<double>(clean.angle.size() - 1);
  spacing = std::max(spacing, span / kMost);
  std::vector<double> off;
  std::size_t i = 0;
  for (double angle = from; angle < clean.angle.back(); angle += spacing) {
    while (i + 1 < clean.angle.size() && clean.angle[i + 1] <= angle) ++i;
    off.push_back(clean.torque[i] - value_at(fit, clean.angle[i]));
  }
  double mean = 0;
  for (const double o : off) mean += o / static_cast<double>(off.size());
  for (double& o : off) o -= mean;
  return off;
}

double correlation(const std::vector<double>& off, std::size_t lag) {
  double sum = 0;
  for (std::size_t i = lag; i < off.size(); ++i) sum += off[i] * off[i - lag];
  return sum / static_cast<double>(off.size() - lag);
}

}  // namespace

std::optional<StickSlip> stick_slip_of(const CleanTrace& clean, const TraceFit& fit) {
  double spacing = 0;
  const std::vector<double> off = residuals(clean, fit, spacing);
  if (off.size() < kLeast) return std::nullopt;
  const double power = correlation(off, 0);
  if (!(power > 0)) return std::nullopt;
  const auto most = std::min(off.size() / 3, static_cast<std::size_t>(fit.window / spacing));
  std::size_t lag = 1;
  while (lag < most && correlation(off, lag) > 0) ++lag;  // past the peak at lag zero
  const std::size_t begin = lag;
  double peak = 0;
  for (; lag <= most; ++lag) peak = std::max(peak, correlation(off, lag));
  const double sure = std::max(kRepeats, 4 / std::sqrt(static_cast<double>(off.size())));
  if (peak < sure * power) return std::nullopt;
  // The same peak comes again at every multiple of the period: the first one counts, at its top.
  std::size_t best = begin;
  while (correlation(off, best) < kSamePeak * peak) ++best;
  while (best < most && correlation(off, best + 1) > correlation(off, best)) ++best;
  return StickSlip{Torque::from_si(2 * std::sqrt(peak)), deg(static_cast<double>(best) * spacing)};
}

}  // namespace tautmark::tighten
