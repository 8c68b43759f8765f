// SPDX-License-Identifier: Apache-2.0
// A pressure read cold, at another speed or with another oil, brought to the condition of the
// limit. A forecast, always open: it says whether reading it at the limit's own condition is likely
// to be good news, never that it is. It corrects the condition, not the place.
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "judge/checks/checks.h"
#include "judge/port_pressures.h"
#include "judge/verdict.h"

namespace tautmark::checks {
namespace {

using oil::NotComparable;

std::string condition(RotationalSpeed speed, Temperature oil, std::string_view grade) {
  return fmt::format("{:.0f} 1/min, oil at {:.0f} degC, with {}", in_per_min(speed), in_degC(oil),
                     grade);
}

// All in the unit of the limit, to the step that the range is known to.
std::string in_unit(Pressure pressure, const BroughtReading& one) {
  const Unit& unit = *one.limit->limit.value.unit;
  const Pressure half =
      one.at_limit ? (one.at_limit->pressure.high - one.at_limit->pressure.low) / 2 : one.read.u;
  return quantity_text(pressure.si(), unit, decimals_for(half.si(), unit));
}

std::string reasons_text(const std::vector<NotComparable>& reasons) {
  std::vector<std::string> words;
  for (const NotComparable why : reasons) words.emplace_back(oil::not_comparable_text(why));
  return joined(words, "; ");
}

std::string_view against_words(const BroughtReading& one) {
  const bool at_head = one.port->bank.has_value();
  switch (one.at_limit->answer) {
    case oil::AgainstPressureLimit::low:
      return at_head ? "lies above that range: this head would be low there too"
                     : "lies above that range: would be low there too, by pump, crank clearances, "
                       "oil or "
                       "pick-up; not specific to the cam drive";
    case oil::AgainstPressureLimit::cannot_tell:
      return "lies inside that range: cannot tell";
    case oil::AgainstPressureLimit::plausible:
      break;
  }
  return at_head ? "lies below that range: enough there, by this estimate"
                 : "lies below that range: crank and pump side plausible";
}

std::string read_words(const BroughtReading& one) {
  return fmt::format(
      "{} at {}",
      measured_text(one.read.pressure.si(), 2 * one.read.u.si(), *one.limit->limit.value.unit),
      condition(one.read.speed, one.read.oil, one.read.grade));
}

std::string why_of(const BroughtReading& one, const LimitInUse& limit) {
  const std::string there = condition(one.wanted.speed, one.wanted.oil, one.wanted.grade);
  if (!one.at_limit || one.at_limit->is_void())
    return fmt::format(
        "{}: not comparable with {} at {}: {}", read_words(one), limit.shown, there,
        one.at_limit ? reasons_text(one.at_limit->pressure.reasons) : one.at_limit.error().why);
  const oil::ReferencePressure& pressure = one.at_limit->pressure;
  const std::string about = fmt::format("{}: about {} at {}, {} to {}", read_words(one),
                                        in_unit(pressure.at_reference, one), there,
                                        in_unit(pressure.low, one), in_unit(pressure.high, one));
  if (!pressure.comparable())
    return fmt::format("{}; not compared with {}: {}", about, limit.shown,
                       reasons_text(pressure.reasons));
  return fmt::format("{}; the limit, {}, {}", about, limit.shown, against_words(one));
}

bool is_reason(const BroughtReading& one, NotComparable why) {
  if (!one.at_limit) return false;
  const auto& reasons = one.at_limit->pressure.reasons;
  return std::find(reasons.begin(), reasons.end(), why) != reasons.end();
}

std::vector<std::string> next_of(const BroughtReading& one) {
  std::vector<std::string> next = {fmt::format(
      "read {} at {}, oil {}, with {}, once its temperature stood for 5 min", one.port->path,
      one.limit->speed->text, one.limit->oil_temperature->text, one.wanted.grade)};
  if (one.oil.is_assumed) next.emplace_back("enter which oil was in it");
  if (is_reason(one, NotComparable::pump_unknown))
    next.emplace_back("enter in the drive whether the pump is controlled");
  if (is_reason(one, NotComparable::relief_unknown))
    next.emplace_back("enter in the drive at which pressure the relief valve opens");
  if (is_reason(one, NotComparable::jets_between) && one.facts.jets == oil::JetsFitted::unknown)
    next.emplace_back("enter in the drive whether jets cool the pistons");
  if (is_reason(one, NotComparable::jets_between) && one.facts.jets != oil::JetsFitted::none &&
      !one.facts.jets_open)
    next.emplace_back("enter in the drive at which pressure the piston jets open");
  return next;
}

void add_number(Finding& finding, const BroughtReading& one, const LimitInUse& limit) {
  const oil::ReferencePressure& pressure = one.at_limit->pressure;
  const double likely = pressure.at_reference.si();
  const double half = std::max(pressure.high.si() - likely, likely - pressure.low.si());
  finding.value = shown_value({likely, half / 2}, *limit.unit);
  finding.limit = shown_limit(limit);
  std::vector<std::string> parts;
  for (const oil::PressurePart& part : pressure.budget)
    parts.push_back(fmt::format("{} {:.1f} %", part.what, 100 * part.u));
  finding.budget.push_back(
      fmt::format("{}: together {:.1f} % (standard)", joined(parts, ", "), 100 * pressure.u));
  finding.budget.emplace_back("typical viscosities: real oils of one grade scatter by 10 %");
  finding.budget.insert(finding.budget.end(), one.at_limit->warnings.begin(),
                        one.at_limit->warnings.end());
}

Finding told(const CheckInput& input, const BroughtReading& one) {
  LimitInUse limit = limit_from(one.limit->limit, one.limit->source, input.drive);
  limit.checked_by = one.limit->cross_checked_by.value_or("");
  Finding finding = open_finding("pressure-at-reference", port_and_limit(*one.port, *one.limit),
                                 OpenBecause::forecast, why_of(one, limit), next_of(one));
  finding.forecast = true;
  finding.evidence = {one.from.entry->id};
  oil_in_it(input, one.from, finding.evidence);
  finding.budget = one.gauge;
  if (one.oil.is_assumed)
    finding.budget.push_back(
        fmt::format("no entry says which oil was in it: taken as {}", one.oil.grade));
  if (one.at_limit && !one.at_limit->is_void()) add_number(finding, one, limit);
  finding.follows = {
      one.port->bank
          ? "corrects the condition, not the place: a pressure at the head that is good there "
            "proves nothing about one journal"
          : "corrects the condition, not the place: a gallery pressure that is good there proves "
            "nothing about one journal"};
  finding.cautions = {
      "hot oil, running engine: keep clear of fan and belts; a hose that lets go sprays"};
  finding.sources = {
      "p (n_ref/n)^(1+k) (μ_ref/μ)^(1-k) (ρ_ref/ρ)^k with k = 0.10 ± 0.05 (own derivation, own "
      "estimate)"};
  return finding;
}

}  // namespace

std::vector<Finding> pressure_at_reference(const CheckInput& input) {
  std::vector<Finding> findings;
  for (const BroughtReading& one : brought_readings(input)) findings.push_back(told(input, one));
  return findings;
}

}  // namespace tautmark::checks
