// SPDX-License-Identifier: Apache-2.0
#include "quick/judged.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>

#include "base/text.h"
#include "measure/decision.h"
#include "quick/spoken.h"

namespace tautmark::quick {
namespace {

// In the order of kOriginInput.choices.
constexpr std::array kOrigins = {Origin::maker, Origin::shop, Origin::common_practice,
                                 Origin::unknown};

std::string capitalized(std::string_view text) {
  std::string result(text);
  if (!result.empty()) {
    result[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(result[0])));
  }
  return result;
}

// A needed uncertainty is rounded down: a gauge must not be called good enough when it is not.
std::string rounded_down(double si, const Unit& unit) {
  const int decimals = decimals_for(si, unit);
  const double scale = std::pow(10, decimals);
  return fmt::format("{} {}", number_text(std::floor(si / unit.factor * scale) / scale, decimals),
                     unit.symbol);
}

std::string what_decides(const WhatWouldDecide& decider, const ToJudge& what) {
  const Unit& unit = *what.reading.unit;
  switch (decider.decider) {
    case Decider::more_readings: {
      const int n = decider.further_readings.value_or(1);
      return fmt::format(
          "{} more reading{}{} with the same instrument would decide, if the mean stays", n,
          n == 1 ? "" : "s", what.each.empty() ? "" : " each of " + what.each);
    }
    case Decider::better_gauge: {
      const double needed = decider.needed_gauge_U > 0 ? decider.needed_gauge_U : decider.needed_U;
      return fmt::format(
          "a measurement of this {} to ± {} or better would decide, if the value stays",
          what.subject, rounded_down(needed, unit));
    }
    case Decider::no_gauge:
      return "no gauge can decide a value that lies on the limit";
    case Decider::nothing_needed:
      break;
  }
  return {};
}

std::string limit_text(const AnyInterval& interval) {
  return interval_text(interval.lower_si, interval.upper_si, *interval.unit, interval.decimals);
}

std::string_view as_word(Origin origin) {
  switch (origin) {
    case Origin::maker:
      return "the engine maker's";
    case Origin::shop:
      return "the shop's";
    case Origin::common_practice:
      return "common practice";
    case Origin::program_default:
      return "a program default";
    case Origin::unknown:
      break;
  }
  return "of unknown origin";
}

struct Called {
  Verdict verdict = Verdict::open;
  std::optional<OpenBecause> because;
};

Called called(Conformity conformity, const SaidLimit& limit) {
  switch (conformity) {
    case Conformity::fail:
      return {Verdict::fail, std::nullopt};
    case Conformity::pass:
      if (no_authority(limit).empty()) return {Verdict::pass, std::nullopt};
      return {Verdict::open, OpenBecause::limit_origin};
    case Conformity::pass_in_band:
    case Conformity::fail_in_band:
    case Conformity::gauge_not_good_enough:
      break;
  }
  return {Verdict::open, OpenBecause::too_close};
}

}  // namespace

Said<SaidLimit> said_origin(const Heard& heard) {
  SaidLimit limit{.interval = {}, .source = std::string(heard.text("source"))};
  if (heard.has("origin")) {
    const Said<std::size_t> chosen = heard.choice("origin");
    if (!chosen) return tl::make_unexpected(chosen.error());
    limit.origin = kOrigins.at(*chosen);
  } else if (!limit.source.empty()) {
    // A document alone does not say whose rule it prints.
    return tl::make_unexpected(heard.ask("origin"));
  }
  return limit;
}

Said<SaidLimit> said_limit(const Heard& heard, Kind kind, BareLimit bare) {
  Said<SaidLimit> limit = said_origin(heard);
  if (!limit) return limit;
  if (const FromText<AnyQuantity> value = read_quantity(heard.text("limit"), kind)) {
    AnyInterval& interval = limit->interval;
    interval = AnyInterval{.kind = kind,
                           .lower_si = {},
                           .upper_si = value->si,
                           .unit = value->unit,
                           .decimals = value->decimals};
    if (bare == BareLimit::plus_minus) interval.lower_si = -value->si;
    if (bare == BareLimit::ask) {
      return tl::make_unexpected(heard.ask(
          "limit", fmt::format("Is {} the most or the least that is allowed? Say \"at most {}\" or "
                               "\"at least {}\".",
                               heard.text("limit"), heard.text("limit"), heard.text("limit"))));
    }
    if (!(value->si > 0)) {
      return tl::make_unexpected(heard.ask("limit", "A limit of zero or less is no limit here."));
    }
    return limit;
  }
  const FromText<AnyInterval> interval = read_interval(heard.text("limit"), kind);
  if (!interval) return tl::make_unexpected(heard.ask("limit", interval.error()));
  limit->interval = *interval;
  return limit;
}

std::string no_authority(const SaidLimit& limit) {
  if (limit.origin == Origin::unknown) {
    return "inside the limit as typed, but nobody said where the limit comes from";
  }
  if (!can_carry_pass(limit.origin)) {
    return fmt::format("inside a limit that is only {}: plausible, no maker's limit",
                       origin_text(limit.origin));
  }
  if (limit.source.empty()) {
    return fmt::format("inside the limit as typed, said to be {}, but no document was named",
                       as_word(limit.origin));
  }
  return {};
}

