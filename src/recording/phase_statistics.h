// SPDX-License-Identifier: Apache-2.0
// Statistics of a cam's phase, one value per engine cycle: crank degrees, advance positive; times
// in s, increasing.
//
//   jitter   = sd of successive differences / √2: blind to slow drift
//   σ_A²(m)  = ½ ⟨(mean of the next m - mean of these m)²⟩
//   hunting  = least-squares sine at the best frequency, F = ((SS0 - SS)/2)/(SS/(n - 3)); the
//   chance
//              of such a peak anywhere is 1 - (1 - p)^M for M = span × frequency range
// Source: signals.md sections 1, 7.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "base/diagnostic.h"

namespace tautmark {

struct PhaseStatistics {
  int count = 0;
  double mean = 0;
  double sd = 0;      // 0 for one value
  double jitter = 0;  // 0 for fewer than 3 values
  double peak_to_peak = 0;
};
PhaseStatistics phase_statistics(std::span<const double> psi);

struct LineFit {
  double at_zero = 0, slope = 0;
  double slope_error = 0;  // standard; 0 for fewer than 3 points
};
LineFit line_fit(std::span<const double> x, std::span<const double> y);

// Refused: fewer than 2 m values, m < 1.
Result<double> allan_variance(std::span<const double> psi, int cycles, bool overlapping = true);

struct SineFit {
  double frequency = 0;  // Hz
  double amplitude = 0;  // degrees
  double mean = 0;
  double f_statistic = 0;
  double chance = 1;  // of F as large at this one frequency without a sine
};
// Refused: fewer than 6 values, frequency not above 0.
Result<SineFit> fit_sine(std::span<const double> time, std::span<const double> psi,
                         double frequency);

struct Hunting {
  SineFit sine;
  double chance = 1;   // of such a peak at any of the frequencies searched
  bool found = false;  // chance under 0.001
};
// From 0.1 Hz, or 3 periods in the recording, to half the rate of the values. Above 1024 values the
// frequency is searched in windows of 512, so that the work is bounded, and fitted to all values: a
// swing that does not go on through most of them may be missed. Refused: fewer than 12 values or a
// span too short for 3 periods.
Result<Hunting> find_hunting(std::span<const double> time, std::span<const double> psi);

// Response to a step of the commanded angle at `step_time` from `from` to `to`. Times since the
// step; crossings by linear interpolation. Empty: not reached.
struct StepResponse {
  std::optional<double> dead_time;   // first crossing of 5 %
  std::optional<double> rise_10_90;  // s
  std::optional<double> time_63, time_90;
  std::optional<double> slew;      // deg/s, line through the 20 % and 80 % crossings
  double overshoot = 0;            // of the step, 0.25 = 25 %
  std::optional<double> settling;  // s, inside ± band from then on
  double steady_error = 0;         // mean(ψ - to) over the last 30 %
};
// Refused: no step, fewer than 8 values after it.
Result<StepResponse> step_response(std::span<const double> time, std::span<const double> psi,
                                   double step_time, double from, double to, double band = 1.5);

// Places where the mean changes: binary segmentation, penalty 3 jitter² ln(count). Index of the
// first value after each change, increasing.
struct PhaseStep {
  std::size_t index = 0;
  double change = 0;  // mean after less mean before, degrees
};
std::vector<PhaseStep> phase_steps(std::span<const double> psi);

// P(F > x) and P(χ² > x).
double f_above(double x, double nu_1, double nu_2);
double chi_squared_above(double x, double nu);

}  // namespace tautmark
