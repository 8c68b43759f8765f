// SPDX-License-Identifier: Apache-2.0
// Low-shear viscosity of an oil at any temperature from two points of its data sheet, and the
// viscosity index, which tells a mistyped pair.
//
//   log log Z = A - B log T     log to base 10, T in K, ν in mm²/s (Walther; ASTM D341)
//   Z = ν + 0.7 + exp(-1.47 - 1.84 ν - 0.51 ν²)
//   ν = x - exp(-0.7487 - 3.295 x + 0.6119 x² - 0.3193 x³),  x = Z - 0.7
//
// The general form throughout: above 5 mm²/s it is the short one, Z = ν + 0.7, to 1e-10. The two
// lines are a fit of each other, no exact inverse: below 2 mm²/s the way there and back differs by
// up to 2e-4.
//
// Validity: a homogeneous liquid between cloud point and first boiling. Between the two points
// good; to 150 °C within a few percent; below 0 °C unreliable for multigrades (wax and polymer: the
// cold viscosity is no longer one number and has limits of its own, grade.h). Low shear only:
// shear.h.
// Source: ASTM D341 (title and scope of D341-20 read, equations in secondary pages that quote it);
// viscosity index ASTM D2270, ISO 2909 (oil.md 1.1, 1.2).
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::oil {

// At or below, the double logarithm means nothing.
inline constexpr KinematicViscosity kThinnest = mm2_per_s(0.3);

struct ViscosityPoint {
  Temperature at{};
  KinematicViscosity viscosity{};
};

struct ViscosityLaw {
  double a = 0;
  double b = 0;  // above 0: thinner when hotter
  std::vector<std::string> warnings{};
};

// Refuses a point at or below 0.3 mm²/s or not finite, temperatures at or below 0 K, points closer
// than 20 K (noise of the readings would rule), viscosity that does not fall with temperature. The
// order of the points does not matter.
Result<ViscosityLaw> viscosity_law(const ViscosityPoint& one, const ViscosityPoint& other);

struct ViscosityAt {
  KinematicViscosity viscosity{};
  double slope = 0;  // d ln ν/dT, 1/K, negative
  std::vector<std::string> warnings{};
};

// Refuses a temperature at or below 0 K and one where the law falls to 0.3 mm²/s or overflows.
// Warns outside 0 to 150 °C.
Result<ViscosityAt> viscosity_at(const ViscosityLaw& law, Temperature at);

// From the two numbers of a data sheet, 40 °C and 100 °C. Beside what viscosity_law refuses: a pair
// that is swapped, or a ratio over 30 (mistyped). Warns of a viscosity index that no engine oil has
// (below 80 by our judgment, above 250 suspect) and where it is not defined.
Result<ViscosityLaw> law_of_data_sheet(KinematicViscosity at_40, KinematicViscosity at_100);

struct ViscosityIndex {
  double value = 0;
  int reported = 0;               // whole number, as the standard has it
  double L = 0, H = 0;            // ν40, mm²/s, of oils of index 0 and 100 with this ν100
  bool above_100_method = false;  // procedure B
  std::vector<std::string> warnings{};
};

// L and H from the quadratics of D2270's appendix: up to 0.1 off the interpolation in its table,
// which is the standard's first method. Refuses ν100 below 2 mm²/s (not defined), a swapped pair, a
// ratio above 30.
Result<ViscosityIndex> viscosity_index(KinematicViscosity at_40, KinematicViscosity at_100);

// μ = ν ρ
DynamicViscosity dynamic_viscosity(KinematicViscosity viscosity, Density density);

// log log Z of one viscosity, and back: what blends (dilution.h) add up. ν in mm²/s.
double double_log(double nu);
double from_double_log(double w);

}  // namespace tautmark::oil
