// SPDX-License-Identifier: Apache-2.0
#include "judge/dimension.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "base/text.h"
#include "measure/instrument.h"
#include "measure/statistics.h"
#include "measure/thermal.h"

namespace tautmark {
namespace {

// An unstated temperature: the room may be anywhere within this of 20 °C.
constexpr double kUnstatedTemperature = 5;   // K, half width
constexpr double kWidestDifference = 13e-6;  // 1/K, aluminium against steel with room to spare
constexpr double kSteelAlpha = 11.5e-6;      // micrometers and masters are steel (Callister, B.6)
constexpr double kTemperatureDoubt = 1;      // K, half width of a stated temperature

bool has_form(Measurand quantity) {
  return quantity == Measurand::chain_length || quantity == Measurand::groove_depth;
}

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

struct Corrected {
  std::vector<double> values;
  std::vector<Contribution> terms;
  std::string words;
};

// One entry's values brought to 20 °C, and what the temperature leaves uncertain.
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

double typed_step(const WrittenList& list) {
  int decimals = 0;
  for (const AnyQuantity& value : list.value.values) decimals = std::max(decimals, value.decimals);
  return std::pow(10.0, -decimals) * list.value.values.front().unit->factor;
}

// Scatter that the same instrument showed elsewhere in this case, for a reading that stands alone.
std::optional<PooledSd> seen_elsewhere(const CheckInput& input, Measurand quantity,
                                       const std::optional<std::string>& name) {
  std::vector<std::vector<double>> groups;
  for (const auto& [entry, reading] : input.readings) {
    if (reading->quantity != quantity || !reading->values) continue;
    if (folded(reading->instrument.value_or("")) != folded(name.value_or(""))) continue;
    std::vector<double> group;
    for (const AnyQuantity& value : reading->values->value.values) group.push_back(value.si);
    if (group.size() >= 2) groups.push_back(std::move(group));
  }
  if (groups.size() < 3) return std::nullopt;
  const auto pooled = pooled_sd(groups);
  if (!pooled || pooled->nu < 4) return std::nullopt;
  return *pooled;
}

void note_plausibility(const Dimension& dimension, const MeasurandInfo& info, Dimension& out) {
  ReadingSet set;
  set.kind = dimension.kind;
  for (const DirectionMean& direction : dimension.directions)
    set.positions.push_back({direction.mean});
  const bool own_kind = dimension.kind == info.kinds.front();
  for (const DirectionMean& direction : dimension.directions) {
    if (own_kind &&
        (direction.mean < info.plausible_lower || direction.mean > info.plausible_upper)) {
      out.impossible.push_back(
          {PlausibilityCode::not_physical,
           fmt::format("{} cannot be a {} of any piston engine: is the unit right?",
                       quantity_text(direction.mean, *dimension.unit, dimension.decimals),
                       info.name),
           std::nullopt, std::nullopt});
      return;
    }
  }
}

void note_outliers(const std::vector<std::vector<double>>& groups, Kind kind, double step,
                   double sd, Dimension& out) {
  ReadingSet set;
  set.kind = kind;
  set.positions = groups;
  set.resolution = step;
  set.repeatability_sd = sd;
  for (const PlausibilityNote& note : plausibility_notes(set))
    if (note.code == PlausibilityCode::outlier) out.remarks.push_back(note.sentence);
}

}  // namespace

std::vector<EntryOf<Reading>> readings_at(const CheckInput& input, Measurand quantity,
                                          std::string_view place) {
  std::vector<EntryOf<Reading>> found;
  for (const auto& entry : input.readings)
    if (entry.body->quantity == quantity && same_place(entry.body->place, place))
      found.push_back(entry);
  return found;
}

InstrumentData instrument_data(const Case& value, const std::optional<std::string>& name, Kind kind,
                               double reading, double step) {
  InstrumentData data;
  const Instrument* own = name ? find_instrument(value, *name) : nullptr;
  const std::string type_name =
      own != nullptr ? own->type.value_or("unknown") : name.value_or("unknown");
  auto type = instrument_type(type_name, kind);
  if (!type) type = instrument_type("unknown", kind);
  if (type) {
    const auto at = instrument_at(*type, reading);
    const InstrumentType& use = at ? *at : *type;
    data.expanded_U = use.expanded_U;
    data.repeatability_sd = use.repeatability_sd;
    data.resolution = use.resolution;
    data.is_default = true;
    data.words = fmt::format("{}: U taken from the program's list for \"{}\" (conservative, k = 2)",
                             name.value_or("instrument not named"), use.name);
  }
  if (own != nullptr && own->uncertainty && own->uncertainty->value.kind == kind) {
    data.expanded_U = own->uncertainty->value.si;
    data.repeatability_sd = 0;
    data.resolution = step;
    data.is_default = false;
    data.words =
        fmt::format("{}: U = {} (k = 2), declared{}", own->name, own->uncertainty->text,
                    own->calibrated ? ", calibrated " + own->calibrated->text : std::string());
  }
  if (own != nullptr && own->resolution && own->resolution->value.kind == kind)
    data.resolution = own->resolution->value.si;
  return data;
}

std::optional<Dimension> dimension_at(const CheckInput& input, Measurand quantity,
                                      const EnginePlace& place) {
  const auto readings = readings_at(input, quantity, place.path);
  if (readings.empty()) return std::nullopt;
  const MeasurandInfo& info = measurand_info(quantity);

  Dimension dimension;
  std::map<std::string, std::vector<double>> by_direction;
  std::vector<std::string> order;
  double calibration = 0, step = 0, repeatability = 0;
  std::string instrument_words;
  std::vector<std::string> temperature_words;
  std::optional<std::string> instrument_name;
  std::vector<Contribution> temperature_terms;
  int reported = 0;
  bool every_own_u = true;
  double own_u = 0;

  for (const auto& [entry, reading] : readings) {
    dimension.evidence.push_back(entry->id);
    std::vector<double> values;
    std::string direction = folded(reading->direction.value_or(""));
    if (reading->section) direction += (direction.empty() ? "" : ", ") + folded(*reading->section);
    double this_step = 0;
    int weight = 1;
    if (reading->values) {
      for (const AnyQuantity& value : reading->values->value.values) values.push_back(value.si);
      dimension.kind = reading->values->value.kind;
      dimension.unit = reading->values->value.values.front().unit;
      dimension.decimals = reading->values->value.values.front().decimals;
      this_step = typed_step(*reading->values);
      every_own_u = false;
    } else if (reading->value) {
      const AnyMeasured& value = reading->value->value;
      values.push_back(value.value.si);
      dimension.kind = value.value.kind;
      dimension.unit = value.value.unit;
      dimension.decimals = value.value.decimals;
      this_step = std::pow(10.0, -value.value.decimals) * value.value.unit->factor;
      weight = std::max(1, reading->count.value_or(1));
      if (value.expanded_si) {
        own_u = std::max(own_u, *value.expanded_si / value.coverage);
      } else {
        every_own_u = false;
        reported += weight;
      }
    } else if (reading->passes && reading->stops) {
      const double a = reading->passes->value.si, b = reading->stops->value.si;
      values.push_back((a + b) / 2);
      dimension.kind = reading->passes->value.kind;
      dimension.unit = reading->passes->value.unit;
      dimension.decimals =
          std::max(reading->passes->value.decimals, reading->stops->value.decimals);
      dimension.between = dimension.between ? std::pair(std::max(dimension.between->first, a),
                                                        std::min(dimension.between->second, b))
                                            : std::pair(a, b);
      every_own_u = false;
    }
    const Corrected corrected = at_reference(values, *reading, place);
    if (!corrected.words.empty()) temperature_words.push_back(corrected.words);
    if (corrected.terms.size() > temperature_terms.size()) temperature_terms = corrected.terms;
    if (!reading->value || !reading->value->value.expanded_si) {
      const InstrumentData data = instrument_data(*input.value, reading->instrument, dimension.kind,
                                                  values.front(), this_step);
      if (data.expanded_U / 2 >= calibration) {
        calibration = data.expanded_U / 2;
        repeatability = data.repeatability_sd;
        instrument_words = data.words;
        instrument_name = reading->instrument;
      }
      step = std::max(step, data.resolution);
    }
    if (!by_direction.contains(direction)) order.push_back(direction);
    auto& group = by_direction[direction];
    group.insert(group.end(), corrected.values.begin(), corrected.values.end());
    dimension.n += reading->values ? static_cast<int>(values.size()) : weight;
  }

  std::vector<std::vector<double>> groups;
  for (const std::string& direction : order) {
    const auto& group = by_direction[direction];
    const auto summary = summarize(group);
    if (!summary) continue;
    dimension.directions.push_back({direction.empty() ? "" : direction, summary->mean, summary->n});
    groups.push_back(group);
  }
  if (dimension.directions.empty() || dimension.unit == nullptr) return std::nullopt;
  double sum = 0;
  dimension.lowest = dimension.highest = dimension.directions.front().mean;
  for (const DirectionMean& direction : dimension.directions) {
    sum += direction.mean;
    dimension.lowest = std::min(dimension.lowest, direction.mean);
    dimension.highest = std::max(dimension.highest, direction.mean);
  }
  dimension.mean = sum / static_cast<double>(dimension.directions.size());
  if (has_form(quantity))
    for (const auto& group : groups) {
      dimension.lowest = std::min(dimension.lowest, *std::min_element(group.begin(), group.end()));
      dimension.highest =
          std::max(dimension.highest, *std::max_element(group.begin(), group.end()));
    }

  std::vector<Contribution> terms, single;
  if (every_own_u && own_u > 0) {
    terms.push_back({"as reported", own_u});
    single = terms;
    dimension.assumptions.push_back("uncertainty as reported with the value, k = 2 unless stated");
  } else {
    const auto pooled = pooled_sd(groups);
    double nu = kInfiniteNu;
    if (pooled) {
      dimension.repeat_sd = pooled->sd;
      nu = pooled->nu;
      // Few equal digits do not make a gauge better than its kind.
      if (repeatability > dimension.repeat_sd) {
        dimension.repeat_sd = repeatability;
        nu = kInfiniteNu;
      }
    } else if (const auto elsewhere = seen_elsewhere(input, quantity, instrument_name)) {
      dimension.repeat_sd = elsewhere->sd;
      nu = elsewhere->nu;
      dimension.assumptions.push_back(
          "no repeats here: scatter as the same instrument showed elsewhere in this case");
    } else {
      dimension.repeat_sd = std::max(calibration, repeatability);
      dimension.assumptions.push_back(
          reported > 0
              ? "a reported mean: its scatter is not known, taken as large as the gauge's own term"
              : "one reading: scatter not seen, taken as large as the gauge's own term; three are "
                "advised");
    }
    const double per_mean = dimension.repeat_sd / std::sqrt(std::max(1, dimension.n));
    const double per_direction =
        dimension.repeat_sd /
        std::sqrt(std::max(1.0, static_cast<double>(dimension.n) /
                                    static_cast<double>(dimension.directions.size())));
    terms.push_back({"repeat", per_mean, nu});
    single.push_back({"repeat", has_form(quantity) ? 0.0 : per_direction, nu});
    for (auto* list : {&terms, &single}) {
      list->push_back({"resolution", resolution_u(step)});
      list->push_back({"calibration", std::max(calibration, own_u)});
      list->insert(list->end(), temperature_terms.begin(), temperature_terms.end());
    }
    if (!instrument_words.empty()) dimension.assumptions.push_back(instrument_words);
    note_outliers(groups, dimension.kind, step, dimension.repeat_sd, dimension);
  }
  if (dimension.between)
    terms = single = {{"between two blades",
                       rectangular_u((dimension.between->second - dimension.between->first) / 2)}};
  std::sort(temperature_words.begin(), temperature_words.end());
  temperature_words.erase(std::unique(temperature_words.begin(), temperature_words.end()),
                          temperature_words.end());
  for (std::string& words : temperature_words) dimension.assumptions.push_back(std::move(words));

  const auto budget = combine(terms);
  const auto budget_single = combine(single);
  if (!budget || !budget_single) return std::nullopt;
  dimension.budget = *budget;
  dimension.budget_single = *budget_single;
  note_plausibility(dimension, info, dimension);
  return dimension;
}

Diagnostics unknown_instruments(const LoadedCase& loaded) {
  Diagnostics diagnostics;
  std::vector<std::string> known;
  std::set<std::string> types;
  for (const InstrumentType& type : instrument_types()) types.insert(std::string(type.name));
  for (const Instrument& instrument : loaded.value.instruments) known.push_back(instrument.name);
  known.insert(known.end(), types.begin(), types.end());
  const auto check = [&](const std::optional<std::string>& name, const std::string& path,
                         bool types_only) {
    if (!name) return;
    for (const InstrumentType& type : instrument_types())
      if (instrument_type(*name, type.kind)) return;
    if (!types_only && find_instrument(loaded.value, *name) != nullptr) return;
    const std::vector<std::string> choices =
        types_only ? std::vector<std::string>(types.begin(), types.end()) : known;
    const auto near = nearest(*name, choices);
    diagnostics.push_back({Severity::error,
                           loaded.places.at(path),
                           fmt::format("no instrument \"{}\"", *name),
                           near ? fmt::format("did you mean \"{}\"?", *near)
                                : fmt::format("known: {}", joined(choices, ", ")),
                           {}});
  };
  for (std::size_t i = 0; i < loaded.value.instruments.size(); ++i)
    check(loaded.value.instruments[i].type, fmt::format("instruments[{}].type", i), true);
  for (std::size_t i = 0; i < loaded.value.entries.size(); ++i) {
    const EntryBody& body = loaded.value.entries[i].body;
    if (const auto* reading = std::get_if<Reading>(&body))
      check(reading->instrument, fmt::format("entries[{}].instrument", i), false);
    if (const auto* pressure = std::get_if<PressureReading>(&body)) {
      check(pressure->instrument, fmt::format("entries[{}].instrument", i), false);
      check(pressure->thermometer, fmt::format("entries[{}].thermometer", i), false);
    }
  }
  return diagnostics;
}

}  // namespace tautmark
