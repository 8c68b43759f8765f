// SPDX-License-Identifier: Apache-2.0
// A recorded trace as one curve over the angle of the bolt, and its local straight lines.
//
// Only growing angle is kept. Strokes of a ratchet are joined at equal torque: the next stroke is
// moved along the angle until it takes the torque up where the one before ended, whether the wrench
// counted the way back or not. A stroke that never takes it up again cannot be joined: what was
// turned there is not known, and nothing after it is used. Source: fasteners.md 4.3, step 1.
#pragma once

#include <span>
#include <vector>

#include "tighten/trace.h"

namespace tautmark::tighten {

// Degrees and N·m; angles strictly increasing.
struct CleanTrace {
  std::vector<double> angle{}, torque{};
  int strokes = 0;          // joined
  bool lost_angle = false;  // a stroke could not be joined
  double widest_gap = 0;    // between two neighbors
};
CleanTrace clean_trace(const Trace& trace);

// Straight line fitted to the points within half a window of `angle`; at the ends the window stays
// whole and stands to one side. On evenly spaced points this is a Savitzky-Golay filter of order 1.
struct LocalLine {
  double angle = 0, value = 0, slope = 0;
};
std::vector<LocalLine> local_lines(const CleanTrace& clean, double window, double step);

struct Line {
  double slope = 0;
  double at_zero = 0;      // torque at angle zero
  double sd = 0;           // of the residuals
  double slope_error = 0;  // standard error
  double middle = 0;       // mean angle of the points, where the two errors are independent
  double level_error = 0;  // standard error of the torque there
  std::size_t points = 0;
  [[nodiscard]] double at(double angle) const { return at_zero + slope * angle; }
};
// Least squares over the points of the curve with low <= angle <= high. Under 3 points: all zero.
Line fitted_line(const CleanTrace& clean, double low, double high);

}  // namespace tautmark::tighten
