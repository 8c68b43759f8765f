// SPDX-License-Identifier: Apache-2.0
#include "judge/reference_reading.h"

#include <fmt/format.h>

#include <algorithm>

#include "oil/library.h"

namespace tautmark {
namespace {

constexpr int kChartFrom = 40, kChartTo = 130;  // °C

Result<oil::OilProperties> typical_oil(const std::string& grade) {
  const oil::OilOfLibrary* found = oil::oil_of_grade(oil::known_oils(), grade);
  if (found == nullptr)
    return refuse(fmt::format("the program knows no typical viscosity of {}", grade));
  return oil::properties_of(*found);
}

oil::ReferencePressureInputs inputs_of(const CircuitFacts& facts) {
  oil::ReferencePressureInputs in;
  in.relief_opens = facts.relief_opens;
  in.pump = facts.pump;
  in.jets = facts.jets;
  in.jets_open = facts.jets_open;
  in.aerated = facts.aerated;
  in.diluted = facts.diluted;
  return in;
}

bool any_void(const oil::ReferencePressure& pressure) {
  return std::any_of(pressure.reasons.begin(), pressure.reasons.end(), &oil::is_void);
}

// The limit is no measurement: it has no uncertainty.
std::optional<LimitAt> moved(Pressure least, const oil::PressureCondition& from,
                             const oil::OilProperties& oil, Temperature to,
                             const CircuitFacts& facts) {
  const auto there = oil::oil_at(oil, to);
  if (!there) return std::nullopt;
  oil::ReferencePressureInputs in = inputs_of(facts);
  in.reading = least;
  in.at = from;
  in.reference = {from.speed, there->dynamic, there->density};
  in.u_reading = {};
  in.u_speed = {};
  in.u_temperature = {};
  in.u_oil = 0;
  in.u_k = 0;
  const auto out = oil::at_reference(in);
  if (!out || any_void(*out)) return std::nullopt;
  return LimitAt{to, out->at_reference, !out->comparable()};
}

}  // namespace

bool ReferenceReading::is_void() const { return any_void(pressure); }

Result<ReferenceReading> reading_at_reference(const PressureAsRead& read,
                                              const PressureWanted& wanted,
                                              const CircuitFacts& facts) {
  const auto in_it = typical_oil(read.grade);
  if (!in_it) return tl::make_unexpected(in_it.error());
  const auto specified = typical_oil(wanted.grade);
  if (!specified) return tl::make_unexpected(specified.error());
  const auto own = oil::oil_at(*in_it, read.oil);
  if (!own) return tl::make_unexpected(own.error());
  const auto other = oil::oil_at(*specified, wanted.oil);
  if (!other) return tl::make_unexpected(other.error());
  oil::ReferencePressureInputs in = inputs_of(facts);
  in.reading = read.pressure;
  in.at = {read.speed, own->dynamic, own->density};
  in.reference = {wanted.speed, other->dynamic, other->density};
  in.slope = own->slope;
  in.u_reading = read.u;
  in.u_temperature = read.u_oil;
  auto pressure = oil::at_reference(in);
  if (!pressure) return tl::make_unexpected(pressure.error());
  ReferenceReading out;
  out.answer = oil::against_limit(*pressure, wanted.least).answer;
  out.pressure = std::move(*pressure);
  out.warnings = own->warnings;
  for (const std::string& warning : other->warnings)
    if (std::find(out.warnings.begin(), out.warnings.end(), warning) == out.warnings.end())
      out.warnings.push_back(warning);
  return out;
}

Temperature nearest_stated(const OilTemperatures& stated, Temperature at) {
  if (stated.lower && at < *stated.lower) return *stated.lower;
  if (stated.upper && at > *stated.upper) return *stated.upper;
  return at;
}

std::vector<LimitAt> limit_over_temperature(Pressure least, RotationalSpeed speed,
                                            const std::string& grade, const OilTemperatures& stated,
                                            const CircuitFacts& facts) {
  std::vector<LimitAt> curve;
  const auto oil = typical_oil(grade);
  for (int t = kChartFrom; t <= kChartTo; ++t) {
    const Temperature here = degC(t);
    const Temperature from = nearest_stated(stated, here);
    if (from == here) {
      curve.push_back({here, least, false});
      continue;
    }
    if (!oil) continue;
    const auto at = oil::oil_at(*oil, from);
    if (!at) continue;
    if (auto point = moved(least, {speed, at->dynamic, at->density}, *oil, here, facts))
      curve.push_back(*point);
  }
  return curve;
}

}  // namespace tautmark
