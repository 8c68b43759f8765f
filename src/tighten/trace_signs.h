// SPDX-License-Identifier: Apache-2.0
// For trace_analysis.cc: the signs, each asked by itself.
#pragma once

#include "tighten/trace_analysis.h"
#include "tighten/trace_fit.h"

namespace tautmark::tighten {

// What the expected bolt and joint allow, over the friction class, the uncertainty of the slope and
// the scatter of strength above its minimum.
struct Allowed {
  double gradient_low = 0, gradient_high = 0;  // N·m per degree; zero without an expected slope
  double yield_load_low = 0, yield_load_high = 0;      // N
  double yield_torque_low = 0, yield_torque_high = 0;  // N·m above the prevailing torque
};
Allowed allowed_by(const ExpectedStep& expected);

struct TraceSeen {
  const CleanTrace& clean;
  const TraceFit& fit;
  const ExpectedStep& expected;
  const Allowed& allowed;
};
std::vector<TraceFinding> trace_signs(const TraceSeen& seen);

std::optional<StickSlip> stick_slip_of(const CleanTrace& clean, const TraceFit& fit);

}  // namespace tautmark::tighten
