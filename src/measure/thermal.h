// SPDX-License-Identifier: Apache-2.0
// A length read at some temperature, brought to 20 °C (ISO 1), and how materials grow.
//
//   L20 = L (1 + α_i (T_i - 20 °C)) / (1 + α_p (T_p - 20 °C))
//
//   L  reading            α_i, T_i  instrument (or the master it was set on at that temperature)
//   L20  at_20            α_p, T_p  part
//
// Linear expansion with one coefficient per material. Validity: temperatures -60 °C to 300 °C,
// coefficients -5 to 100 ppm/K, lengths within 100 m. A part just washed or just off the engine is
// not at one temperature: waiting is better than correcting. Refused: a value that is not finite,
// or outside the validity.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "measure/uncertainty.h"

namespace tautmark {

inline constexpr Temperature kReferenceTemperature = degC(20);

// Size at a temperature of a part that has `at_20` at 20 °C: at_20 (1 + α (T - 20 °C)).
Result<Length> length_at(Length at_20, Expansion alpha, Temperature temperature);

struct ThermalInputs {
  Length reading;
  Expansion part_alpha;
  Temperature part_temperature;
  Expansion instrument_alpha;
  Temperature instrument_temperature;
};

struct ThermalCorrection {
  Length at_20;
  Length correction;  // at_20 - reading
  // Sensitivities ∂at_20/∂input, SI (1, m·K, m/K).
  double per_reading = 1;
  double per_part_alpha = 0;
  double per_instrument_alpha = 0;
  double per_part_temperature = 0;
  double per_instrument_temperature = 0;
};

Result<ThermalCorrection> thermal_correction(const ThermalInputs& in);

// Standard uncertainties. Part and instrument usually lie on one bench: a common error of the
// temperature nearly cancels, the difference between the two does not.
struct ThermalUncertainty {
  Expansion part_alpha;
  Expansion instrument_alpha;
  TemperatureDifference common_temperature;
  TemperatureDifference part_minus_instrument;
};

// Terms for combine(), independent of each other, in metres of at_20 after their sensitivity. At
// exactly 20 °C the coefficients have no first-order effect; the product of the two doubts (second
// order) is a term of its own. Refused as thermal_correction, and for a negative uncertainty.
Result<std::vector<Contribution>> thermal_contributions(const ThermalInputs& in,
                                                        const ThermalUncertainty& u);

// Coefficients at room temperature. Aluminum between 20 °C and 100 °C is 3 to 5 % higher; that and
// the spread of real castings is inside half_width (rectangular: u = half_width / √3).
// A name that covers several alloys ("aluminium", "steel") has the middle of their range and a half
// width that covers the range and 1 ppm/K on either side.
struct Material {
  std::string_view name;
  Expansion alpha;
  Expansion half_width;
  std::string_view source;
};

std::span<const Material> materials();

// By name or alias ("aluminum", "gray iron", "4140", "356"), small and capital letters alike.
// Refused, with the list of known names: anything else.
Result<Material> material(std::string_view name);

}  // namespace tautmark
