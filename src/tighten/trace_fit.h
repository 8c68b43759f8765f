// SPDX-License-Identifier: Apache-2.0
// The straight part of a trace, and where its bolt yields.
//
//   1. first line through 40 to 80 % of the largest smoothed torque
//   2. grown both ways while the smoothed torque is within the larger of 4 sd/√(points in the
//      window) and 1 % of the largest torque, then fitted again: gradient S and elastic origin
//   3. yield point: where the local gradient falls below S/2 and stays there for half a window
//   4. onset of yield: where, going back from there, the local gradient is last above 0.9 S
//
// The window is 8°, less on a joint so stiff that its straight part is short (a quarter of the
// angle from 20 to 80 % of the torque, at least 4°). Source: fasteners.md 4.3; S/2 is the usual
// setting, a third to two thirds are in use. Toe and knee make S about 0.7 % low, which the note
// found too; it grows the line within 3 sd, at which strong noise cuts one line in some hundred
// short.
#pragma once

#include <optional>
#include <vector>

#include "tighten/trace_clean.h"

namespace tautmark::tighten {

// Degrees and N·m. Indices count in `lines`.
struct TraceFit {
  double window = 0;
  std::vector<LocalLine> lines{};
  double most = 0;                // largest smoothed torque
  std::size_t at_most = 0;        // where it is
  Line line{};                    // through the straight part
  std::size_t low = 0, high = 0;  // ends of the straight part
  bool straight = false;          // there is one: from half the torque or less, over 30 % of it
  double noise = 0;               // sd of the points about the local lines
  std::optional<double> prevailing{};  // before anything closes; empty: too little of it recorded
  double prevailing_sd = 0;
  double origin = 0;  // where the line is at the prevailing torque
  std::optional<double> yield_angle{}, yield_torque{};  // half gradient
  std::optional<double> onset_angle{}, onset_torque{};
};
// Empty lines: fewer points or degrees than one window.
TraceFit fit_trace(const CleanTrace& clean);

double value_at(const TraceFit& fit, double angle);
// First index at which the smoothed torque is at least `torque`; lines.size() where it never is.
std::size_t reaches(const TraceFit& fit, double torque);

}  // namespace tautmark::tighten
