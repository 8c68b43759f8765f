// SPDX-License-Identifier: Apache-2.0
#include "oil/phaser_motion.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "oil/estimated.h"
#include "oil/refuse.h"

namespace tautmark::oil {
namespace {

constexpr std::size_t kLeastSamples = 16;
constexpr double kMostWork = 3e7;  // samples times frequencies: about a second
constexpr double kGridOfSpan = 8;  // frequencies for each 1 / span
constexpr double kOfRate = 0.4;    // of the readings in a second: the fastest that they show
constexpr double kFalseAlarm = 1e-3;
constexpr double kNearEvents = 0.1;

struct Readings {
  std::vector<double> t{};
  std::vector<double> y{};
  [[nodiscard]] double span() const { return t.back() - t.front(); }
  [[nodiscard]] double rate() const { return static_cast<double>(t.size() - 1) / span(); }
};

struct Sine {
  double f = 0;
  double in_phase = 0;
  double across = 0;
  [[nodiscard]] double power() const { return in_phase * in_phase + across * across; }
  [[nodiscard]] double at(double t) const {
    const double turn = 2 * std::numbers::pi * f * t;
    return in_phase * std::cos(turn) + across * std::sin(turn);
  }
};

Sine fitted(const Readings& readings, double f) {
  double cc = 0, ss = 0, cs = 0, yc = 0, ys = 0;
  for (std::size_t i = 0; i < readings.t.size(); ++i) {
    const double turn = 2 * std::numbers::pi * f * readings.t[i];
    const double c = std::cos(turn), s = std::sin(turn);
    cc += c * c;
    ss += s * s;
    cs += c * s;
    yc += readings.y[i] * c;
    ys += readings.y[i] * s;
  }
  const double det = cc * ss - cs * cs;
  if (!(det > 1e-9 * cc * ss)) return {f};
  return {f, (yc * ss - ys * cs) / det, (ys * cc - yc * cs) / det};
}

Result<Readings> readings_of(std::span<const PhaseSample> samples) {
  Readings out;
  for (const PhaseSample& one : samples) {
    const double t = one.at.si() - samples.front().at.si();
    if (!std::isfinite(t) || !std::isfinite(one.angle.si()) ||
        (!out.t.empty() && !(t > out.t.back())))
      return refuse(
          fmt::format("sample {} of the held angle is no number, or not after the one "
                      "before",
                      out.t.size() + 1));
    out.t.push_back(t);
    out.y.push_back(one.angle.si());
  }
  if (out.t.size() < kLeastSamples || out.span() * kSlowestMotion.si() < kLeastCycles)
    return refuse(fmt::format("a held angle needs {:.0f} s and {} readings or more",
                              kLeastCycles / kSlowestMotion.si(), kLeastSamples));
  return out;
}

void take_drift_off(Readings& readings) {
  const auto n = static_cast<double>(readings.t.size());
  double t = 0, y = 0, tt = 0, ty = 0;
  for (std::size_t i = 0; i < readings.t.size(); ++i) {
    t += readings.t[i] / n;
    y += readings.y[i] / n;
  }
  for (std::size_t i = 0; i < readings.t.size(); ++i) {
    tt += std::pow(readings.t[i] - t, 2);
    ty += (readings.t[i] - t) * (readings.y[i] - y);
  }
  for (std::size_t i = 0; i < readings.t.size(); ++i)
    readings.y[i] -= y + ty / tt * (readings.t[i] - t);
}

void take_off(Readings& readings, const Sine& sine) {
  for (std::size_t i = 0; i < readings.t.size(); ++i) readings.y[i] -= sine.at(readings.t[i]);
}

double scatter(const Readings& readings) {
  double squares = 0;
  for (const double y : readings.y) squares += y * y;
  return std::sqrt(squares / static_cast<double>(readings.y.size()));
}

// By cycle: height in the middle of them, and what one grows over the one before.
HoldMotion described(const Readings& readings, double f) {
  const auto cycles = static_cast<std::size_t>(readings.span() * f);
  std::vector<double> low(cycles, 1e300), high(cycles, -1e300);
  for (std::size_t i = 0; i < readings.t.size(); ++i) {
    const auto cycle = static_cast<std::size_t>(readings.t[i] * f);
    if (cycle >= cycles) break;
    low[cycle] = std::min(low[cycle], readings.y[i]);
    high[cycle] = std::max(high[cycle], readings.y[i]);
  }
  std::vector<double> heights;
  double n = 0, k = 0, h = 0, kk = 0, kh = 0;
  for (std::size_t i = 0; i < cycles; ++i) {
    if (!(high[i] > low[i])) continue;
    heights.push_back(high[i] - low[i]);
    const auto number = static_cast<double>(i);
    const double log = std::log(heights.back());
    n += 1;
    k += number;
    h += log;
    kk += number * number;
    kh += number * log;
  }
  HoldMotion out{.at = Frequency::from_si(f)};
  if (heights.empty()) return out;
  const double spread = n * kk - k * k;
  out.growth = spread > 0 ? std::exp((n * kh - k * h) / spread) : 1;
  const auto middle = heights.begin() + static_cast<std::ptrdiff_t>(heights.size() / 2);
  std::nth_element(heights.begin(), middle, heights.end());
  out.height = CamAngle::from_si(*middle);
  return out;
}

}  // namespace

Result<std::vector<HoldMotion>> hold_motions(std::span<const PhaseSample> samples, Frequency events,
                                             CamAngle angle_u) {
  if (!is_positive(events.si()) || !is_positive(angle_u.si()))
    return refuse("the frequency of the valve events and the scatter of a reading are above 0");
  auto readings = readings_of(samples);
  if (!readings) return tl::make_unexpected(readings.error());
  const double top = std::min(kFastestSlowMotion.si(), kOfRate * readings->rate());
  const double from = kSlowestMotion.si(), by = 1 / (kGridOfSpan * readings->span());
  const auto count = static_cast<double>(readings->t.size());
  const double frequencies = std::max(1.0, (top - from) / by);
  if (frequencies * count > kMostWork)
    return refuse("the held angle has too many readings: give a shorter part");
  take_drift_off(*readings);
  std::vector<HoldMotion> out;
  const auto add = [&](const Readings& of, double f) {
    HoldMotion motion = described(of, f);
    motion.events = events;
    motion.samples = Frequency::from_si(readings->rate());
    out.push_back(motion);
  };
  Sine slowly;
  for (double f = from; f <= top; f += by) {
    if (std::abs(f - events.si()) <= kNearEvents * events.si()) continue;
    const Sine sine = fitted(*readings, f);
    if (sine.power() > slowly.power()) slowly = sine;
  }
  Readings rest = *readings;
  take_off(rest, slowly);
  // Scatter alone gives each frequency a power of exponential spread, mean 4 u² / n. What a sine
  // does not fit of a motion that grows is no scatter, but hides the other one as well.
  const auto stands_out = [&](const Sine& sine) {
    const double u = std::max(angle_u.si(), scatter(rest));
    return sine.power() > 4 * u * u / count * std::log(frequencies / kFalseAlarm);
  };
  Readings slow = *readings;
  if (events.si() <= kOfRate * readings->rate()) {
    const Sine swing = fitted(rest, events.si());
    take_off(rest, swing);
    if (stands_out(swing)) {
      Readings fast{readings->t};
      for (const double t : fast.t) fast.y.push_back(swing.at(t));
      add(fast, events.si());
      take_off(slow, swing);
    }
  }
  if (stands_out(slowly) && readings->span() * slowly.f >= kLeastCycles) add(slow, slowly.f);
  return out;
}

}  // namespace tautmark::oil
