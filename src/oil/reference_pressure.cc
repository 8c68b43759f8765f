// SPDX-License-Identifier: Apache-2.0
#include "oil/reference_pressure.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tautmark::oil {
namespace {

constexpr double kMostSpeedRatio = 1.5, kMostViscosityRatio = 2;
constexpr double kReliefShare = 0.9;
constexpr Pressure kLow = kPa(30);
// Common practice: relief valves are set to 3 to 6 bar, piston jets open at 1 to 2 bar.
constexpr Pressure kLeastRelief = kPa(300);
constexpr Pressure kJetsFrom = kPa(100), kJetsTo = kPa(200);
constexpr double kShareSlack = 1e-9;

bool is_positive(double value) { return value > 0 && std::isfinite(value); }
bool is_not_negative(double value) { return value >= 0 && std::isfinite(value); }

Result<void> check_condition(const PressureCondition& condition) {
  if (!is_positive(condition.speed.si()))
    return refuse("an engine that stands has no oil pressure");
  if (!is_positive(condition.viscosity.si()) || !is_positive(condition.density.si()))
    return refuse("the viscosity and the density of an oil are above 0");
  return {};
}

Result<void> check_inputs(const ReferencePressureInputs& in) {
  if (!is_positive(in.reading.si()))
    return refuse("a pressure reading of nothing cannot be brought to another condition");
  for (const PressureCondition& condition : {in.at, in.reference})
    if (const auto fine = check_condition(condition); !fine) return fine;
  if (!(in.k >= 0 && in.k <= 1)) return refuse("k lies between 0 and 1");
  for (const double u :
       {in.u_reading.si(), in.u_speed.si(), in.u_temperature.si(), in.u_oil, in.u_k})
    if (!is_not_negative(u)) return refuse("an uncertainty cannot be negative");
  if (!std::isfinite(in.slope)) return refuse("the slope of the viscosity is not a number");
  for (const auto& opens : {in.relief_opens, in.jets_open})
    if (opens && !is_positive(opens->si())) return refuse("a valve opens above 0");
  return {};
}

double ratio_of(double a, double b) { return std::max(a / b, b / a); }

std::vector<PressurePart> budget_of(const ReferencePressureInputs& in) {
  const double speed = in.reference.speed / in.at.speed;
  const double viscosity = in.reference.viscosity / in.at.viscosity;
  return {{"gauge", in.u_reading / in.reading},
          {"speed", (1 + in.k) * (in.u_speed / in.at.speed)},
          {"oil temperature", (1 - in.k) * std::abs(in.slope) * in.u_temperature.si()},
          {"oil", (1 - in.k) * in.u_oil},
          {"k", in.u_k * std::abs(std::log(speed / viscosity))}};
}

void set_range(bool is_absolute, ReferencePressure& out) {
  if (is_absolute) {
    // Symmetric: a relative range of a reading near 0 would never reach down to 0.
    const Pressure expanded = out.at_reference * (2 * out.u);
    out.low = std::max(Pressure{}, out.at_reference - expanded);
    out.high = out.at_reference + expanded;
    return;
  }
  out.low = out.at_reference * std::exp(-2 * out.u);
  out.high = out.at_reference * std::exp(2 * out.u);
}

// From the lowest to the highest pressure that either condition may have had.
struct PressureSpan {
  Pressure low, high;
};
PressureSpan span_of(const ReferencePressureInputs& in, const ReferencePressure& out) {
  return {std::min(out.low, in.reading - 2 * in.u_reading),
          std::max(out.high, in.reading + 2 * in.u_reading)};
}

bool jets_between(const ReferencePressureInputs& in, const PressureSpan& span) {
  if (in.jets == JetsFitted::none) return false;
  if (in.jets_open) return span.low < *in.jets_open && span.high > *in.jets_open;
  return span.low < kJetsTo && span.high > kJetsFrom;
}

std::vector<NotComparable> reasons_of(const ReferencePressureInputs& in,
                                      const ReferencePressure& out, bool is_low) {
  std::vector<NotComparable> reasons;
  const auto add_if = [&](bool is_so, NotComparable why) {
    if (is_so) reasons.push_back(why);
  };
  const Pressure highest = std::max(in.reading, out.at_reference);
  add_if(in.relief_opens && highest >= *in.relief_opens * kReliefShare, NotComparable::relief_open);
  add_if(!in.relief_opens && highest >= kLeastRelief * kReliefShare, NotComparable::relief_unknown);
  add_if(jets_between(in, span_of(in, out)), NotComparable::jets_between);
  add_if(in.pump == PumpControl::controlled, NotComparable::controlled_pump);
  add_if(in.pump == PumpControl::unknown, NotComparable::pump_unknown);
  add_if(in.aerated, NotComparable::aerated);
  add_if(in.diluted, NotComparable::diluted);
  add_if(ratio_of(in.at.speed.si(), in.reference.speed.si()) > kMostSpeedRatio,
         NotComparable::speed_ratio);
  add_if(ratio_of(in.at.viscosity.si(), in.reference.viscosity.si()) > kMostViscosityRatio,
         NotComparable::viscosity_ratio);
  add_if(is_low, NotComparable::low_pressure);
  return reasons;
}

}  // namespace

