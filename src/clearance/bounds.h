// SPDX-License-Identifier: Apache-2.0
// What a lift and a drop can be at most and at least within an interval: what holds between the
// nodes of a map comes from here.
#pragma once

#include "clearance/lift.h"
#include "clearance/piston.h"

namespace tautmark::clearance {

// Over at +- within (crank deg of the cycle), m. Exact for a lobe that only rises, then falls; a
// curve of several lobes is looked at in steps of at most an eighth of a crank degree in between.
double largest_lift(const LiftCurve& curve, double at, double within);
// The largest |dL/dtheta| of the curve's points, m per rad crank.
double steepest(const LiftCurve& curve);

struct DropRange {
  double least = 0;
  double most = 0;
};
// Over from_top +- within (rad crank), m; exact.
DropRange drop_range(const Slider& slider, double from_top, double within);

}  // namespace tautmark::clearance
