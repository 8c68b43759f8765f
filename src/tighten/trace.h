// SPDX-License-Identifier: Apache-2.0
// Torque over angle while one fastener was tightened, as recorded.
//
// Angle counts in the tightening direction from wherever the record began; torque is what the
// wrench read. A ratchet leaves reversals in it: nothing is dropped here.
#pragma once

#include <string>
#include <vector>

#include "base/quantity.h"

namespace tautmark::tighten {

struct TracePoint {
  Angle angle{};
  Torque torque{};
};

struct Trace {
  std::vector<TracePoint> points{};
  std::vector<Time> times{};         // one per point, or empty where none were recorded
  std::vector<std::string> notes{};  // comment lines, and what was left aside
};

}  // namespace tautmark::tighten
