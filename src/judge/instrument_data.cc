// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <set>

#include "base/text.h"
#include "judge/dimension.h"
#include "measure/instrument.h"

namespace tautmark {
namespace {

// "2 degC" as an uncertainty is an interval, not a point.
std::optional<double> as_kind(const AnyQuantity& value, Kind kind) {
  if (value.kind == kind) return value.si;
  if (kind == Kind::temperature_difference && value.kind == Kind::temperature)
    return from_si(value.si, *value.unit) * value.unit->factor;
  return std::nullopt;
}

}  // namespace

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
  const auto own_U =
      own != nullptr && own->uncertainty ? as_kind(own->uncertainty->value, kind) : std::nullopt;
  if (own_U) {
    data.expanded_U = *own_U;
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
