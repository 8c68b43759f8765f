// SPDX-License-Identifier: Apache-2.0
#include "judge/at_reference.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "measure/thermal.h"

namespace tautmark {
namespace {

// An unstated temperature: the room may be anywhere within this of 20 °C.
constexpr double kUnstatedTemperature = 5;   // K, half width
constexpr double kWidestDifference = 13e-6;  // 1/K, aluminium against steel with room to spare
constexpr double kSteelAlpha = 11.5e-6;      // micrometers and masters are steel (Callister, B.6)
constexpr double kTemperatureDoubt = 1;      // K, half width of a stated temperature

bool grows_with_heat(Measurand quantity) {
  return quantity == Measurand::journal_diameter || quantity == Measurand::bore_diameter ||
         quantity == Measurand::chain_length;
}

std::optional<std::string> material_name(Measurand quantity, const EnginePlace& place) {
  if (quantity == Measurand::bore_diameter && place.in_bank != nullptr)
    return place.in_bank->head_material;
  if (quantity == Measurand::journal_diameter && place.camshaft != nullptr)
    return place.camshaft->material;
  if (quantity == Measurand::chain_length) return "steel";
  return std::nullopt;
}

}  // namespace

Corrected at_reference(const std::vector<double>& values, const Reading& reading,
                       const EnginePlace& place) {
  Corrected result{values, {}, {}};
  if (!grows_with_heat(reading.quantity) || values.empty()) return result;
  const double size = std::abs(values.front());
  const auto name = material_name(reading.quantity, place);
  const auto part = name ? material(*name)
                         : Result<Material>(tl::make_unexpected(Refusal{"material not stated"}));
  if (!reading.temperature) {
    const double difference =
        part ? std::abs(part->alpha.si() - kSteelAlpha) + part->half_width.si() : kWidestDifference;
    result.terms.push_back({"temperature not entered, taken as 20 °C ± 5 K",
                            rectangular_u(size * difference * kUnstatedTemperature)});
    result.words = "temperature not entered: taken as 20 °C ± 5 K";
    return result;
  }
  const double away = std::abs(in_degC(reading.temperature->value) - 20);
  if (!part) {
    result.terms.push_back(
        {"material not stated", rectangular_u(size * kWidestDifference * std::max(away, 1.0))});
    result.words = "material not stated in the drive: not corrected to 20 °C";
    return result;
  }
  const Temperature gauge = reading.instrument_temperature ? reading.instrument_temperature->value
                                                           : reading.temperature->value;
  ThermalInputs in{Length::from_si(size), part->alpha, reading.temperature->value,
                   Expansion::from_si(kSteelAlpha), gauge};
  const double doubt = kTemperatureDoubt / std::sqrt(3.0);
  const ThermalUncertainty u{Expansion::from_si(rectangular_u(part->half_width.si())),
                             ppm_per_K(0.6), kelvin(doubt),
                             kelvin(reading.instrument_temperature ? doubt : doubt / 2)};
  const auto correction = thermal_correction(in);
  const auto terms = thermal_contributions(in, u);
  if (!correction || !terms) {
    result.words = "temperature outside what the correction covers";
    result.terms.push_back(
        {"temperature", rectangular_u(size * kWidestDifference * std::max(away, 1.0))});
    return result;
  }
  const double factor = correction->at_20.si() / size;
  for (double& value : result.values) value *= factor;
  result.terms = *terms;
  result.words =
      fmt::format("corrected from {} to 20 °C ({})", reading.temperature->text, part->name);
  return result;
}

}  // namespace tautmark
