// SPDX-License-Identifier: Apache-2.0
#include "judge/port_pressures.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

#include "judge/oil_condition.h"
#include "judge/verdict.h"

namespace tautmark {
namespace {

// oil.md 4, common practice: where the probe sits is worth as much as the thermometer.
constexpr TemperatureDifference kProbe = kelvin(3);

using Readings = std::vector<EntryOf<PressureReading>>;

// Limits that say where they hold.
struct PortLimits {
  const EnginePlace* port = nullptr;
  std::vector<const PressureLimit*> limits{};
  Readings readings{};  // since the engine was last opened
};

std::vector<PortLimits> ports_of(const CheckInput& input) {
  std::vector<PortLimits> ports;
  if (input.drive == nullptr || !input.drive->drive.oil) return ports;
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::oil_port) continue;
    PortLimits port{&place, {}, {}};
    for (const PressureLimit& limit : input.drive->drive.oil->pressures)
      if (place_matches(limit.at, place) && limit.limit.value.lower_si && limit.speed &&
          limit.oil_temperature)
        port.limits.push_back(&limit);
    for (const auto& reading : all_of_kind<PressureReading>(input.entries))
      if (same_place(reading.body->place, place.path)) port.readings.push_back(reading);
    if (port.limits.empty() || port.readings.empty()) continue;
    keep_since_opened(input, port.readings);
    ports.push_back(std::move(port));
  }
  return ports;
}

bool holds_at(const WrittenRange<RotationalSpeed>& range, RotationalSpeed speed) {
  return (!range.lower || speed >= *range.lower) && (!range.upper || speed <= *range.upper);
}

RotationalSpeed middle_of(const WrittenRange<RotationalSpeed>& range) {
  if (range.lower && range.upper) return (*range.lower + *range.upper) / 2;
  return range.lower ? *range.lower : *range.upper;
}

RotationalSpeed speed_for(const PressureLimit& limit, RotationalSpeed read) {
  return holds_at(*limit.speed, read) ? read : middle_of(*limit.speed);
}

OilTemperatures stated(const PressureLimit& limit) {
  return {limit.oil_temperature->lower, limit.oil_temperature->upper};
}

const PressureLimit* nearest_limit(const PortLimits& port, RotationalSpeed speed) {
  const PressureLimit* nearest = nullptr;
  double least = std::numeric_limits<double>::infinity();
  for (const PressureLimit* limit : port.limits) {
    const double far = std::abs(std::log(speed_for(*limit, speed) / speed));
    if (far < least) nearest = limit;
    least = std::min(least, far);
  }
  return nearest;
}

CircuitFacts facts_of(const Oil& oil) {
  CircuitFacts facts;
  if (oil.relief_opens) facts.relief_opens = oil.relief_opens->value;
  if (oil.controlled_pump)
    facts.pump = *oil.controlled_pump ? oil::PumpControl::controlled : oil::PumpControl::fixed;
  if (oil.piston_jets)
    facts.jets = *oil.piston_jets ? oil::JetsFitted::fitted : oil::JetsFitted::none;
  if (oil.jets_open) facts.jets_open = oil.jets_open->value;
  return facts;
}

bool meets_any(const CheckInput& input, const PortLimits& port,
               const EntryOf<PressureReading>& reading) {
  return std::any_of(port.limits.begin(), port.limits.end(), [&](const PressureLimit* limit) {
    std::vector<std::string> unused;
    return badness(limit_conditions(input, *limit, reading, unused)) == 0;
  });
}

bool is_met(const CheckInput& input, const PortLimits& port, const PressureLimit& limit) {
  return std::any_of(port.readings.begin(), port.readings.end(), [&](const auto& reading) {
    std::vector<std::string> unused;
    return badness(limit_conditions(input, limit, reading, unused)) == 0;
  });
}

