// SPDX-License-Identifier: Apache-2.0
#include "judge/cam_measured.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/student.h"
#include "base/text.h"
#include "clearance/events.h"
#include "drive/places.h"
#include "judge/lobe_curve.h"
#include "judge/slider_of.h"
#include "measure/instrument.h"
#include "measure/uncertainty.h"

namespace tautmark {
namespace {

using clearance::Centerline;
using clearance::LiftCurve;
using clearance::LiftSample;

constexpr CrankAngle kGasExchange = crank_deg(360);  // where the angles of an entry begin
constexpr Length kStopComesBack = mm(0.1);           // k = 2, program default

// Standard, of one reading.
CrankAngle wheel_u() {
  const auto wheel = instrument_type("degree wheel", Kind::crank_angle);
  return CrankAngle::from_si(wheel ? wheel->expanded_U / 2 : kRadiansPerDegree / 2);
}

// The middle between opening and closing at the lift of each pair, and how much longer the lobe is
// open there than the definition's.
struct Nominal {
  CrankAngle center{};  // after gas exchange
  CrankAngle longer{};
};
Result<Nominal> nominal_of(const LiftCurve& curve, const std::vector<EqualLift>& pairs) {
  Nominal out;
  const double n = static_cast<double>(pairs.size());
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const auto span = clearance::open_span(curve, pairs[i].lift.value);
    if (!span)
      return refuse(fmt::format("pairs[{}].lift: {} and the definition: {}", i, pairs[i].lift.text,
                                span.error().why));
    const CrankAngle open = pairs[i].closes.value - pairs[i].opens.value;
    out.center = out.center + (clearance::center(*span) - kGasExchange) / n;
    out.longer = out.longer + (open - clearance::duration(*span)) / n;
  }
  return out;
}

Result<Centerline> line_of(const std::vector<EqualLift>& pairs) {
  clearance::CenterlineInputs in{.reading_u = wheel_u()};
  for (const EqualLift& pair : pairs)
    in.pairs.push_back({pair.lift.value, pair.opens.value, pair.closes.value});
  return clearance::centerline(in);
}

Result<void> add_pairs(const IndicatorReading& reading, const LiftCurve& curve, CamMeasured& out) {
  const auto nominal = nominal_of(curve, reading.pairs);
  if (!nominal) return tl::make_unexpected(nominal.error());
  const auto line = line_of(reading.pairs);
  if (!line) return refuse("pairs: " + line.error().why);
  out.center = *line;
  out.nominal_center = nominal->center;
  out.longer = nominal->longer;
  out.early = clearance::early_by(nominal->center, line->center);
  out.u = line->u;
  out.nu = line->nu;
  for (const std::string& warning : line->warnings) out.warnings.push_back(warning);
  return {};
}

Result<void> add_table(const IndicatorReading& reading, const LiftCurve& curve, CamMeasured& out) {
  std::vector<LiftSample> samples;
  for (const LiftSeen& seen : reading.table)
    samples.push_back({seen.at.value + kGasExchange, seen.lift.value});
  auto fit = clearance::phase_fit(curve, samples);
  if (!fit) return refuse("table: " + fit.error().why);
  for (std::size_t i = 0; i < samples.size(); ++i)
    out.fitted.push_back(
        {reading.table[i].at.value, samples[i].lift,
         fit->scale * clearance::lift(curve, samples[i].at + fit->early) + fit->gauge_zero});
  out.early = fit->early;
  out.u = fit->u;
  out.nu = fit->nu;
  for (const std::string& warning : fit->warnings) out.warnings.push_back(warning);
  out.fit = std::move(*fit);
  return {};
}

// The zero of the wheel goes in one to one (Welch and Satterthwaite for the degrees of freedom).
void add_top(const IndicatorReading& reading, const clearance::TopFound* top, CamMeasured& out) {
  CrankAngle zero{};
  if (reading.top) zero = reading.top->value / 2;
  if (top != nullptr) zero = std::max(zero, top->u);
  if (!reading.top && top == nullptr)
    out.warnings.emplace_back(
        "top: how well the zero of the wheel is known was not entered; it is not in the "
        "uncertainty, and goes in one to one");
  const double own = out.u.si(), all = std::hypot(own, zero.si());
  if (own > 0 && std::isfinite(out.nu)) out.nu *= std::pow(all / own, 4);
  if (own == 0) out.nu = kManyReadings;
  out.u = CrankAngle::from_si(all);
  out.U = coverage_factor_95(out.nu) * out.u;
}

// Without a lift to compare with, the center line of pairs is known all the same: the end of a
// sentence, or nothing.
std::string center_alone(const IndicatorReading& reading, const clearance::TopFound* top) {
  const auto line = line_of(reading.pairs);
  if (reading.pairs.empty() || !line) return "";
  CamMeasured out{.u = line->u, .nu = line->nu};
  add_top(reading, top, out);
  const double center = std::remainder(in_crank_deg(line->center), 720);
  return fmt::format(
      "; measured: center line {:.1f} ± {:.1f} deg crank {} top dead center of gas "
      "exchange, to hold against the maker's",
      std::abs(center), in_crank_deg(out.U), center < 0 ? "before" : "after");
}

}  // namespace

