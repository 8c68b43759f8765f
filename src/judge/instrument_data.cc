// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <span>

#include "base/text.h"
#include "drive/measurand.h"
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

constexpr Kind kPressure[] = {Kind::pressure};
constexpr Kind kTorque[] = {Kind::torque};
constexpr Kind kWheel[] = {Kind::crank_angle, Kind::cam_angle};
constexpr Kind kLength[] = {Kind::length};
constexpr Kind kTemperatures[] = {Kind::temperature, Kind::temperature_difference};

std::vector<Kind> all_kinds() {
  std::vector<Kind> kinds;
  for (int i = 0; i < kKindCount; ++i) kinds.push_back(static_cast<Kind>(i));
  return kinds;
}

bool is_known(std::string_view name, std::span<const Kind> kinds) {
  return std::any_of(kinds.begin(), kinds.end(),
                     [&](Kind kind) { return instrument_type(name, kind).has_value(); });
}

// What the instrument reads, where its own data say so.
std::optional<Kind> declared_kind(const Instrument& instrument) {
  if (instrument.uncertainty) return instrument.uncertainty->value.kind;
  if (instrument.resolution) return instrument.resolution->value.kind;
  return std::nullopt;
}

bool reads_one_of(const Instrument& instrument, std::span<const Kind> kinds) {
  const std::optional<Kind> kind = declared_kind(instrument);
  if (kind) return std::find(kinds.begin(), kinds.end(), *kind) != kinds.end();
  return !instrument.type || is_known(*instrument.type, kinds);
}

// Suggested are only instruments that read what is wanted: the case's own, then the list's.
Diagnostic unknown_instrument(const std::string& name, std::span<const Kind> kinds,
                              std::span<const Instrument> own, TextPlace place) {
  std::vector<std::string> listed;
  for (const Instrument& instrument : own)
    if (reads_one_of(instrument, kinds)) listed.push_back(instrument.name);
  for (const InstrumentType& type : instrument_types()) {
    const bool fits = std::find(kinds.begin(), kinds.end(), type.kind) != kinds.end();
    const bool is_new = std::find(listed.begin(), listed.end(), type.name) == listed.end();
    if (fits && is_new) listed.emplace_back(type.name);
  }
  std::vector<std::string> words = listed;
  for (const Kind kind : kinds)
    for (std::string& word : instrument_words(kind)) words.push_back(std::move(word));
  const auto near = nearest(name, words);
  std::vector<std::string> wanted;
  for (const Kind kind : kinds) wanted.emplace_back(kind_name(kind));
  return {Severity::error,
          std::move(place),
          is_known(name, all_kinds())
              ? fmt::format("\"{}\" does not measure {}", name, joined(wanted, " or "))
              : fmt::format("no instrument \"{}\"", name),
          near ? fmt::format("did you mean \"{}\"?", *near)
               : fmt::format("known: {}", joined(listed, ", ")),
          {}};
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
  const auto check = [&](const std::optional<std::string>& name, const std::string& path,
                         std::span<const Kind> kinds, std::span<const Instrument> own) {
    if (!name || is_known(*name, kinds)) return;
    for (const Instrument& instrument : own)
      if (folded(instrument.name) == folded(*name)) return;
    diagnostics.push_back(unknown_instrument(*name, kinds, own, loaded.places.at(path)));
  };
  const std::vector<Kind> all = all_kinds();
  const std::vector<Instrument>& own = loaded.value.instruments;
  for (std::size_t i = 0; i < own.size(); ++i)
    check(own[i].type, fmt::format("instruments[{}].type", i), all, {});
  for (std::size_t i = 0; i < loaded.value.entries.size(); ++i) {
    const EntryBody& body = loaded.value.entries[i].body;
    const auto at = [&](std::string_view key) { return fmt::format("entries[{}].{}", i, key); };
    if (const auto* reading = std::get_if<Reading>(&body))
      check(reading->instrument, at("instrument"), measurand_info(reading->quantity).kinds, own);
    if (const auto* pressure = std::get_if<PressureReading>(&body)) {
      check(pressure->instrument, at("instrument"), kPressure, own);
      check(pressure->thermometer, at("thermometer"), kTemperatures, own);
    }
    if (const auto* stop = std::get_if<StopReading>(&body))
      check(stop->instrument, at("instrument"), kWheel, own);
    if (const auto* indicator = std::get_if<IndicatorReading>(&body))
      check(indicator->instrument, at("instrument"), kLength, own);
    if (const auto* gap = std::get_if<ValveGap>(&body))
      check(gap->instrument, at("instrument"), kLength, own);
    if (const auto* trace = std::get_if<TorqueTrace>(&body))
      check(trace->instrument, at("instrument"), kTorque, own);
  }
  return diagnostics;
}

}  // namespace tautmark
