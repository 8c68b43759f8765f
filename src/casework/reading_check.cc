// SPDX-License-Identifier: Apache-2.0
#include "casework/reading_check.h"

#include <fmt/format.h>

#include <limits>

#include "base/text.h"
#include "casework/case_fields.h"

namespace tautmark {
namespace {

// In SI: outside a slip of the unit is certain.
struct Size {
  double lower;
  double upper;
};
constexpr double kCelsius = 273.15;
constexpr Size kPartTemperature{kCelsius - 60, kCelsius + 250};
constexpr Size kOilTemperature{kCelsius - 60, kCelsius + 250};
constexpr Size kSpeed{0, 30000.0 / 60};
// No gauge at an engine shows less than nothing, but by the error of its zero (own estimate).
constexpr Size kOilPressure{-10e3, 5e6};

void check_kind(const CaseCheck& check, Kind kind, const MeasurandInfo& info,
                const std::string& path, const std::string& text) {
  if (accepts_kind(info, kind)) return;
  check.error(path, fmt::format("{} is {}; {} is {}", text, kind_name(kind), info.name,
                                kind_name(info.kinds.front())));
}

bool is_inside(double value, const Size& size) {
  return value >= size.lower && value <= size.upper;
}

template <class Q>
void check_size(const CaseCheck& check, const std::string& path,
                const std::optional<Written<Q>>& value, const Size& size, std::string_view what) {
  if (value && !is_inside(value->value.si(), size))
    check.error(path, fmt::format("{} cannot be {}: is the unit right?", value->text, what));
}

// Values that no gauge can show. What is merely unlikely is the judge's matter.
void check_possible(const CaseCheck& check, const Reading& reading, std::size_t index) {
  const auto smallest = [&](Kind kind) -> std::optional<double> {
    if (kind != Kind::length && kind != Kind::time) return std::nullopt;
    switch (reading.quantity) {
      case Measurand::journal_diameter:
      case Measurand::bore_diameter:
      case Measurand::chain_length:
      case Measurand::sink_time:
      case Measurand::bolt_length:
      case Measurand::bolt_diameter:
        return std::numeric_limits<double>::min();
      case Measurand::tensioner_extension:
      case Measurand::groove_depth:
        return 0;
      default:
        return std::nullopt;
    }
  };
  const auto refuse = [&](std::string_view key, const std::string& text, double value) {
    check.error(entry_path(index, key),
                fmt::format("a {} of {} is not possible: {}", choice_name(reading.quantity),
                            value < 0 ? "less than nothing" : "nothing", text));
  };
  if (reading.values)
    for (const AnyQuantity& value : reading.values->value.values)
      if (const auto least = smallest(value.kind); least && value.si < *least) {
        refuse("values", reading.values->text, value.si);
        break;
      }
  if (reading.value) {
    const AnyQuantity& value = reading.value->value.value;
    if (const auto least = smallest(value.kind); least && value.si < *least)
      refuse("value", reading.value->text, value.si);
  }
}

// What says something only beside something else.
void check_extras(const CaseCheck& check, const Reading& reading, std::size_t index) {
  const auto belongs = [&](bool there, bool fits, std::string_view key, std::string_view of) {
    if (there && !fits)
      check.error(entry_path(index, key), fmt::format("{} belongs to a {} only, not to a {}", key,
                                                      of, choice_name(reading.quantity)));
  };
  const Measurand quantity = reading.quantity;
  belongs(reading.links.has_value(), quantity == Measurand::chain_length, "links", "chain length");
  belongs(reading.radius.has_value(), quantity == Measurand::lock_play, "radius", "lock play");
  belongs(reading.drop.has_value(), quantity == Measurand::sink_time, "drop", "sink time");
  belongs(reading.force.has_value(),
          quantity == Measurand::sink_time || quantity == Measurand::chain_length, "force",
          "sink time or a chain length");
  belongs(reading.cap.has_value(),
          quantity == Measurand::bore_diameter || quantity == Measurand::journal_clearance, "cap",
          "bore or a clearance");
  if (reading.limit) return;
  if (reading.applies_to)
    check.error(entry_path(index, "applies_to"),
                "applies_to says something about a limit, and "
                "this reading has none of its own");
  if (reading.limit_source)
    check.error(entry_path(index, "limit_source"),
                "the source of a limit, and this reading has no "
                "limit of its own");
}

// What an instrument declares must be of the kind that it measures.
void check_instrument(const CaseCheck& check, const std::optional<std::string>& name, Kind kind,
                      std::size_t index) {
  if (!name) return;
  const auto& instruments = check.loaded().value.instruments;
  for (std::size_t i = 0; i < instruments.size(); ++i) {
    if (folded(instruments[i].name) != folded(*name)) continue;
    for (const auto& [declared, key] : {std::pair{&instruments[i].uncertainty, "uncertainty"},
                                        std::pair{&instruments[i].resolution, "resolution"}}) {
      if (!*declared || (*declared)->value.kind == kind) continue;
      check.error(
          entry_path(index, "instrument"),
          fmt::format("{} is declared with {}, which is {}; this reading is {}", *name,
                      (*declared)->text, kind_name((*declared)->value.kind), kind_name(kind)),
          {}, fmt::format("instruments[{}].{}", i, key), "it is declared here");
    }
  }
}

void check_conditions(const CaseCheck& check, const Reading& reading, std::size_t index) {
  check_size(check, entry_path(index, "temperature"), reading.temperature, kPartTemperature,
             "the temperature of a part in a shop");
  check_size(check, entry_path(index, "instrument_temperature"), reading.instrument_temperature,
             kPartTemperature, "the temperature of an instrument");
  if (reading.count && reading.values)
    check.error(
        entry_path(index, "count"),
        "count belongs to a reported mean (value); the readings one by one count themselves");
  if (reading.values)
    check_instrument(check, reading.instrument, reading.values->value.kind, index);
  else if (reading.value)
    check_instrument(check, reading.instrument, reading.value->value.value.kind, index);
}

}  // namespace

void check_oil_found(const CaseCheck& check, const OilFound& oil, std::size_t index) {
  constexpr Size kHot{1e-6, 100e-6}, kWarm{2e-6, 2000e-6};
  const auto one = [&](const std::optional<WrittenMeasured>& value, const Size& size,
                       std::string_view key) {
    if (!value) return;
    const AnyQuantity& given = value->value.value;
    if (given.kind != Kind::kinematic_viscosity)
      check.error(entry_path(index, key),
                  fmt::format("{} is {}; a laboratory tells the kinematic viscosity", value->text,
                              kind_name(given.kind)),
                  "9.0 ± 0.1 mm²/s");
    else if (!is_inside(given.si, size))
      check.error(entry_path(index, key),
                  fmt::format("{} cannot be the viscosity of an engine oil: is the unit right?",
                              value->text));
  };
  one(oil.viscosity_40, kWarm, "viscosity_40");
  one(oil.viscosity_100, kHot, "viscosity_100");
  if (oil.viscosity_40 && oil.viscosity_100 &&
      oil.viscosity_40->value.value.si <= oil.viscosity_100->value.value.si)
    check.error(entry_path(index, "viscosity_40"),
                fmt::format("{} at 40 degC is no more than {} at 100 degC: swapped?",
                            oil.viscosity_40->text, oil.viscosity_100->text));
}

void check_pressure(const CaseCheck& check, const PressureReading& pressure, std::size_t index) {
  check_size(check, entry_path(index, "speed"), pressure.speed, kSpeed, "the speed of an engine");
  check_size(check, entry_path(index, "oil_temperature"), pressure.oil_temperature, kOilTemperature,
             "the temperature of oil in an engine");
  check.check_place(pressure.place, entry_path(index, "place"), PlaceType::oil_port);
  const AnyList& values = pressure.values.value;
  if (values.kind != Kind::pressure) {
    check.error(entry_path(index, "values"),
                fmt::format("{} is {}; oil pressure is a pressure", pressure.values.text,
                            kind_name(values.kind)));
    return;
  }
  check_instrument(check, pressure.instrument, Kind::pressure, index);
  for (const AnyQuantity& value : values.values) {
    if (is_inside(value.si, kOilPressure)) continue;
    check.error(entry_path(index, "values"),
                fmt::format("{} cannot be an oil pressure of any engine: is the unit right?",
                            pressure.values.text));
    break;
  }
}

void check_reading(const CaseCheck& check, const Reading& reading, std::size_t index) {
  const MeasurandInfo& info = measurand_info(reading.quantity);
  const bool blades = reading.passes || reading.stops;
  const int ways = (reading.values ? 1 : 0) + (reading.value ? 1 : 0) + (blades ? 1 : 0);
  if (!info.can_be_read)
    check.error(entry_path(index, "quantity"),
                fmt::format("{} is not read off a gauge: it follows {}", info.name, info.how));
  if (ways == 0)
    check.error(entry_path(index), "a reading without any value",
                "values: 27.957 27.958 27.956 mm");
  if (ways > 1)
    check.error(entry_path(index),
                "give the readings one by one (values), or a reported mean (value), or "
                "blades (passes and stops), not several of them");
  if (reading.values)
    check_kind(check, reading.values->value.kind, info, entry_path(index, "values"),
               reading.values->text);
  if (reading.value)
    check_kind(check, reading.value->value.value.kind, info, entry_path(index, "value"),
               reading.value->text);
  if (blades) {
    if (!reading.passes || !reading.stops)
      check.error(entry_path(index),
                  "go / no-go needs both blades: the last that passes and the first that does not");
    else if (!(reading.passes->value.si < reading.stops->value.si))
      check.error(entry_path(index, "passes"),
                  "the blade that passes must be thinner than the one that does not", {},
                  entry_path(index, "stops"), "the one that does not is here");
    for (const auto& [blade, key] :
         {std::pair{&reading.passes, "passes"}, std::pair{&reading.stops, "stops"}})
      if (*blade)
        check_kind(check, (*blade)->value.kind, info, entry_path(index, key), (*blade)->text);
  }
  if (reading.quantity == Measurand::chain_length && !reading.links)
    check.error(entry_path(index), "a chain length needs the number of links it is over",
                "links: 40");
  if (reading.quantity == Measurand::lock_play && !reading.radius) {
    const bool length = (reading.values && reading.values->value.kind == Kind::length) ||
                        (reading.value && reading.value->value.value.kind == Kind::length);
    if (length) check.error(entry_path(index), "play on the rim needs its radius", "radius: 50 mm");
  }
  if (reading.limit)
    check_kind(check, reading.limit->value.kind, info, entry_path(index, "limit"),
               reading.limit->text);
  check.check_place(reading.place, entry_path(index, "place"), info.place);
  check_possible(check, reading, index);
  check_extras(check, reading, index);
  check_conditions(check, reading, index);
}

}  // namespace tautmark
