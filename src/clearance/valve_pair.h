// SPDX-License-Identifier: Apache-2.0
// Distance between the heads of an intake and an exhaust valve of one cylinder.
//
// A head is taken as an upright cylinder: `radius` of the head, `thickness` from its face up to
// where the seat begins. x across the engine, y along the crankshaft, z along the bore away from
// the crankshaft, any common origin. `lean` turns the stem from +z towards +x; a lifted head has
// moved by L along (-sin lean, 0, -cos lean). The fillet above the seat is left out: give a
// thickness that holds it. Distance of two convex bodies by support points (the method of Gilbert,
// Johnson and Keerthi), stopped when lower and upper bound are 1e-6 mm apart; the lower is given.
// Heads in one another have distance 0: how deep is not computed.
#pragma once

#include <optional>

#include "base/quantity.h"
#include "clearance/lift.h"

namespace tautmark::clearance {

struct ValveHead {
  Length x{};  // middle of the face, valve shut
  Length y{};
  Length z{};
  Angle lean{};
  Length radius{};
  Length thickness{};
};

Length head_distance(const ValveHead& a, Length lift_a, const ValveHead& b, Length lift_b);

struct ValvePair {
  ValveHead a{};
  ValveHead b{};
};

// The least distance of a cycle with the camshafts off by so much (positive: early), and where it
// is. Steps of one crank degree first, but where no head has moved far enough to matter; then as
// finely as the distance can still fall below what was found (a head moves no faster than its
// lift): a lower bound within 1e-3 mm.
struct PairGap {
  Length least{};
  CrankAngle at{};
};
// With `so_far` of another phase the lesser of the two; what does not come below it is not looked
// at closely.
PairGap least_head_distance(const ValvePair& pair, const LiftCurve& lift_a, CrankAngle early_a,
                            const LiftCurve& lift_b, CrankAngle early_b,
                            const std::optional<PairGap>& so_far = {});

}  // namespace tautmark::clearance
