// SPDX-License-Identifier: Apache-2.0
// What shear does to a multigrade while it lasts, and which viscosity an element of the engine
// sees.
//
//   Cross    μ(g) = μ∞ + (μ0 - μ∞) / (1 + (g/gc)^m)
//   Carreau  μ(g) = μ∞ + (μ0 - μ∞) (1 + (g/gc)²)^((n-1)/2)
//
//   g   shear rate, 1/s          μ0  low-shear viscosity (viscosity.h)
//   gc  critical shear rate      μ∞  high-shear plateau
//
// The high-temperature high-shear number of an oil is μ at 150 °C and 1e6 1/s. The gap to μ0 there
// is the loss while the shear lasts; the loss of ν100 in service stays. One such number does not
// fix a plateau, and oils without a second plateau are published: beyond 1e6 1/s a guess.
// Source: oil.md 1.6.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::oil {

struct ShearThinning {
  DynamicViscosity low_shear{};
  DynamicViscosity plateau{};
  double critical = 0;  // 1/s
  double exponent = 1;  // m of Cross, above 0; n of Carreau, above 0 to 1
};

struct ShearedViscosity {
  DynamicViscosity viscosity{};
  std::vector<std::string> warnings{};
};

// Refuse a negative rate, a plateau above the low-shear viscosity, what is not above 0.
Result<ShearedViscosity> cross(const ShearThinning& oil, double rate);
Result<ShearedViscosity> carreau(const ShearThinning& oil, double rate);

// Shear rate in a film of `clearance` (radial) round a shaft: U/c. `speed` of that shaft, turns.
double journal_shear_rate(Length radius, Length clearance, RotationalSpeed speed);

enum class OilFilm { pressure_fed_clearance, orifice, crank_bearing_idle, crank_bearing_fast };
// Which viscosity to put in, in one sentence.
std::string_view viscosity_seen(OilFilm film);

}  // namespace tautmark::oil
