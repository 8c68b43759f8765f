// SPDX-License-Identifier: Apache-2.0
// Oil with fuel in it: how thin it becomes, and how much fuel a thin oil would need. A thin oil has
// other explanations (shear, another grade, a hotter bath): a fraction that fits is never a proof
// of fuel; a laboratory (gas chromatograph, flash point) proves it.
//
//   log log Z = (1 - f) log log Z_oil + f log log Z_fuel    ASTM blending method, one temperature
//   ln ν      = (1 - f) ln ν_oil      + f ln ν_fuel         Arrhenius: the milder law
//
// f  volume fraction of the fuel, 0 to 0.2; mass fraction as well while the densities are close.
// The first law is the answer, the two with both ends of the fuel's viscosity are its range: an
// outside chart (160 mm²/s at 40 °C, 3 % of a fuel of 3.0 mm²/s: 137 mm²/s) lies between them,
// 130.5 and 142.0. Viscosity improvers are outside the scope of the standard, so a multigrade is an
// estimate.
// Source: ASTM D7152 (scope read; equation from memory, Z of D341); Arrhenius 1887.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::oil {

// At the temperature of the oil's viscosity. What stays in hot oil is the heavy end of the fuel.
struct FuelViscosity {
  KinematicViscosity least{}, likely{}, most{};
  std::string origin;
};
FuelViscosity gasoline_at_100();  // estimates, labeled so in `origin`
FuelViscosity diesel_at_100();

struct ViscosityRange {
  KinematicViscosity least{}, likely{}, most{};
};

// Refuses a fraction outside 0 to 0.2, viscosities out of order or at or below 0.3 mm²/s, a fuel
// that is no thinner than the oil.
Result<ViscosityRange> diluted(KinematicViscosity oil, const FuelViscosity& fuel, double fraction);

struct DilutionExplains {
  double least = 0, likely = 0, most = 0;  // volume fractions; 0: needs no fuel
  bool beyond_law = false;  // would need more than 0.2: fuel alone does not explain it
  std::string said;
  std::vector<std::string> other_causes{};
};

// `fresh`: ν100 of the oil when new with its range (data sheet, grade.h); `found` with its 95 %
// uncertainty.
Result<DilutionExplains> dilution_that_explains(const ViscosityRange& fresh,
                                                KinematicViscosity found,
                                                KinematicViscosity expanded,
                                                const FuelViscosity& fuel);

}  // namespace tautmark::oil
