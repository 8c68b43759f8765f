// SPDX-License-Identifier: Apache-2.0
// Dial, feeler and bore gauge: from what is read to what it means.
//
//   dial stem at β to the motion   true = reading · cos β   (plunger type; a lever type has its own
//                                  factor by tip form)
//   feeler, go and no-go           blade a passes, the next blade b does not: the gap is anywhere
//   in
//                                  [a, b]; value (a + b) / 2, u = (b - a) / √12, probability inside
//                                  limits = overlap of [a, b] with them / (b - a)
//   bore gauge                     rock it and take the smallest; never average a rocked set
//
// A feeler measures the narrowest point: a hollow worn face hides gap, which then reads too small.
// A plastic clearance strip is read in steps, so it is an interval like a feeler.
// Refused: values that are not finite, β outside [0°, 45°], a > b or a = b, a < 0.
#pragma once

#include <span>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "measure/decision.h"

namespace tautmark {

Result<Length> dial_travel(Length reading, Angle stem_angle);

struct FeelerInterval {
  Length passes;         // thickest blade that passes; 0 if none does
  Length does_not_pass;  // thinnest blade that does not
};

struct FeelerGap {
  Length value;
  Length u;
};

Result<FeelerGap> feeler_gap(const FeelerInterval& interval);

// The verdict of a rectangular distribution over the interval. pass and fail are proven at `level`;
// guard_band = (level - 1/2)(b - a), counted from the middle of the interval. The thickness of the
// blades is taken as exact. Refused as feeler_gap, and limits or level as decide.
Result<Decision> decide_feeler(const FeelerInterval& interval, const Limits& limits,
                               double level = 0.95);

struct RockedBore {
  Length size;    // smallest reading
  Length spread;  // largest - smallest; large: rocked too far or the gauge was not seated
  int n = 0;
};

Result<RockedBore> rocked_bore(std::span<const Length> readings);

}  // namespace tautmark
