// SPDX-License-Identifier: Apache-2.0
// Density of an oil at any temperature from that at 15 °C, as data sheets give it.
//
//   ρ(T) = ρ60 exp(-α ΔT (1 + 0.8 α ΔT))     ΔT from 60 °F, in °F;  α = 0.34878/ρ60
//
// ρ60 from the density at 15 °C (59 °F) by the same formula. About -0.65 kg/m³ for one K. Pressure
// up to 10 bar changes it by less than 0.05 % and is left out; so is air in the oil, which is not
// small. Validity: 801 to 1164 kg/m³ at the base temperature, -50 to 150 °C.
// Source: lubricating-oil group of API MPMS 11.1, ASTM D1250 (oil.md 1.4).
#pragma once

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::oil {

// At 60 °F. Refuses a density outside the validity.
Result<Density> base_density(Density at_15);

// Refuses a density or temperature outside the validity.
Result<Density> density_at(Density at_15, Temperature at);

}  // namespace tautmark::oil
