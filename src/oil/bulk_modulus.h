// SPDX-License-Identifier: Apache-2.0
// How stiff oil is that carries free air.
//
//   x = x0 (pa / p)^(1/κ)        β = (x + 1 - x0) / (x / (κ p) + (1 - x0) / β_oil)
//
// x0 volume of air to all at atmospheric pressure pa, p absolute, κ = 1.4, β_oil of oil without
// air. Air decides, and is hardly ever known within a factor of ten: use the result for what it
// does to a swing, at both ends of the air that may be; never state a stiffness. Source:
// oil.md 5.5.
#pragma once

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::oil {

inline constexpr Pressure kAtmosphere = kPa(101.325);

// Refuses a share of air outside 0 to 1 (1 excluded), pressures not above 0.
Result<Pressure> bulk_modulus(Pressure oil, Ratio air, Pressure absolute);

}  // namespace tautmark::oil
