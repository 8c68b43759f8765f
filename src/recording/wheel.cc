// SPDX-License-Identifier: Apache-2.0
#include "recording/wheel.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace tautmark {
namespace {

constexpr std::size_t kFewestForEvenAngles = 6;
constexpr double kHalfWithin = 0.15, kEvenWithin = 0.3;  // ripple looks like spacing
constexpr double kAlike = 9;                             // degrees

template <class T>
std::size_t shortest_period(const std::vector<T>& values) {
  for (std::size_t period = 1; period < values.size(); ++period) {
    if (values.size() % period != 0) continue;
    bool repeats = true;
    for (std::size_t i = period; i < values.size() && repeats; ++i)
      repeats = values[i] == values[i - period];
    if (repeats) return period;
  }
  return values.size();
}

}  // namespace

std::size_t zero_of_steps(const std::vector<int>& steps) {
  const std::size_t n = steps.size();
  if (n == 0) return 0;
  // The first one with the largest gap behind it: what stands before it is no candidate.
  const auto largest = std::max_element(steps.begin(), steps.end());
  std::size_t best =
      steps.back() == *largest ? 0 : static_cast<std::size_t>(largest - steps.begin()) + 1;
  for (std::size_t start = best + 1; start < n; ++start) {
    std::size_t back = 1;
    const auto step = [&](std::size_t from) { return steps[(from + n - back) % n]; };
    while (back <= n && step(start) == step(best)) ++back;
    if (back > n) break;  // it repeats from here on
    if (step(start) > step(best)) best = start;
  }
  return best;
}

namespace {

std::vector<int> steps_of(const SlotPattern& pattern, std::vector<std::size_t>& teeth) {
  for (std::size_t s = 0; s < pattern.present.size(); ++s)
    if (pattern.present[s]) teeth.push_back(s);
  std::vector<int> steps;
  for (std::size_t i = 0; i < teeth.size(); ++i) {
    const std::size_t next =
        i + 1 < teeth.size() ? teeth[i + 1] : teeth[0] + pattern.present.size();
    steps.push_back(static_cast<int>(next - teeth[i]));
  }
  return steps;
}

// Few teeth: steps that repeat within the scatter of a start are given the same rounded mean.
void round_alike(const std::vector<double>& steps, std::vector<int>& rounded) {
  for (std::size_t period = 1; period < steps.size(); ++period) {
    if (steps.size() % period != 0) continue;
    std::vector<double> mean(period, 0);
    for (std::size_t i = 0; i < steps.size(); ++i)
      mean[i % period] +=
          steps[i] * static_cast<double>(period) / static_cast<double>(steps.size());
    bool alike = true;
    for (std::size_t i = 0; i < steps.size(); ++i)
      alike = alike && std::abs(steps[i] - mean[i % period]) < kAlike;
    if (!alike) continue;
    for (std::size_t i = 0; i < steps.size(); ++i)
      rounded[i] = static_cast<int>(std::lround(mean[i % period] / 5));
    return;
  }
}

}  // namespace

int slot_count(const SlotPattern& pattern) { return static_cast<int>(pattern.present.size()); }
int tooth_count(const SlotPattern& pattern) {
  return static_cast<int>(std::count(pattern.present.begin(), pattern.present.end(), true));
}
int gap_count(const SlotPattern& pattern) {
  int gaps = 0;
  const std::size_t n = pattern.present.size();
  for (std::size_t s = 0; s < n; ++s)
    if (!pattern.present[s] && pattern.present[(s + n - 1) % n]) ++gaps;
  return gaps;
}
int usual_step(const SlotPattern& pattern) {
  std::vector<std::size_t> teeth;
  std::vector<int> steps = steps_of(pattern, teeth);
  if (steps.empty()) return 1;
  std::sort(steps.begin(), steps.end());
  return steps[(steps.size() - 1) / 2];
}
bool has_added_tooth(const SlotPattern& pattern) {
  const int teeth = tooth_count(pattern);
  return usual_step(pattern) == 2 && slot_count(pattern) == 2 * (teeth - 1) &&
         gap_count(pattern) == teeth - 2;
}
int tooth_count(const Wheel& wheel) { return static_cast<int>(wheel.angles.size()); }

SlotPattern canonical(const SlotPattern& pattern) {
  std::vector<std::size_t> teeth;
  const std::vector<int> steps = steps_of(pattern, teeth);
  if (steps.empty()) return {};
  const std::size_t zero = teeth[zero_of_steps(steps)];
  SlotPattern result = pattern;
  std::rotate_copy(pattern.present.begin(),
                   pattern.present.begin() + static_cast<std::ptrdiff_t>(zero),
                   pattern.present.end(), result.present.begin());
  return result;
}