Result<Expanded> expanded(const Reading& reading) {
  const Result<double> k = coverage_factor(reading.nu);
  if (!k) return tl::make_unexpected(k.error());
  const double U = *k * reading.u.value_or(0);
  return Expanded{.U = U, .k = *k, .shown = measured_text(reading.value, U, *reading.unit)};
}

std::optional<Refusal> judge(Answer& answer, const ToJudge& what, const SaidLimit& limit) {
  const Reading& reading = what.reading;
  const Limits limits{limit.interval.lower_si, limit.interval.upper_si};
  const Estimate estimate{.value = reading.value, .u = reading.u.value_or(0), .nu = reading.nu};
  const Result<Decision> decision = decide(estimate, limits, kLevel);
  if (!decision) return decision.error();
  const Result<Expanded> all = expanded(reading);
  if (!all) return all.error();

  const bool is_implausible = !what.implausible.empty();
  const Called verdict = is_implausible ? Called{Verdict::open, OpenBecause::implausible}
                                        : called(decision->conformity, limit);
  const std::string shown = what.shown.empty() ? all->shown : what.shown;
  const std::string against =
      what.limit_shown.empty() ? limit_text(limit.interval) : what.limit_shown;
  const std::string inside = probability_text(decision->probability_within);

  Finding finding;
  finding.check = fmt::format("quick-{}", what.check);
  finding.subject = what.subject;
  finding.verdict = verdict.verdict;
  finding.open_because = verdict.because;
  finding.value = FindingValue{.value = reading.value,
                               .unit = std::string(si_symbol(what.kind)),
                               .U = all->U,
                               .k = all->k,
                               .shown = shown};
  finding.limit = FindingLimit{.lower = limits.lower,
                               .upper = limits.upper,
                               .unit = std::string(si_symbol(what.kind)),
                               .applies_to = {},
                               .origin = limit.origin,
                               .source = limit.source,
                               .checked_by = {},
                               .shown = against};
  if (!is_implausible) finding.probability_within = decision->probability_within;
  finding.sources = {"probability inside: JCGM 106:2012, clause 7",
                     "decision with uncertainty: ISO 14253-1:2017, one-sided 95 %"};

  if (is_implausible) {
    finding.why = what.implausible;
    answer.lines.push_back(
        fmt::format("Open: {}{}", finding.why, finding.why.ends_with('?') ? "" : "."));
    finding.next.emplace_back(
        "read it again and say it with its unit; until then nothing is judged");
    answer.lines.push_back(capitalized(finding.next.back()) + ".");
  } else if (verdict.because == OpenBecause::too_close) {
    finding.why = fmt::format("too close to call: {} {} against {}, probability inside {}",
                              what.subject, shown, against, inside);
    answer.lines.push_back(fmt::format("Open: {}.", finding.why));
    const Result<WhatWouldDecide> decider =
        what_would_decide(estimate, limits, kLevel, reading.repeat_sd, reading.n);
    if (decider) {
      if (std::string next = what_decides(*decider, what); !next.empty()) {
        finding.next.push_back(next);
        answer.lines.push_back(capitalized(next) + ".");
      }
    }
    if (!no_authority(limit).empty()) {
      finding.next.emplace_back(
          "the limit has no maker's or shop's document: with it as it is, even a clear value "
          "cannot "
          "pass");
      answer.lines.push_back(capitalized(finding.next.back()) + ".");
    }
    finding.next.emplace_back(
        "or decide on other grounds and record them with name and reason; the verdict stays open");
    answer.lines.push_back(capitalized(finding.next.back()) + ".");
  } else if (verdict.because == OpenBecause::limit_origin) {
    finding.why = no_authority(limit);
    answer.lines.push_back(fmt::format("Open: {} {} is {}.", what.subject, shown, finding.why));
    answer.lines.push_back(
        fmt::format("Against {}, the probability inside is {}.", against, inside));
    finding.next.emplace_back("name the maker's or the shop's document with edition and page");
    answer.lines.push_back(capitalized(finding.next.back()) + ".");
  } else {
    const bool passes = verdict.verdict == Verdict::pass;
    finding.why =
        fmt::format("{} {} is {} {} with 95 % confidence or better, probability inside {}",
                    what.subject, shown, passes ? "inside" : "outside", against, inside);
    answer.lines.push_back(fmt::format("{}: {}.", passes ? "Pass" : "Fail", finding.why));
  }

  answer.steps.push_back(
      fmt::format("u = {} (standard uncertainty), U = k u with k = {}: {}",
                  quantity_text(estimate.u, *reading.unit, decimals_for(estimate.u, *reading.unit)),
                  number_text(all->k, 2), shown));
  answer.steps.push_back(fmt::format(
      "proven only when the value is {} inside the limit (guard band at 95 %, one-sided)",
      quantity_text(decision->guard_band, *reading.unit,
                    decimals_for(decision->guard_band, *reading.unit))));
  answer.assumed.push_back(fmt::format("limit {}, {}{}", against, as_word(limit.origin),
                                       limit.source.empty() ? "" : ": " + limit.source));
  finding.cautions.emplace_back(
      "the limit was typed once and not cross-checked: read it back from the document");
  finding.cautions.emplace_back(
      "this is one quantity against one limit, not a statement about the engine");
  for (const std::string& caution : finding.cautions)
    answer.cautions.push_back(capitalized(caution) + ".");
  answer.verdict = verdict.verdict;
  answer.finding = std::move(finding);
  return std::nullopt;
}

}  // namespace tautmark::quick
