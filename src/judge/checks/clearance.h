// SPDX-License-Identifier: Apache-2.0
// Clearance of one bearing from its bore and journal readings.
#pragma once

#include <optional>

#include "judge/check.h"
#include "judge/dimension.h"

namespace tautmark::checks {

struct Clearance {
  Dimension bore;
  Dimension journal;
  Dimension value;  // mean: mean bore minus mean journal; highest, lowest: by direction
};

// c = D_bore - D_journal, u² = u_b² + u_j² (independent gauges; measurement.md 3.2). Where bore and
// journal were read in the same directions, highest and lowest are of one direction; else of the
// largest bore and the smallest journal, and the reverse.
std::optional<Clearance> clearance_from_parts(const CheckInput& input, const EnginePlace& place);

// A part as it comes: the middle of its new range and half of that, SI. Nothing where the drive has
// no range of it.
struct NewPart {
  double middle = 0, half_width = 0;
};
std::optional<NewPart> new_part(const CheckInput& input, Measurand quantity,
                                const EnginePlace& place);

}  // namespace tautmark::checks