Result<Elasticities> elasticities(const FlowShares& shares) {
  for (const double share : {shares.slip, shares.laminar, shares.orifices})
    if (!is_not_negative(share)) return refuse("a share of the flow is not negative");
  if (!(std::abs(shares.slip + shares.laminar + shares.orifices - 1) < kShareSlack))
    return refuse("the shares of the flow add up to 1");
  const double laminar = shares.slip + shares.laminar;
  const double all = laminar + shares.orifices / 2;
  Elasticities out;
  out.speed = 1 / all;
  out.viscosity = laminar / all;
  out.density = 1 - out.viscosity;
  out.k = out.speed - 1;
  return out;
}

std::string_view not_comparable_text(NotComparable why) {
  switch (why) {
    case NotComparable::relief_open:
      return "the relief valve is open, or near it: the pressure is the valve's setting";
    case NotComparable::relief_unknown:
      return "the setting of the relief valve is not known, and it may be open at this pressure";
    case NotComparable::jets_between:
      return "the piston jets open between the two pressures, or may";
    case NotComparable::controlled_pump:
      return "the pump is controlled: the reading shows what the controller wants";
    case NotComparable::pump_unknown:
      return "not known whether the pump is controlled";
    case NotComparable::aerated:
      return "air in the oil, or the level is low";
    case NotComparable::diluted:
      return "the oil is not that of its grade: fuel in it, or found out of it by a laboratory";
    case NotComparable::speed_ratio:
      return "the speed differs by more than 1.5 times: indicative only";
    case NotComparable::viscosity_ratio:
      return "the viscosity differs by more than 2 times: indicative only";
    case NotComparable::low_pressure:
      return "below 0.3 bar the gauge's error decides: indicative only";
  }
  return {};
}

bool is_void(NotComparable why) { return why < NotComparable::speed_ratio; }

Result<ReferencePressure> at_reference(const ReferencePressureInputs& in) {
  if (const auto fine = check_inputs(in); !fine) return tl::make_unexpected(fine.error());
  ReferencePressure out;
  out.at_reference = in.reading * (std::pow(in.reference.speed / in.at.speed, 1 + in.k) *
                                   std::pow(in.reference.viscosity / in.at.viscosity, 1 - in.k) *
                                   std::pow(in.reference.density / in.at.density, in.k));
  out.budget = budget_of(in);
  double squares = 0;
  for (const PressurePart& part : out.budget) squares += part.u * part.u;
  out.u = std::sqrt(squares);
  const bool is_low = std::min(in.reading, out.at_reference) < kLow;
  set_range(is_low, out);
  if (!std::isfinite(out.high.si())) return refuse("the pressure is beyond all numbers");
  out.reasons = reasons_of(in, out, is_low);
  return out;
}

PressureAnswer against_limit(const ReferencePressure& pressure, Pressure least) {
  const std::string shown = fmt::format(
      "{:.0f} kPa at the reference, {:.0f} to {:.0f}; limit {:.0f} kPa",
      in_kPa(pressure.at_reference), in_kPa(pressure.low), in_kPa(pressure.high), in_kPa(least));
  if (!pressure.comparable())
    return {
        AgainstPressureLimit::cannot_tell,
        fmt::format("{}: cannot tell: {}", shown, not_comparable_text(pressure.reasons.front()))};
  if (pressure.high < least)
    return {AgainstPressureLimit::low,
            shown + ": low: pump, crank clearances, oil or pick-up; not specific to the cam drive"};
  if (pressure.low < least)
    return {AgainstPressureLimit::cannot_tell, shown + ": cannot tell from the gallery gauge"};
  return {AgainstPressureLimit::plausible,
          shown +
              ": crank and pump side plausible; says nothing about one cam journal: measure at "
              "the head, or log phaser steps hot"};
}

}  // namespace tautmark::oil
