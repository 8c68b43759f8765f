// SPDX-License-Identifier: Apache-2.0
#include "judge/at_reference.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "measure/thermal.h"

namespace tautmark {
namespace {

constexpr double kUnstatedTemperature = 5;  // K, half width: the room may be anywhere in 20 ± 5 °C
constexpr double kSteelAlpha = 11.5e-6;     // micrometers and masters are steel (Callister, B.6)
constexpr double kTemperatureDoubt = 1;     // K, half width of a stated temperature
constexpr double kRoom = 3;  // K from 20 °C: gauge and part may be taken to lie on one bench

// Where the drive names no material: anything from ductile iron to aluminum.
constexpr Material kAnyMetal{"material not stated, iron to aluminum", ppm_per_K(17.5),
                             ppm_per_K(7.5), ""};

std::optional<std::string> material_name(Measurand quantity, const EnginePlace& place) {
  if (quantity == Measurand::bore_diameter && place.in_bank != nullptr)
    return place.in_bank->head_material;
  if (quantity == Measurand::journal_diameter && place.camshaft != nullptr)
    return place.camshaft->material;
  if (quantity == Measurand::chain_length) return "steel";
  return std::nullopt;
}

// The gauge's temperature and its half width. With a part away from room temperature the gauge may
// be anywhere between the room and the part.
std::pair<Temperature, double> gauge_temperature(const Reading& reading) {
  if (reading.instrument_temperature)
    return {reading.instrument_temperature->value, kTemperatureDoubt};
  const double away = in_degC(reading.temperature->value) - 20;
  if (std::abs(away) <= kRoom) return {reading.temperature->value, kTemperatureDoubt / 2};
  return {degC(20 + away / 2), std::abs(away) / 2};
}

}  // namespace

bool grows_with_heat(Measurand quantity) {
  return quantity == Measurand::journal_diameter || quantity == Measurand::bore_diameter ||
         quantity == Measurand::chain_length;
}

Corrected at_reference(const std::vector<double>& values, const Reading& reading,
                       const EnginePlace& place) {
  Corrected result{values, {}, {}};
  if (!grows_with_heat(reading.quantity) || values.empty()) return result;
  const double size = std::abs(values.front());
  const auto name = material_name(reading.quantity, place);
  const auto known = name ? material(*name) : Result<Material>(kAnyMetal);
  const Material& part = known ? *known : kAnyMetal;
  if (!reading.temperature) {
    const double difference = std::abs(part.alpha.si() - kSteelAlpha) + part.half_width.si();
    result.terms.push_back({"temperature not entered, taken as 20 °C ± 5 K",
                            rectangular_u(size * difference * kUnstatedTemperature)});
    result.words = "temperature not entered: taken as 20 °C ± 5 K";
    return result;
  }
  const auto [gauge, gauge_doubt] = gauge_temperature(reading);
  const ThermalInputs in{Length::from_si(size), part.alpha, reading.temperature->value,
                         Expansion::from_si(kSteelAlpha), gauge};
  const ThermalUncertainty u{Expansion::from_si(rectangular_u(part.half_width.si())),
                             ppm_per_K(0.6), kelvin(rectangular_u(kTemperatureDoubt)),
                             kelvin(rectangular_u(gauge_doubt))};
  const auto correction = thermal_correction(in);
  const auto terms = thermal_contributions(in, u);
  if (!correction || !terms) {
    const double away = std::abs(in_degC(reading.temperature->value) - 20);
    result.words = "temperature outside what the correction covers";
    result.terms.push_back({"temperature", rectangular_u(size * 2 * part.alpha.si() * away)});
    return result;
  }
  const double factor = correction->at_20.si() / size;
  for (double& value : result.values) value *= factor;
  result.terms = *terms;
  result.words =
      fmt::format("corrected from {} to 20 °C ({})", reading.temperature->text, part.name);
  if (!reading.instrument_temperature && gauge_doubt > kTemperatureDoubt)
    result.words += "; the gauge may be anywhere between room and part: enter its temperature";
  return result;
}

}  // namespace tautmark
