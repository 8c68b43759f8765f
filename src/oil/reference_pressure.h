// SPDX-License-Identifier: Apache-2.0
// An oil pressure read at another speed, temperature or oil, brought to the condition that a limit
// was given for.
//
//   p_ref = p (n_ref/n)^(1+k) (μ_ref/μ)^(1-k) (ρ_ref/ρ)^k
//
//   k  0: all flow laminar, 1: all through holes without pump slip. Nothing known: 0.1 ± 0.05 (own
//      estimate; a worked network gives 0.025, more jets give more)
//   μ  low-shear, of the oil that is in it, at the temperature read; of the specified one at the
//      reference temperature (viscosity.h, density.h)
//
// From dimensional analysis of laminar clearances and orifices fed by a displacement pump:
// p = (μ n) φ(ρ n/μ). The standard uncertainty is logarithmic, its parts independent; the part of k
// leaves the density out (under 1 % of u). It corrects the condition, not the place: a gallery that
// reads right at the reference proves nothing about one journal behind a restrictor. The gauge's
// zero, and whether it sits before or behind the filter, can exceed all of it. Read after the
// temperature stood for 5 min (common practice). Source: own derivation (oil.md 4).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::oil {

// Shares of the pump's flow at one node; they add up to 1.
struct FlowShares {
  double slip = 0;      // back through the pump
  double laminar = 0;   // through clearances
  double orifices = 0;  // through holes
};
// e_x = d ln p/d ln x. speed + viscosity = 2 and density = 1 - viscosity, exactly.
struct Elasticities {
  double speed = 0, viscosity = 0, density = 0;
  double k = 0;  // speed - 1
};
// Refuses shares that are negative or do not add up to 1.
Result<Elasticities> elasticities(const FlowShares& shares);

struct PressureCondition {
  RotationalSpeed speed{};
  DynamicViscosity viscosity{};
  Density density{};
};

enum class PumpControl { fixed, controlled, unknown };  // controlled: variable or by electronics
enum class JetsFitted { none, fitted, unknown };        // piston jets behind check valves

struct ReferencePressureInputs {
  Pressure reading{};  // gauge
  PressureCondition at{}, reference{};
  double slope = 0;  // d ln μ/dT of the oil in it at the temperature read, 1/K; the sign is free
  double k = 0.1, u_k = 0.05;
  // Standard uncertainties: a usual gauge, a sump probe (8 to 10 K from coolant temperature), an
  // oil without analysis (0.03 with one).
  Pressure u_reading = kPa(5);
  RotationalSpeed u_speed = per_min(10);
  TemperatureDifference u_temperature = kelvin(3);
  double u_oil = 0.10;
  std::optional<Pressure> relief_opens{};
  PumpControl pump = PumpControl::unknown;
  JetsFitted jets = JetsFitted::unknown;
  std::optional<Pressure> jets_open{};  // where fitted
  bool aerated = false;                 // foam, or the level is low
  bool diluted = false;                 // by fuel, nobody knows how much
};

enum class NotComparable {
  relief_open,      // either pressure at or above 0.9 of the setting
  relief_unknown,   // and a pressure where a relief valve may open
  jets_between,     // they open between the two conditions, or may
  controlled_pump,  // the reading shows the controller's target
  pump_unknown,
  aerated,
  diluted,
  speed_ratio,      // over 1.5: indicative
  viscosity_ratio,  // over 2: indicative
  low_pressure,     // below 0.3 bar: the range is absolute, indicative
};
std::string_view not_comparable_text(NotComparable why);
// The number may be shown, but compared with nothing; otherwise it is indicative only.
bool is_void(NotComparable why);

struct PressurePart {
  std::string_view what;
  double u = 0;  // of ln p
};

struct ReferencePressure {
  Pressure at_reference{};
  double u = 0;            // standard, of ln p
  Pressure low{}, high{};  // 95 %
  std::vector<PressurePart> budget{};
  std::vector<NotComparable> reasons{};  // in the order above; empty: comparable
  [[nodiscard]] bool comparable() const { return reasons.empty(); }
};

// Refuses a pressure, speed, viscosity or density that is not above 0 and finite, k outside 0 to 1,
// negative uncertainties.
Result<ReferencePressure> at_reference(const ReferencePressureInputs& in);

enum class AgainstPressureLimit { low, cannot_tell, plausible };
struct PressureAnswer {
  AgainstPressureLimit answer = AgainstPressureLimit::cannot_tell;
  std::string said;
};
// `least`: the limit at the reference condition. Not comparable is always "cannot tell".
PressureAnswer against_limit(const ReferencePressure& pressure, Pressure least);

}  // namespace tautmark::oil
