// SPDX-License-Identifier: Apache-2.0
#include "measure/thermal.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <string>

#include "measure/validity.h"

namespace tautmark {
namespace {

constexpr std::string_view kCallister =
    "Callister, Fundamentals of Materials Science and Engineering, App. B, Table B.6";
constexpr std::string_view kGum = "JCGM 100:2008, Annex H.1 (steel of gauge blocks)";

constexpr std::array kMaterials = {
    Material{"cast aluminium 356", ppm_per_K(21.5), ppm_per_K(1), kCallister},
    Material{"aluminium 6061", ppm_per_K(23.6), ppm_per_K(1), kCallister},
    Material{"aluminium", ppm_per_K(22.55), ppm_per_K(2.05), kCallister},
    Material{"grey iron", ppm_per_K(11.4), ppm_per_K(1), kCallister},
    Material{"ductile iron 80-55-06", ppm_per_K(10.6), ppm_per_K(1), kCallister},
    Material{"ductile iron 60-40-18", ppm_per_K(11.2), ppm_per_K(1), kCallister},
    Material{"ductile iron", ppm_per_K(10.9), ppm_per_K(1.3), kCallister},
    Material{"cast iron", ppm_per_K(11.0), ppm_per_K(1.4), kCallister},
    Material{"steel 1020", ppm_per_K(11.7), ppm_per_K(1), kCallister},
    Material{"steel 1040", ppm_per_K(11.3), ppm_per_K(1), kCallister},
    Material{"steel 4140", ppm_per_K(12.3), ppm_per_K(1), kCallister},
    Material{"steel 4340", ppm_per_K(12.3), ppm_per_K(1), kCallister},
    Material{"steel", ppm_per_K(11.8), ppm_per_K(1.5), kCallister},
    Material{"gauge steel", ppm_per_K(11.5), ppm_per_K(2), kGum},
};

struct Alias {
  std::string_view alias;
  std::string_view name;
};
// Compared after `plain_name`: small letters, British spelling, blanks instead of - and _.
constexpr std::array kAliases = {
    Alias{"cast aluminium", "cast aluminium 356"},
    Alias{"aluminium 356", "cast aluminium 356"},
    Alias{"aluminium 356.0", "cast aluminium 356"},
    Alias{"cast aluminium 356.0", "cast aluminium 356"},
    Alias{"356", "cast aluminium 356"},
    Alias{"356.0", "cast aluminium 356"},
    Alias{"6061", "aluminium 6061"},
    Alias{"aluminium alloy", "aluminium"},
    Alias{"gray iron", "grey iron"},
    Alias{"grey cast iron", "grey iron"},
    Alias{"gray cast iron", "grey iron"},
    Alias{"nodular iron", "ductile iron"},
    Alias{"ductile cast iron", "ductile iron"},
    Alias{"80 55 06", "ductile iron 80-55-06"},
    Alias{"60 40 18", "ductile iron 60-40-18"},
    Alias{"iron", "cast iron"},
    Alias{"1020", "steel 1020"},
    Alias{"1040", "steel 1040"},
    Alias{"4140", "steel 4140"},
    Alias{"4340", "steel 4340"},
    Alias{"steel gauge", "gauge steel"},
    Alias{"gage steel", "gauge steel"},
};

std::string plain_name(std::string_view name) {
  std::string result;
  for (const char c : name) {
    if (c == '-' || c == '_' || c == ' ') {
      if (!result.empty() && result.back() != ' ') result += ' ';
    } else {
      result += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    }
  }
  if (!result.empty() && result.back() == ' ') result.pop_back();
  constexpr std::string_view american = "aluminum";
  if (const std::size_t at = result.find(american); at != std::string::npos) {
    result.replace(at, american.size(), "aluminium");
  }
  return result;
}

double above_reference(Temperature t) { return (t - kReferenceTemperature).si(); }

}  // namespace

Result<Length> length_at(Length at_20, Expansion alpha, Temperature temperature) {
  if (auto why = measure::expansion_objection(alpha, temperature)) return refuse(*why);
  if (!measure::is_length(at_20)) return refuse("a length lies within 100 m");
  return at_20 * (1 + alpha.si() * above_reference(temperature));
}

Result<ThermalCorrection> thermal_correction(const ThermalInputs& in) {
  if (!measure::is_length(in.reading)) return refuse("a reading lies within 100 m");
  if (auto why = measure::expansion_objection(in.part_alpha, in.part_temperature)) {
    return refuse("part: " + *why);
  }
  if (auto why = measure::expansion_objection(in.instrument_alpha, in.instrument_temperature)) {
    return refuse("instrument: " + *why);
  }
  const double part_dt = above_reference(in.part_temperature);
  const double instrument_dt = above_reference(in.instrument_temperature);
  const double part = 1 + in.part_alpha.si() * part_dt;
  const double instrument = 1 + in.instrument_alpha.si() * instrument_dt;
  const double reading = in.reading.si();
  const double at_20 = reading * instrument / part;

  ThermalCorrection result;
  result.at_20 = Length::from_si(at_20);
  result.correction = Length::from_si(
      reading * (in.instrument_alpha.si() * instrument_dt - in.part_alpha.si() * part_dt) / part);
  result.per_reading = instrument / part;
  result.per_part_alpha = -at_20 * part_dt / part;
  result.per_part_temperature = -at_20 * in.part_alpha.si() / part;
  result.per_instrument_alpha = reading * instrument_dt / part;
  result.per_instrument_temperature = reading * in.instrument_alpha.si() / part;
  return result;
}

Result<std::vector<Contribution>> thermal_contributions(const ThermalInputs& in,
                                                        const ThermalUncertainty& u) {
  const Result<ThermalCorrection> correction = thermal_correction(in);
  if (!correction) return refuse(correction.error().why);
  const double common = u.common_temperature.si();
  const double difference = u.part_minus_instrument.si();
  const double part_alpha = u.part_alpha.si();
  const double instrument_alpha = u.instrument_alpha.si();
  for (const double value : {common, difference, part_alpha, instrument_alpha}) {
    if (!std::isfinite(value) || value < 0) {
      return refuse("an uncertainty is negative or not a finite number");
    }
  }

  // The common error moves both; the difference is put on the part alone.
  const double part_u = std::hypot(common, difference);
  const double length = correction->at_20.si();
  std::vector<Contribution> terms;
  terms.push_back(
      {.name = "temperature of part and instrument together",
       .u = common,
       .sensitivity = correction->per_part_temperature + correction->per_instrument_temperature});
  terms.push_back({.name = "temperature of the part against the instrument",
                   .u = difference,
                   .sensitivity = correction->per_part_temperature});
  terms.push_back({.name = "expansion of the part",
                   .u = part_alpha,
                   .sensitivity = correction->per_part_alpha});
  terms.push_back({.name = "expansion of the instrument",
                   .u = instrument_alpha,
                   .sensitivity = correction->per_instrument_alpha});
  terms.push_back({.name = "expansion times temperature of the part (second order)",
                   .u = second_order_product_u(length, part_alpha, part_u)});
  terms.push_back({.name = "expansion times temperature of the instrument (second order)",
                   .u = second_order_product_u(length, instrument_alpha, common)});
  return terms;
}

std::span<const Material> materials() { return kMaterials; }

Result<Material> material(std::string_view name) {
  std::string wanted = plain_name(name);
  for (const Alias& alias : kAliases) {
    if (alias.alias == wanted) wanted = plain_name(alias.name);
  }
  for (const Material& known : kMaterials) {
    if (plain_name(known.name) == wanted) return known;
  }
  std::string names;
  for (const Material& known : kMaterials) {
    names += names.empty() ? "" : ", ";
    names += known.name;
  }
  return refuse(fmt::format("no expansion coefficient for \"{}\"; known are: {}", name, names));
}

}  // namespace tautmark
