// SPDX-License-Identifier: Apache-2.0
// Where a cam's phase moves and where it stands: legs between turning points, and jumping between
// two levels. One value per engine cycle; crank degrees, advance positive; s.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "recording/cam_phase.h"

namespace tautmark {

// "2.1° earlier (crank), 1.1° cam"; "no change" under 0.05 degrees.
std::string change_words(double degrees);

// sd of one value from the median of successive differences: blind to motions and single jumps.
double robust_jitter(std::span<const double> psi);

struct PhaseMotion {
  std::size_t begin = 0, end = 0;  // last cycle under 10 % of the way, first one over 90 %
  double begin_time = 0, end_time = 0;
  double turning_time = 0;   // of the farthest cycle
  double from = 0, to = 0;   // where it stands before and after, or turned
  double greatest_rate = 0;  // deg/s, from one cycle to the next, sign of the motion
};
// Legs between turning points whose way is over `least` degrees, 8 jitter and two standard
// uncertainties of what a few-tooth wheel cannot see at that speed (CamPhase::systematic, falling
// as 1/n²). What goes slower than 0.5 deg/s is drift, no motion.
std::vector<PhaseMotion> phase_motions(const CamPhase& phase, double least = 2);

// Two levels between which the phase jumps from one cycle to the next: medians of the split in two
// of least square sum, scatter from the median distance to them: a change within a cycle leaves a
// value between. Found: 4 changes or more, levels 1 to 10 degrees and 5 times their scatter apart,
// at most half a value per change and 5 % of the cycles in the middle third, 3 or more at each.
struct TwoLevels {
  double low = 0, high = 0, scatter = 0;
  int changes = 0, at_low = 0, at_high = 0;
  bool found = false;
};
TwoLevels two_levels(std::span<const double> psi);

// Skewness with the sample correction, and the chance of one as large from a normal distribution
// (D'Agostino, Biometrika 57 (1970) 679). Empty for fewer than 8 values or no scatter.
struct Skewness {
  double value = 0;
  double chance = 1;
};
std::optional<Skewness> skewness(std::span<const double> psi);

}  // namespace tautmark
