// SPDX-License-Identifier: Apache-2.0
#include "drive/lint_fits.h"

#include <fmt/format.h>

#include <cmath>

#include "base/text.h"
#include "drive/drive_fields.h"

namespace tautmark {
namespace {

std::string fit_path(std::size_t index, std::string_view key) {
  return fmt::format("fits[{}].{}", index, key);
}

// Half of the last digit that was typed, in SI: numbers that agree within it do not contradict.
double half_digit(const AnyInterval& range) {
  return 0.5 * std::pow(10.0, -range.decimals) * range.unit->factor;
}

void check_kind(LintReport& report, const Fit& fit, std::size_t index,
                const std::optional<WrittenAnyRange>& range, std::string_view key) {
  if (!range) return;
  const MeasurandInfo& info = measurand_info(fit.quantity);
  if (!accepts_kind(info, range->value.kind)) {
    report.error(fit_path(index, key),
                 fmt::format("{} is {}; {} is {}", range->text, kind_name(range->value.kind),
                             info.name, kind_name(info.kinds.front())));
    return;
  }
  for (const auto& end : {range->value.lower_si, range->value.upper_si}) {
    if (!end || range->value.kind != info.kinds.front()) continue;
    if (*end >= info.plausible_lower && *end <= info.plausible_upper) continue;
    report.error(fit_path(index, key),
                 fmt::format("{} cannot be a {} of any piston engine: is the unit right?",
                             range->text, info.name));
    return;
  }
}

void check_new_inside_service(LintReport& report, const Fit& fit, std::size_t index) {
  if (!fit.new_range || !fit.service || fit.new_range->value.kind != fit.service->value.kind)
    return;
  const AnyInterval& fresh = fit.new_range->value;
  const AnyInterval& used = fit.service->value;
  const double slack =
      1e-9 * std::max(std::abs(fresh.upper_si.value_or(0)), std::abs(fresh.lower_si.value_or(0)));
  const bool below = used.lower_si && fresh.lower_si && *fresh.lower_si < *used.lower_si - slack;
  const bool above = used.upper_si && fresh.upper_si && *fresh.upper_si > *used.upper_si + slack;
  if (below || above)
    report.error(fit_path(index, "new"),
                 fmt::format("a new part of {} would be outside the service limit {}",
                             fit.new_range->text, fit.service->text),
                 {}, fit_path(index, "service"), "the service limit is here");
}

// The widest and the tightest pairing of new parts; the stated range must be just that.
void check_new_clearance(LintReport& report, std::size_t index) {
  const Drive& drive = report.drive();
  const Fit& clearance = drive.fits[index];
  if (clearance.quantity != Measurand::journal_clearance || !clearance.new_range) return;
  for (std::size_t b = 0; b < drive.fits.size(); ++b) {
    const Fit& bore = drive.fits[b];
    if (bore.quantity != Measurand::bore_diameter || !bore.new_range ||
        folded(bore.at) != folded(clearance.at))
      continue;
    for (std::size_t j = 0; j < drive.fits.size(); ++j) {
      const Fit& journal = drive.fits[j];
      if (journal.quantity != Measurand::journal_diameter || !journal.new_range ||
          folded(journal.at) != folded(clearance.at))
        continue;
      const AnyInterval& B = bore.new_range->value;
      const AnyInterval& J = journal.new_range->value;
      const AnyInterval& C = clearance.new_range->value;
      if (!B.lower_si || !B.upper_si || !J.lower_si || !J.upper_si || !C.lower_si || !C.upper_si)
        continue;
      const double tightest = *B.lower_si - *J.upper_si;
      const double widest = *B.upper_si - *J.lower_si;
      // As typed, the sums must agree within half of the coarsest last digit.
      const double slack = 1.000001 * std::max({half_digit(C), half_digit(B), half_digit(J)});
      if (std::abs(*C.lower_si - tightest) <= slack && std::abs(*C.upper_si - widest) <= slack)
        continue;
      const Unit& unit = *C.unit;
      report.error(
          fit_path(index, "new"),
          fmt::format("new bore {} and new journal {} give a clearance of {}, not {}",
                      bore.new_range->text, journal.new_range->text,
                      interval_text(tightest, widest, unit, std::max(C.decimals, B.decimals)),
                      clearance.new_range->text),
          {}, fit_path(b, "new"), "the new bore is here");
    }
  }
}

// Chains of known pitch that a limit is for.
std::vector<const Chain*> chains_at(const Drive& drive, const std::string& at) {
  std::vector<const Chain*> chains;
  for (const EnginePlace& place : places_of(drive))
    if (place.type == PlaceType::chain && place.chain->pitch && place_matches(at, place))
      chains.push_back(place.chain);
  return chains;
}

// A chain that is a tenth longer than its links were cut is no chain any more: the number of links
// or the unit is wrong.
void check_chain_length(LintReport& report, std::size_t index) {
  constexpr double kMostDeviation = 0.1;
  const Fit& length = report.drive().fits[index];
  if (length.quantity != Measurand::chain_length || !length.links) return;
  for (const Chain* chain : chains_at(report.drive(), length.at)) {
    const double nominal = *length.links * chain->pitch->value.si();
    for (const auto& [range, key] :
         {std::pair{&length.new_range, "new"}, std::pair{&length.service, "service"}}) {
      if (!*range || (*range)->value.kind != Kind::length) continue;
      const AnyInterval& value = (*range)->value;
      for (const auto& end : {value.lower_si, value.upper_si}) {
        if (!end || std::abs(*end - nominal) <= kMostDeviation * nominal) continue;
        report.error(
            fit_path(index, key),
            fmt::format("{} links of {} are {} long, not {}", *length.links, chain->pitch->text,
                        quantity_text(nominal, *value.unit, 2), (*range)->text),
            {}, fit_path(index, "links"), "the number of links is here");
        return;
      }
    }
  }
}

// What belongs to one kind of limit only.
void check_extras(LintReport& report, const Fit& fit, std::size_t index) {
  const bool is_chain =
      fit.quantity == Measurand::chain_length || fit.quantity == Measurand::chain_elongation;
  const bool is_sink = fit.quantity == Measurand::sink_time;
  const auto refuse = [&](std::string_view key, std::string_view of) {
    report.error(fit_path(index, key), fmt::format("{} belongs to a {} only, not to a {}", key, of,
                                                   choice_name(fit.quantity)));
  };
  if (fit.links && !is_chain) refuse("links", "chain length");
  if (fit.drop && !is_sink) refuse("drop", "sink time");
  if (fit.force && !is_sink && !is_chain) refuse("force", "sink time or a chain length");
}

// A length over n links and an elongation say the same thing twice.
void check_elongation(LintReport& report, std::size_t index) {
  const Drive& drive = report.drive();
  const Fit& length = drive.fits[index];
  if (length.quantity != Measurand::chain_length || !length.service ||
      !length.service->value.upper_si)
    return;
  if (!length.links) {
    report.error(fmt::format("fits[{}]", index),
                 "a chain length limit needs the number of links it is over", "links: 40");
    return;
  }
  for (std::size_t e = 0; e < drive.fits.size(); ++e) {
    const Fit& elongation = drive.fits[e];
    if (elongation.quantity != Measurand::chain_elongation || !elongation.service ||
        !elongation.service->value.upper_si || folded(elongation.at) != folded(length.at))
      continue;
    for (const Chain* limited : chains_at(drive, length.at)) {
      const Chain& chain = *limited;
      const double nominal = *length.links * chain.pitch->value.si();
      const double expected = nominal * (1 + *elongation.service->value.upper_si);
      const double slack =
          half_digit(length.service->value) + nominal * half_digit(elongation.service->value);
      if (std::abs(*length.service->value.upper_si - expected) <= slack) continue;
      report.error(
          fit_path(index, "service"),
          fmt::format("{} over {} links of {} is not {}: that would be {}", length.service->text,
                      *length.links, chain.pitch->text, elongation.service->text,
                      quantity_text(expected, *length.service->value.unit, 2)),
          {}, fit_path(e, "service"), "the elongation limit is here");
    }
  }
}

void check_twice(LintReport& report, std::size_t index) {
  const Drive& drive = report.drive();
  for (std::size_t other = 0; other < index; ++other) {
    if (drive.fits[other].quantity != drive.fits[index].quantity ||
        folded(drive.fits[other].at) != folded(drive.fits[index].at))
      continue;
    report.error(fit_path(index, "quantity"),
                 fmt::format("{} at {} is limited a second time here",
                             choice_name(drive.fits[index].quantity), drive.fits[index].at),
                 {}, fit_path(other, "quantity"), "the first one is here");
  }
}

std::string_view section_for(PlaceType type) {
  switch (type) {
    case PlaceType::journal:
      return "banks with camshafts and their number of journals";
    case PlaceType::camshaft:
      return "banks with their camshafts";
    case PlaceType::phaser:
      return "phaser under the camshaft that has one";
    case PlaceType::chain:
      return "chains";
    case PlaceType::tensioner:
      return "tensioner under its chain";
    case PlaceType::guide:
      return "guides under their chain";
    case PlaceType::oil_port:
      return "oil.ports";
    case PlaceType::fastener:
      return "fasteners with single_use: false and a longest or thinnest";
    case PlaceType::cylinder:
      return "cylinders with their count";
  }
  return "";
}

}  // namespace

void check_fits(LintReport& report) {
  const Drive& drive = report.drive();
  const auto places = places_of(drive);
  for (std::size_t i = 0; i < drive.fits.size(); ++i) {
    const Fit& fit = drive.fits[i];
    if (!fit.new_range && !fit.service)
      report.error(fmt::format("fits[{}]", i),
                   fmt::format("{} without any limit", choice_name(fit.quantity)),
                   "give new, service, or both");
    check_kind(report, fit, i, fit.new_range, "new");
    check_kind(report, fit, i, fit.service, "service");
    check_twice(report, i);
    check_new_inside_service(report, fit, i);
    check_new_clearance(report, i);
    check_chain_length(report, i);
    check_elongation(report, i);
    check_extras(report, fit, i);
    const PlaceType type = measurand_info(fit.quantity).place;
    report.check_at(fit.at, fit_path(i, "at"), places, type, section_for(type));
    if (fit.quantity == Measurand::sink_time && (!fit.drop || !fit.force))
      report.warning(fmt::format("fits[{}]", i),
                     "a sink time means little without the way and the force",
                     "drop: 2 mm, force: 60 N");
  }
}

}  // namespace tautmark