std::optional<BroughtReading> brought(const CheckInput& input, const PortLimits& port,
                                      const PressureLimit& limit,
                                      const EntryOf<PressureReading>& from) {
  const auto& specified = input.drive->drive.oil->grade;
  auto oil = grade_in_it(input, from);
  const auto pooled = pooled_pressure(input, {from});
  if (!specified || !oil || !pooled || !(pooled->value.estimate.value > 0)) return std::nullopt;
  const RotationalSpeed speed = from.body->speed->value;
  const Temperature hot = from.body->oil_temperature->value;
  BroughtReading out{.port = port.port, .limit = &limit, .from = from, .oil = std::move(*oil)};
  out.read = {Pressure::from_si(pooled->value.estimate.value),
              Pressure::from_si(pooled->value.estimate.u),
              speed,
              hot,
              std::max(kProbe, oil_temperature_u(input, *from.body)),
              out.oil.grade};
  out.wanted = {Pressure::from_si(*limit.limit.value.lower_si), speed_for(limit, speed),
                nearest_stated(stated(limit), hot), *specified};
  if (out.wanted.speed == speed && out.wanted.oil == hot && out.oil.grade == *specified)
    return std::nullopt;
  out.facts = facts_of(*input.drive->drive.oil);
  const OilInIt in_it = oil_in(input, from.entry->id);
  out.facts.aerated = is_aerated(in_it);
  out.facts.diluted = fuel_smelled(in_it) || found_out_of_grade(in_it, input.drive->drive);
  out.gauge = pooled->budget;
  out.at_limit = reading_at_reference(out.read, out.wanted, out.facts);
  return out;
}

// Less is better: comparable, indicative, void, not worked out; then by how well it is known.
std::pair<int, double> rank(const BroughtReading& one) {
  if (!one.at_limit) return {3, 0};
  const ReferenceReading& at = *one.at_limit;
  return {at.is_void() ? 2 : at.pressure.comparable() ? 0 : 1, at.pressure.u};
}

bool has_condition(const EntryOf<PressureReading>& reading) {
  return reading.body->speed && reading.body->oil_temperature &&
         reading.body->speed->value.si() > 0;
}

}  // namespace

std::vector<BroughtReading> brought_readings(const CheckInput& input) {
  std::vector<BroughtReading> all;
  for (const PortLimits& port : ports_of(input)) {
    for (const PressureLimit* limit : port.limits) {
      if (is_met(input, port, *limit)) continue;
      std::optional<BroughtReading> best;
      for (const auto& reading : port.readings) {
        if (!has_condition(reading) || nearest_limit(port, reading.body->speed->value) != limit ||
            meets_any(input, port, reading))
          continue;
        auto one = brought(input, port, *limit, reading);
        if (one && (!best || rank(*one) <= rank(*best))) best = std::move(one);
      }
      if (best) all.push_back(std::move(*best));
    }
  }
  return all;
}

std::vector<PressureChart> pressure_charts(const CheckInput& input) {
  std::vector<PressureChart> charts;
  for (const PortLimits& port : ports_of(input)) {
    const auto& grade = input.drive->drive.oil->grade;
    for (const PressureLimit* limit : port.limits) {
      PressureChart chart{port.port->path, middle_of(*limit->speed), grade.value_or(""), {}, {}};
      for (const auto& reading : port.readings) {
        if (!has_condition(reading) || nearest_limit(port, reading.body->speed->value) != limit)
          continue;
        const auto pooled = pooled_pressure(input, {reading});
        if (!pooled) continue;
        std::vector<std::string> unused;
        const FindingValue shown =
            shown_value(pooled->value.estimate, default_unit(Kind::pressure));
        chart.points.push_back({reading.body->oil_temperature->value,
                                Pressure::from_si(shown.value), Pressure::from_si(shown.U),
                                reading.entry->id,
                                holds_at(*limit->speed, reading.body->speed->value) &&
                                    oil_in_it(input, reading, unused).met != Met::no});
      }
      if (chart.points.empty()) continue;
      chart.limit =
          limit_over_temperature(Pressure::from_si(*limit->limit.value.lower_si), chart.speed,
                                 chart.grade, stated(*limit), facts_of(*input.drive->drive.oil));
      charts.push_back(std::move(chart));
    }
  }
  return charts;
}

}  // namespace tautmark
