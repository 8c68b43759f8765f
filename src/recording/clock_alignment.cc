// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "recording/command_log.h"

namespace tautmark {
namespace {

// Pearson's correlation and what a fit of offset, scale and level leaves.
struct SpeedFit {
  double correlation = -1, rest = 0;  // of the log's speed, square sum
  double offset_error = 0;            // s
  int rows = 0;
};

double speed_at_time(std::span<const TurnSpeed> speed, double time, double& slope) {
  const auto after = std::upper_bound(speed.begin(), speed.end(), time,
                                      [](double t, const TurnSpeed& s) { return t < s.time; });
  const TurnSpeed& b = *after;
  const TurnSpeed& a = *(after - 1);
  slope = (b.per_minute - a.per_minute) / (b.time - a.time);
  return a.per_minute + slope * (time - a.time);
}

SpeedFit fit_at(const CommandLog& log, std::span<const TurnSpeed> speed, double offset) {
  double n = 0, x = 0, y = 0, s = 0, xx = 0, xy = 0, yy = 0, xs = 0, ss = 0;
  for (std::size_t i = 0; i < log.time.size(); ++i) {
    const double time = log.time[i] + offset, own = log.per_minute[i];
    if (!std::isfinite(own) || time < speed.front().time || time >= speed.back().time) continue;
    double slope = 0;
    const double other = speed_at_time(speed, time, slope);
    ++n, x += other, y += own, s += slope;
    xx += other * other, xy += other * own, yy += own * own, xs += other * slope,
        ss += slope * slope;
  }
  SpeedFit fit;
  fit.rows = static_cast<int>(n);
  if (n < 8) return fit;
  xx -= x * x / n, xy -= x * y / n, yy -= y * y / n, xs -= x * s / n, ss -= s * s / n;
  if (!(xx > 0) || !(yy > 0)) return fit;
  fit.correlation = xy / std::sqrt(xx * yy);
  fit.rest = yy - xy * xy / xx;
  const double scale = xy / xx, free_slope = ss - xs * xs / xx;
  if (free_slope > 0 && scale != 0)
    fit.offset_error = std::sqrt(fit.rest / (n - 3) / free_slope) / std::abs(scale);
  return fit;
}

}  // namespace

Result<ClockOffset> align_clocks(const CommandLog& log, std::span<const TurnSpeed> speed) {
  if (log.per_minute.empty()) return refuse("the log has no engine speed to find its clock by");
  if (speed.size() < 8 || log.time.size() < 8) return refuse("too short to align the clocks");
  const double period = log_period(log);
  const double shorter =
      std::min(log.time.back() - log.time.front(), speed.back().time - speed.front().time);
  const double step = std::max(period / 8, shorter / 20000);
  const double first = speed.front().time - log.time.back() + shorter / 2;
  const double last = speed.back().time - log.time.front() - shorter / 2;
  std::vector<std::pair<double, SpeedFit>> fits;
  for (double offset = first; offset <= last; offset += step)
    fits.emplace_back(offset, fit_at(log, speed, offset));
  const auto less = [](const auto& a, const auto& b) {
    return a.second.correlation < b.second.correlation;
  };
  auto best = *std::max_element(fits.begin(), fits.end(), less);
  if (best.second.rows < 8) return refuse("fewer than 8 rows of the log lie in the recording");
  for (double half = step / 2; half > 1e-7; half /= 2)
    for (const double offset : {best.first - half, best.first + half}) {
      const SpeedFit fit = fit_at(log, speed, offset);
      if (fit.correlation > best.second.correlation) best = {offset, fit};
    }
  if (best.second.correlation < 0.8)
    return refuse(
        fmt::format("the engine speeds of log and recording do not agree at any offset "
                    "(correlation {:.2f} at best): not the same run, or too steady",
                    best.second.correlation));
  // A second peak whose rest no F test at 5 % tells from the first: (rest ratio) under about
  // 1 + 4/rows. Beside the peak the correlation falls evenly; that is no second one.
  for (std::size_t i = 1; i + 1 < fits.size(); ++i) {
    const SpeedFit& fit = fits[i].second;
    const bool is_peak = !less(fits[i], fits[i - 1]) && !less(fits[i], fits[i + 1]);
    if (!is_peak || std::abs(fits[i].first - best.first) < 2 * period) continue;
    const double spread_here = fit.rest / fit.rows, spread = best.second.rest / best.second.rows;
    if (fit.correlation >= 0.8 && spread_here < spread * (1 + 4.0 / fit.rows))
      return refuse(fmt::format("the engine speeds agree at two offsets, {:.2f} and {:.2f} s",
                                best.first, fits[i].first));
  }
  if (best.second.offset_error > 2 * period)
    return refuse(
        "the engine speed hardly varies: the offset is not known within two rows of "
        "the log");
  ClockOffset clock;
  clock.offset = best.first;
  clock.uncertainty = best.second.offset_error;
  clock.correlation = best.second.correlation;
  clock.rows = best.second.rows;
  return clock;
}

}  // namespace tautmark
