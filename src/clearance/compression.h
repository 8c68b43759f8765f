// SPDX-License-Identifier: Apache-2.0
// What a late or early intake closing does to a compression test: an even reading above the minimum
// does not prove the timing.
//
//   V(theta)/V_clearance = 1 + (ratio - 1) s(theta)/stroke     s drop of the piston
//   p proportional to (V(closing)/V_clearance)^n               absolute pressure at the top
//
//   closing  the EFFECTIVE closing of the intake: where the valve no longer lets back what the
//            piston pushes out. At cranking speed about 1 mm of lift; with the closing on the seat
//            the same law gives far too much loss. State the lift beside the result.
//   n        1.3: heat lost to cold walls at cranking speed (1.4 without any loss)
//   A gauge reads pressure above the air's: share of (reading + air), less the air.
//
// Limits: both readings of the same engine, equally hot, open throttle, same cranking speed; the
// cylinder fills to the same pressure; no leakage. A closing before the bottom costs as much as one
// after it in this law. Relative only: never a pressure from nothing. Refuses a ratio not above 1,
// n outside 1 to 1.67, a closing more than 150 crank deg from the bottom. Source: slider-crank and
// polytropic law; worked figures of trade.md 6.B.
#pragma once

#include <optional>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "clearance/piston.h"

namespace tautmark::clearance {

inline constexpr double kCrankingExponent = 1.3;

struct CompressionInputs {
  Slider slider{};
  double ratio = 0;                  // compression ratio, geometric
  CrankAngle closes_after_bottom{};  // effective closing, camshaft right
  double exponent = kCrankingExponent;
};

// V(closing)/V_clearance with the intake camshaft `late` by so much (negative: early).
Result<double> effective_ratio(const CompressionInputs& in, CrankAngle late = {});

// Absolute pressure at the top as a share of that with the camshaft right.
Result<double> pressure_share(const CompressionInputs& in, CrankAngle late);

// What the gauge would show. `air` absolute; 0 leaves the gauge's zero out of it, as the trade
// does.
Pressure expected_reading(Pressure nominal, double share, Pressure air);

// How late the intake camshaft could be with the reading still at `share` of the nominal pressure
// or above; empty where no lateness within the limits comes down to it.
std::optional<CrankAngle> latest_at_share(const CompressionInputs& in, double share);

}  // namespace tautmark::clearance
