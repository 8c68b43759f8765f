// SPDX-License-Identifier: Apache-2.0
#include "recording/phase_statistics.h"

#include <algorithm>
#include <array>
#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <numbers>
#include <numeric>

namespace tautmark {
namespace {

double mean_of(std::span<const double> values) {
  double mean = 0;
  for (const double v : values) mean += v / static_cast<double>(values.size());
  return mean;
}

double square_sum(std::span<const double> values) {
  const double mean = mean_of(values);
  double sum = 0;
  for (const double v : values) sum += (v - mean) * (v - mean);
  return sum;
}

double sd_of(std::span<const double> values) {
  return values.size() < 2
             ? 0
             : std::sqrt(square_sum(values) / (static_cast<double>(values.size()) - 1));
}

// First time at which the rise reaches `level` of the step.
std::optional<double> crossing(std::span<const double> time, std::span<const double> rise,
                               double level) {
  for (std::size_t i = 0; i < rise.size(); ++i) {
    if (rise[i] < level) continue;
    if (i == 0) return time[0];
    const double part = (level - rise[i - 1]) / (rise[i] - rise[i - 1]);
    return time[i - 1] + part * (time[i] - time[i - 1]);
  }
  return std::nullopt;
}

void split(std::span<const double> psi, std::size_t begin, std::size_t end, double penalty,
           std::vector<std::size_t>& changes) {
  double best_gain = penalty;
  std::size_t best = 0;
  double total = 0, left = 0;
  for (std::size_t i = begin; i < end; ++i) total += psi[i];
  const auto n = static_cast<double>(end - begin);
  for (std::size_t i = begin + 1; i < end; ++i) {
    left += psi[i - 1];
    const auto k = static_cast<double>(i - begin);
    const double difference = (total - left) / (n - k) - left / k;
    const double gain = difference * difference * k * (n - k) / n;
    if (gain <= best_gain) continue;
    best_gain = gain;
    best = i;
  }
  if (best == 0) return;
  split(psi, begin, best, penalty, changes);
  changes.push_back(best);
  split(psi, best, end, penalty, changes);
}

}  // namespace

double f_above(double x, double nu_1, double nu_2) {
  if (!(x > 0)) return 1;
  return boost::math::ibetac(nu_1 / 2, nu_2 / 2, nu_1 * x / (nu_1 * x + nu_2));
}

double chi_squared_above(double x, double nu) {
  return x > 0 ? boost::math::gamma_q(nu / 2, x / 2) : 1;
}

PhaseStatistics phase_statistics(std::span<const double> psi) {
  PhaseStatistics s;
  s.count = static_cast<int>(psi.size());
  if (psi.empty()) return s;
  s.mean = mean_of(psi);
  s.sd = sd_of(psi);
  std::vector<double> steps;
  for (std::size_t i = 1; i < psi.size(); ++i) steps.push_back(psi[i] - psi[i - 1]);
  s.jitter = sd_of(steps) / std::numbers::sqrt2;
  const auto [low, high] = std::minmax_element(psi.begin(), psi.end());
  s.peak_to_peak = *high - *low;
  return s;
}

LineFit line_fit(std::span<const double> x, std::span<const double> y) {
  LineFit fit;
  const double mean_x = mean_of(x), mean_y = mean_of(y), sxx = square_sum(x);
  double sxy = 0, residual = 0;
  for (std::size_t i = 0; i < x.size(); ++i) sxy += (x[i] - mean_x) * (y[i] - mean_y);
  fit.slope = sxx > 0 ? sxy / sxx : 0;
  fit.at_zero = mean_y - fit.slope * mean_x;
  for (std::size_t i = 0; i < x.size(); ++i) {
    const double r = y[i] - mean_y - fit.slope * (x[i] - mean_x);
    residual += r * r;
  }
  if (x.size() > 2 && sxx > 0)
    fit.slope_error = std::sqrt(residual / (static_cast<double>(x.size()) - 2) / sxx);
  return fit;
}

Result<double> allan_variance(std::span<const double> psi, int cycles, bool overlapping) {
  if (cycles < 1) return refuse("at least one cycle per mean");
  const auto m = static_cast<std::size_t>(cycles);
  if (psi.size() < 2 * m) return refuse("too few cycles for two means");
  double sum = 0, count = 0;
  for (std::size_t i = 0; i + 2 * m <= psi.size(); i += overlapping ? 1 : m) {
    const double step = mean_of(psi.subspan(i + m, m)) - mean_of(psi.subspan(i, m));
    sum += step * step;
    ++count;
  }
  return sum / count / 2;
}

Result<SineFit> fit_sine(std::span<const double> time, std::span<const double> psi,
                         double frequency) {
  if (psi.size() < 6) return refuse("fewer than 6 values");
  if (!(frequency > 0)) return refuse("the frequency must be above 0");
  // Normal equations for mean, cosine, sine about the middle of the recording.
  const double middle = (time.front() + time.back()) / 2;
  std::array<std::array<double, 4>, 3> a{};
  for (std::size_t i = 0; i < psi.size(); ++i) {
    const double angle = 2 * std::numbers::pi * frequency * (time[i] - middle);
    const std::array<double, 4> row = {1, std::cos(angle), std::sin(angle), psi[i]};
    for (std::size_t r = 0; r < 3; ++r)
      for (std::size_t c = 0; c < 4; ++c) a[r][c] += row[r] * row[c];
  }
  for (std::size_t r = 0; r < 3; ++r) {
    if (std::abs(a[r][r]) < 1e-12) return refuse("the values cannot tell this frequency");
    for (std::size_t other = 0; other < 3; ++other) {
      if (other == r) continue;
      const double f = a[other][r] / a[r][r];
      for (std::size_t c = r; c < 4; ++c) a[other][c] -= f * a[r][c];
    }
  }
  SineFit fit;
  fit.frequency = frequency;
  fit.mean = a[0][3] / a[0][0];
  const double cosine = a[1][3] / a[1][1], sine = a[2][3] / a[2][2];
  fit.amplitude = std::hypot(cosine, sine);
  double rest = 0;
  for (std::size_t i = 0; i < psi.size(); ++i) {
    const double angle = 2 * std::numbers::pi * frequency * (time[i] - middle);
    const double r = psi[i] - fit.mean - cosine * std::cos(angle) - sine * std::sin(angle);
    rest += r * r;
  }
  const double freedom = static_cast<double>(psi.size()) - 3;
  if (rest > 0) {
    fit.f_statistic = (square_sum(psi) - rest) / 2 / (rest / freedom);
    fit.chance = f_above(fit.f_statistic, 2, freedom);
  } else {
    fit.chance = fit.amplitude > 0 ? 0 : 1;
  }
  return fit;
}

namespace {

// A search of n values tries 4 n frequencies of n values each: what is longer is searched in
// windows, spread evenly, at the frequencies of one window.
constexpr std::size_t kWindow = 512, kMostWindows = 8;

void keep_better(SineFit& best, std::span<const double> time, std::span<const double> psi,
                 double frequency) {
  const auto fit = fit_sine(time, psi, frequency);
  if (fit && fit->f_statistic > best.f_statistic) best = *fit;
}

// Near the frequency at which the windows' sums of squares fall most; refined in windows of twice
// the length again and again, the last being all values.
SineFit best_of_windows(std::span<const double> time, std::span<const double> psi, double lowest,
                        double highest) {
  const std::size_t count = std::min(kMostWindows, psi.size() / kWindow);
  std::vector<std::size_t> begins;
  std::vector<double> lasting;  // s
  for (std::size_t w = 0; w < count; ++w) {
    begins.push_back((psi.size() - kWindow) * w / std::max<std::size_t>(1, count - 1));
    lasting.push_back(time[begins[w] + kWindow - 1] - time[begins[w]]);
  }
  std::sort(lasting.begin(), lasting.end());
  double step = 1 / (8 * lasting[count / 2]), best = -1, frequency = lowest;
  // A window may hold most of the time: of an engine that nearly stops.
  const double most = std::min(highest, lowest + step * 16 * kWindow);
  for (double f = lowest; f <= most; f += step) {
    double explained = 0;
    for (const std::size_t begin : begins) {
      const auto values = psi.subspan(begin, kWindow);
      const auto fit = fit_sine(time.subspan(begin, kWindow), values, f);
      const double ratio = fit ? 2 * fit->f_statistic / (kWindow - 3) : 0;
      explained += square_sum(values) * ratio / (1 + ratio);
    }
    if (explained > best) best = explained, frequency = f;
  }
  SineFit sine;
  for (std::size_t length = kWindow; length < psi.size();) {
    length = std::min(2 * length, psi.size());
    const std::size_t begin = (psi.size() - length) / 2;
    const auto own_time = time.subspan(begin, length), own = psi.subspan(begin, length);
    const double finer = std::min(step, 1 / (8 * (own_time.back() - own_time.front())));
    sine = {};
    for (int n = -16; n <= 16; ++n)
      if (const double f = frequency + n * finer; f >= lowest && f <= highest)
        keep_better(sine, own_time, own, f);
    if (sine.frequency > 0) frequency = sine.frequency;
    step = finer;
  }
  return sine;
}

}  // namespace

Result<Hunting> find_hunting(std::span<const double> time, std::span<const double> psi) {
  if (psi.size() < 12) return refuse("fewer than 12 cycles");
  const double span = time.back() - time.front();
  const double lowest = std::max(0.1, 3 / span);
  const double highest = 0.5 * static_cast<double>(psi.size() - 1) / span;
  if (!(highest > lowest)) return refuse("too short for three periods");
  Hunting result;
  const double step = 1 / (8 * span);
  if (psi.size() > 2 * kWindow)
    result.sine = best_of_windows(time, psi, lowest, highest);
  else
    for (double f = lowest; f <= highest; f += step) keep_better(result.sine, time, psi, f);
  for (double half = step / 2; half > 1e-3 * step; half /= 2) {
    const double middle = result.sine.frequency;
    for (const double f : {middle - half, middle + half}) keep_better(result.sine, time, psi, f);
  }
  const double searched = std::max(1.0, (highest - lowest) * span);
  result.chance = -std::expm1(searched * std::log1p(-std::min(result.sine.chance, 1 - 1e-16)));
  result.found = result.chance < 1e-3;
  return result;
}

Result<StepResponse> step_response(std::span<const double> time, std::span<const double> psi,
                                   double step_time, double from, double to, double band) {
  if (from == to) return refuse("the command does not change");
  std::vector<double> since, rise;
  for (std::size_t i = 0; i < time.size(); ++i) {
    if (time[i] < step_time) continue;
    since.push_back(time[i] - step_time);
    rise.push_back((psi[i] - from) / (to - from));
  }
  if (rise.size() < 8) return refuse("fewer than 8 cycles after the step");
  StepResponse r;
  r.dead_time = crossing(since, rise, 0.05);
  r.time_63 = crossing(since, rise, 1 - std::exp(-1.0));
  r.time_90 = crossing(since, rise, 0.9);
  const auto t10 = crossing(since, rise, 0.1), t20 = crossing(since, rise, 0.2),
             t80 = crossing(since, rise, 0.8);
  if (t10 && r.time_90) r.rise_10_90 = *r.time_90 - *t10;
  if (t20 && t80 && *t80 > *t20) r.slew = 0.6 * (to - from) / (*t80 - *t20);
  r.overshoot = std::max(0.0, *std::max_element(rise.begin(), rise.end()) - 1);
  const double inside = band / std::abs(to - from);
  for (std::size_t i = rise.size(); i-- > 0;) {
    if (std::abs(rise[i] - 1) > inside) {
      if (i + 1 < rise.size()) {
        const double edge = rise[i] < 1 ? 1 - inside : 1 + inside;
        r.settling =
            since[i] + (edge - rise[i]) / (rise[i + 1] - rise[i]) * (since[i + 1] - since[i]);
      }
      break;
    }
    r.settling = since[i];
  }
  const auto last = static_cast<std::size_t>(0.7 * static_cast<double>(rise.size()));
  r.steady_error = (mean_of(std::span(rise).subspan(last)) - 1) * (to - from);
  return r;
}

std::vector<PhaseStep> phase_steps(std::span<const double> psi) {
  std::vector<PhaseStep> steps;
  if (psi.size() < 4) return steps;
  // Median of the differences: one jump must not raise its own penalty.
  std::vector<double> sizes;
  for (std::size_t i = 1; i < psi.size(); ++i) sizes.push_back(std::abs(psi[i] - psi[i - 1]));
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  const double jitter = 1.4826 * *middle / std::numbers::sqrt2;
  const double penalty = 3 * jitter * jitter * std::log(static_cast<double>(psi.size()));
  std::vector<std::size_t> changes;
  split(psi, 0, psi.size(), std::max(penalty, 1e-12), changes);
  for (std::size_t c = 0; c < changes.size(); ++c) {
    const std::size_t before = c == 0 ? 0 : changes[c - 1];
    const std::size_t after = c + 1 < changes.size() ? changes[c + 1] : psi.size();
    steps.push_back({changes[c], mean_of(psi.subspan(changes[c], after - changes[c])) -
                                     mean_of(psi.subspan(before, changes[c] - before))});
  }
  return steps;
}

}  // namespace tautmark
