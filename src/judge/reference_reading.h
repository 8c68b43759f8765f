// SPDX-License-Identifier: Apache-2.0
// A gauge reading brought to the condition of a limit with the typical oils of both grades, and the
// limit moved to other oil temperatures, to be drawn beside what was measured. Numbers only; what
// is compared with what is port_pressures.h. Formula, validity and source: oil/reference_pressure.h
// (oil.md 4). Of a limit with two ends only the lower one is looked at.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "oil/reference_pressure.h"

namespace tautmark {

// What decides whether pressures can be compared at all. Unknown is the default, never "none".
struct CircuitFacts {
  std::optional<Pressure> relief_opens{};
  oil::PumpControl pump = oil::PumpControl::unknown;
  oil::JetsFitted jets = oil::JetsFitted::unknown;
  std::optional<Pressure> jets_open{};
  bool aerated = false;  // foam, or the level is low
  bool diluted = false;  // by fuel
};

struct PressureAsRead {
  Pressure pressure{}, u{};  // gauge, and its standard uncertainty
  RotationalSpeed speed{};
  Temperature oil{};
  TemperatureDifference u_oil = kelvin(3);  // standard
  std::string grade{};                      // of the oil in it
};

struct PressureWanted {
  Pressure least{};
  RotationalSpeed speed{};
  Temperature oil{};
  std::string grade{};  // the specified one
};

struct ReferenceReading {
  oil::ReferencePressure pressure{};
  oil::AgainstPressureLimit answer = oil::AgainstPressureLimit::cannot_tell;
  std::vector<std::string> warnings{};  // of either oil

  // Compared with nothing: its number is not shown either.
  [[nodiscard]] bool is_void() const;
};

// Refuses a grade that is not in the library, and what oil::oil_at or oil::at_reference refuse.
Result<ReferenceReading> reading_at_reference(const PressureAsRead& read,
                                              const PressureWanted& wanted,
                                              const CircuitFacts& facts);

// The temperatures that a limit states; at least one end.
struct OilTemperatures {
  std::optional<Temperature> lower{}, upper{};
};
// The stated temperature that is nearest: `at` itself where the limit holds there.
Temperature nearest_stated(const OilTemperatures& stated, Temperature at);

struct LimitAt {
  Temperature oil{};
  Pressure pressure{};
  bool is_indicative = false;  // further than k may be taken as constant
};

// From 40 to 130 °C: the pressure of an engine that just meets the limit, with the specified oil,
// at the limit's speed. Where the limit holds it is the limit as stated; elsewhere moved from the
// nearest stated temperature. Void parts are left out.
std::vector<LimitAt> limit_over_temperature(Pressure least, RotationalSpeed speed,
                                            const std::string& grade, const OilTemperatures& stated,
                                            const CircuitFacts& facts);

struct ChartPoint {
  Temperature oil{};
  Pressure pressure{}, U{};   // as read; 95 %
  std::string label{};        // the entry: "e12"
  bool is_beside_it = false;  // at the limit's speed, and not with another oil
};

// Pressure against oil temperature at one port.
struct PressureChart {
  std::string port{};
  RotationalSpeed speed{};
  std::string grade{};
  std::vector<LimitAt> limit{};
  std::vector<ChartPoint> points{};
};

}  // namespace tautmark