Result<clearance::TopFound> top_found(const StopReading& stop, const LoadedDrive* drive) {
  clearance::StopInputs in;
  if (drive != nullptr)
    if (const auto slider = slider_of(drive->drive)) in.slider = *slider;
  const auto &before = stop.before.value.values, &after = stop.after.value.values;
  if (before.size() != after.size() || before.empty())
    return refuse("before and after: as many readings on one side as on the other are needed");
  for (std::size_t i = 0; i < before.size(); ++i)
    in.pairs.push_back({CrankAngle::from_si(before[i].si), CrankAngle::from_si(after[i].si)});
  in.reading_u = stop.reading ? stop.reading->value / 2 : wheel_u();
  in.stop_u = (stop.stop ? stop.stop->value : kStopComesBack) / 2;
  auto found = clearance::top_from_stop(in);
  if (!found) return refuse("before and after: " + found.error().why);
  return found;
}

LobeOf lobe_of(const IndicatorReading& reading, const Drive& drive) {
  for (const Bank& bank : drive.banks)
    for (const Camshaft& camshaft : bank.camshafts) {
      if (!same_place(fmt::format("bank {} / {}", bank.number, camshaft.name), reading.place))
        continue;
      LobeOf out{&bank, &camshaft, nullptr};
      for (const Valves& valves : camshaft.valves)
        if (reading.valves ? folded(valves.name) == folded(*reading.valves)
                           : camshaft.valves.size() == 1)
          out.valves = &valves;
      return out;
    }
  return {};
}

Result<CamMeasured> cam_measured(const IndicatorReading& reading, const LoadedDrive& drive,
                                 const clearance::TopFound* top) {
  const LobeOf of = lobe_of(reading, drive.drive);
  if (of.camshaft == nullptr)
    return refuse(fmt::format("place: the drive has no \"{}\"", reading.place));
  if (of.valves == nullptr)
    return refuse(fmt::format("valves: the definition does not say which valves of {} these are{}",
                              reading.place, center_alone(reading, top)));
  std::string why;
  const auto curve = of.valves->lobe ? lobe_curve(*of.valves->lobe, why) : nullptr;
  if (curve == nullptr)
    return refuse(fmt::format("the definition has no lift of the {} valves of {}{}{}",
                              of.valves->name, reading.place, why.empty() ? "" : " (" + why + ")",
                              center_alone(reading, top)));
  CamMeasured out{.camshaft = fmt::format("bank {} / {}", of.bank->number, of.camshaft->name),
                  .valves = of.valves->name};
  if (!reading.pairs.empty())
    if (const auto fine = add_pairs(reading, *curve, out); !fine)
      return tl::make_unexpected(fine.error());
  if (!reading.table.empty())
    if (const auto fine = add_table(reading, *curve, out); !fine)
      return tl::make_unexpected(fine.error());
  if (!out.center && !out.fit) return refuse("pairs or table: no lift was read");
  add_top(reading, top, out);
  if (of.camshaft->sprocket_teeth) {
    const auto explained = clearance::explain_phase(
        {.early = out.early, .U = out.U, .cam_teeth = *of.camshaft->sprocket_teeth});
    if (explained) out.explained = *explained;
  }
  return out;
}

}  // namespace tautmark