SlotPattern primitive(const SlotPattern& pattern) {
  SlotPattern result = pattern;
  result.present.resize(shortest_period(pattern.present));
  return result;
}

SlotPattern repeated(const SlotPattern& pattern, int times) {
  SlotPattern result;
  for (int i = 0; i < times; ++i)
    result.present.insert(result.present.end(), pattern.present.begin(), pattern.present.end());
  return result;
}

Wheel slotted_wheel(const SlotPattern& pattern) {
  Wheel wheel;
  wheel.slots = slot_count(pattern);
  std::vector<std::size_t> teeth;
  std::vector<int> steps = steps_of(pattern, teeth);
  for (const std::size_t tooth : teeth)
    wheel.angles.push_back(360.0 * static_cast<double>(tooth) / wheel.slots);
  wheel.symmetry = static_cast<int>(steps.size() / shortest_period(steps));
  wheel.name = std::to_string(wheel.slots);
  std::reverse(steps.begin(), steps.end());  // the largest gap first, as it is said
  for (const int step : steps)
    if (step > 1) wheel.name += fmt::format("-{}", step - 1);
  if (wheel.name.find('-') == std::string::npos) wheel.name += " uniform";
  if (has_added_tooth(pattern)) {
    wheel.slots /= 2;
    wheel.name = fmt::format("{}+1", wheel.slots);
  }
  return wheel;
}

MeasuredWheel measured_wheel(const std::vector<double>& steps) {
  MeasuredWheel result;
  const std::size_t teeth = steps.size();
  const double mean = 360.0 / static_cast<double>(teeth);
  const bool many = teeth >= kFewestForEvenAngles;
  std::vector<int> rounded;  // in units in which equal steps compare equal
  int halves = 0, even = 0;
  std::vector<double> sorted = steps;
  std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(teeth / 2),
                   sorted.end());
  const double middle = many ? sorted[teeth / 2] : mean;
  for (const double step : steps) {
    const double ratio = step / middle;
    halves += std::abs(ratio - 0.5) < kHalfWithin ? 1 : 0;
    even += std::abs(ratio - 1) < kEvenWithin ? 1 : 0;
    rounded.push_back(many ? static_cast<int>(std::lround(2 * ratio))
                           : static_cast<int>(std::lround(step / 5)));
  }
  if (!many) round_alike(steps, rounded);
  const int count = static_cast<int>(teeth);
  // The two half steps lie side by side and make a whole one.
  bool halves_meet = false;
  for (std::size_t i = 0; i < teeth; ++i) {
    const double a = steps[i] / middle, b = steps[(i + 1) % teeth] / middle;
    halves_meet = halves_meet || (std::abs(a - 0.5) < kHalfWithin &&
                                  std::abs(b - 0.5) < kHalfWithin && std::abs(a + b - 1) < 0.2);
  }
  const bool is_even = many && even == count,
             has_added = many && halves == 2 && even + 2 == count && halves_meet;
  for (std::size_t i = 0; i < teeth && is_even; ++i) rounded[i] = 2;
  for (std::size_t i = 0; i < teeth && has_added; ++i)
    rounded[i] = std::abs(steps[i] / middle - 0.5) < kHalfWithin ? 1 : 2;
  result.first = zero_of_steps(rounded);
  std::rotate(rounded.begin(), rounded.begin() + static_cast<std::ptrdiff_t>(result.first),
              rounded.end());
  Wheel& wheel = result.wheel;
  wheel.symmetry = static_cast<int>(teeth / shortest_period(rounded));
  double angle = 0;
  for (std::size_t i = 0; i < teeth; ++i) {
    wheel.angles.push_back(angle);
    if (is_even || has_added)
      angle += (is_even ? 1.0 : rounded[i] / 2.0) * 360 / (is_even ? count : count - 1);
    else
      angle += steps[(result.first + i) % teeth];
  }
  wheel.nominal = is_even || has_added;
  wheel.slots = is_even ? count : has_added ? count - 1 : 0;
  const std::size_t period = shortest_period(rounded);
  if (is_even || period == 1) {
    wheel.name = fmt::format("{} uniform", count);
  } else if (has_added) {
    wheel.name = fmt::format("{}+1", count - 1);
  } else if (many) {
    wheel.name = fmt::format("{} unequal teeth", count);
  } else {
    wheel.name = fmt::format("{} (", count);
    for (std::size_t i = 0; i < period; ++i)
      wheel.name += fmt::format("{}{}", i == 0 ? "" : "/", 5 * rounded[i]);
    wheel.name += ")";
  }
  return result;
}

}  // namespace tautmark
