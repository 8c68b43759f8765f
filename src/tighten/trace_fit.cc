// SPDX-License-Identifier: Apache-2.0
#include "tighten/trace_fit.h"

#include <algorithm>
#include <cmath>

namespace tautmark::tighten {
namespace {

constexpr double kWindow = 8, kLeastWindow = 4;  // degrees
constexpr double kSteps = 16;                    // of the grid in a window
constexpr double kMostLines = 20'000;
constexpr double kBandLow = 0.4, kBandHigh = 0.8;
constexpr double kOffLine = 0.01;  // of the largest torque
constexpr double kNear = 4;        // standard deviations of a smoothed torque
constexpr double kHalf = 0.5, kOnset = 0.9;
constexpr std::size_t kLeastInWindow = 5, kLeastInBand = 4;

void smooth(const CleanTrace& clean, double window, TraceFit& fit) {
  const double span = clean.angle.back() - clean.angle.front();
  fit.window = window;
  fit.lines = local_lines(clean, window, std::max(window / kSteps, span / kMostLines));
  fit.most = 0;
  for (std::size_t j = 0; j < fit.lines.size(); ++j) {
    if (fit.lines[j].value > fit.most) fit.most = fit.lines[j].value, fit.at_most = j;
  }
}

// A window that fits into the rise, and holds points enough.
double window_for(const CleanTrace& clean, const TraceFit& fit) {
  const double low = fit.lines[reaches(fit, 0.2 * fit.most)].angle;
  const double high = fit.lines[reaches(fit, kBandHigh * fit.most)].angle;
  const double spacing =
      (clean.angle.back() - clean.angle.front()) / static_cast<double>(clean.angle.size() - 1);
  const double least = std::max(kLeastWindow, spacing * kLeastInWindow);
  return std::clamp((high - low) / 4, least, std::max(least, kWindow));
}

double noise_of(const CleanTrace& clean, const TraceFit& fit) {
  std::vector<double> off;
  for (std::size_t i = 0; i < clean.angle.size(); ++i) {
    off.push_back(std::abs(clean.torque[i] - value_at(fit, clean.angle[i])));
  }
  const auto middle = off.begin() + static_cast<std::ptrdiff_t>(off.size() / 2);
  std::nth_element(off.begin(), middle, off.end());
  return 1.4826 * *middle;  // of a normal distribution, from its median deviation
}

void fit_straight(const CleanTrace& clean, TraceFit& fit) {
  const std::vector<LocalLine>& v = fit.lines;
  fit.low = reaches(fit, kBandLow * fit.most);
  fit.high = reaches(fit, kBandHigh * fit.most);
  fit.line = fitted_line(clean, v[fit.low].angle, v[fit.high].angle);
  if (fit.line.points < kLeastInBand || fit.line.slope <= 0) return;
  const double in_window =
      std::max(1.0, static_cast<double>(fit.line.points) * fit.window /
                        std::max(fit.window, v[fit.high].angle - v[fit.low].angle));
  const double near = std::max(kNear * fit.line.sd / std::sqrt(in_window), kOffLine * fit.most);
  const Line first = fit.line;
  const auto on_line = [&](std::size_t j) {
    return std::abs(v[j].value - first.at(v[j].angle)) <= near;
  };
  // Of the first band its middle stays in any case; what bends away at an end is left out.
  const std::size_t middle = (fit.low + fit.high) / 2;
  std::size_t low = middle, high = middle;
  while (low > 0 && on_line(low - 1)) --low;
  while (high + 1 < v.size() && on_line(high + 1)) ++high;
  fit.low = low;
  fit.high = high;
  fit.line = fitted_line(clean, v[low].angle, v[high].angle);
  fit.straight = on_line(middle) && fit.line.points >= kLeastInBand && fit.line.slope > 0 &&
                 v[low].value <= 0.5 * fit.most && v[high].value - v[low].value >= 0.3 * fit.most &&
                 near <= 0.1 * fit.most;
}

// Median of what is recorded well before the line begins.
void find_prevailing(const CleanTrace& clean, TraceFit& fit) {
  const double zero = -fit.line.at_zero / fit.line.slope;
  const double end = zero - std::max(1.5 * fit.window, 0.2 * (fit.lines[fit.low].angle - zero));
  std::vector<double> before;
  for (std::size_t i = 0; i < clean.angle.size() && clean.angle[i] < end; ++i) {
    before.push_back(clean.torque[i]);
  }
  if (before.size() < kLeastInWindow || end - clean.angle.front() < kLeastWindow) return;
  // Where the torque still runs along the line nothing was recorded before it.
  const auto middle = before.begin() + static_cast<std::ptrdiff_t>(before.size() / 2);
  std::nth_element(before.begin(), middle, before.end());
  fit.prevailing = std::max(0.0, *middle);
  fit.prevailing_sd = fit.noise / std::sqrt(static_cast<double>(before.size()));
}

// Where the gradient passes `level` between two neighbors of the grid.
double crossing(const LocalLine& a, const LocalLine& b, double level) {
  if (a.slope == b.slope) return b.angle;
  return a.angle +
         (b.angle - a.angle) * std::clamp((a.slope - level) / (a.slope - b.slope), 0., 1.);
}

void find_yield(TraceFit& fit) {
  const std::vector<LocalLine>& v = fit.lines;
  const double half = kHalf * fit.line.slope;
  const std::size_t from = std::max(reaches(fit, kBandHigh * fit.most), fit.low + 1);
  std::size_t run = 0;
  for (std::size_t j = from; j < v.size(); ++j) {
    run = v[j].slope < half ? run + 1 : 0;
    const std::size_t begin = j + 1 - std::max<std::size_t>(run, 1);
    if (run == 0 || v[j].angle - v[begin].angle < fit.window / 2) continue;
    fit.yield_angle = crossing(v[begin - 1], v[begin], half);
    fit.yield_torque = value_at(fit, *fit.yield_angle);
    const double level = kOnset * fit.line.slope;
    std::size_t k = begin;
    while (k > fit.low + 1 && v[k - 1].slope < level) --k;
    fit.onset_angle = crossing(v[k - 1], v[k], level);
    fit.onset_torque = value_at(fit, *fit.onset_angle);
    return;
  }
}

}  // namespace

double value_at(const TraceFit& fit, double angle) {
  const std::vector<LocalLine>& v = fit.lines;
  const auto above = std::lower_bound(v.begin(), v.end(), angle,
                                      [](const LocalLine& l, double a) { return l.angle < a; });
  if (above == v.begin()) return v.front().value;
  if (above == v.end()) return v.back().value + v.back().slope * (angle - v.back().angle);
  const LocalLine& a = *(above - 1);
  return a.value + (above->value - a.value) * (angle - a.angle) / (above->angle - a.angle);
}

std::size_t reaches(const TraceFit& fit, double torque) {
  std::size_t j = 0;
  while (j < fit.lines.size() && fit.lines[j].value < torque) ++j;
  return j;
}

TraceFit fit_trace(const CleanTrace& clean) {
  TraceFit fit;
  if (clean.angle.size() < 3 * kLeastInWindow) return fit;
  smooth(clean, kLeastWindow, fit);
  if (fit.lines.empty() || !(fit.most > 0)) return {};
  const double window = window_for(clean, fit);
  if (window > clean.angle.back() - clean.angle.front()) return {};
  smooth(clean, window, fit);
  if (!(fit.most > 0)) return {};
  fit.noise = noise_of(clean, fit);
  fit_straight(clean, fit);
  if (!(fit.line.slope > 0)) {
    fit.origin = fit.lines[fit.low].angle;
    return fit;
  }
  find_prevailing(clean, fit);
  fit.origin = (fit.prevailing.value_or(0) - fit.line.at_zero) / fit.line.slope;
  find_yield(fit);
  return fit;
}

}  // namespace tautmark::tighten
