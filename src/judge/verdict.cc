// SPDX-License-Identifier: Apache-2.0
#include "judge/verdict.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "drive/drive_fields.h"
#include "measure/instrument.h"

namespace tautmark {
namespace {

std::string source_words(const SourceRef& source) {
  std::string words;
  for (const auto& part : {source.document, source.edition, source.page})
    if (part) words += (words.empty() ? "" : ", ") + *part;
  return words;
}

double coverage_of(double nu) {
  const auto k = coverage_factor(nu);
  return k ? *k : 2;
}

std::string margin_words(double value, const LimitInUse& limit) {
  const auto distance = [&](double d) {
    return quantity_text(std::abs(d), *limit.unit, limit.decimals);
  };
  if (limit.upper && (!limit.lower || value > (*limit.upper + *limit.lower) / 2))
    return value > *limit.upper ? "above it by " + distance(value - *limit.upper)
                                : "below it by " + distance(*limit.upper - value);
  return value < *limit.lower ? "below it by " + distance(*limit.lower - value)
                              : "above it by " + distance(value - *limit.lower);
}

constexpr std::string_view kOtherGrounds = "decide on other grounds, with name and reason";

std::string gauge_advice(const ValueInUse& value, const LimitInUse& limit, double needed_U) {
  const std::string needed =
      quantity_text(needed_U, *limit.unit, decimals_for(needed_U, *limit.unit));
  if (value.gauge_U > 0 && needed_U >= value.gauge_U)
    return "the scatter of the readings is in the way, not the gauge: find its cause and read "
           "again";
  if (instruments_within(limit.kind, value.estimate.value, needed_U).empty())
    return fmt::format(
        "more readings cannot decide it, and no gauge on the program's list can (±{} would be "
        "needed): {}",
        needed, kOtherGrounds);
  return fmt::format(
      "more readings cannot decide it: a gauge of ±{} (k = 2) or better would, if the value stays",
      needed);
}

std::vector<std::string> what_decides(const ValueInUse& value, const LimitInUse& limit) {
  const auto what = what_would_decide(value.estimate, {limit.lower, limit.upper}, kLevel,
                                      value.repeat_sd, value.n);
  if (!what) return {"measure again with a better gauge"};
  switch (what->decider) {
    case Decider::nothing_needed:
      return {};
    case Decider::more_readings:
      return {fmt::format("{} more readings with the same gauge, if the mean stays",
                          what->further_readings.value_or(3))};
    case Decider::better_gauge:
      return {gauge_advice(value, limit, what->needed_gauge_U)};
    case Decider::no_gauge:
      break;
  }
  return {fmt::format("the value lies on the limit: no gauge can decide it; {}", kOtherGrounds)};
}

void set_open(Finding& finding, OpenBecause because) {
  finding.verdict = Verdict::open;
  finding.open_because = because;
}

Verdict verdict_of(Conformity conformity) {
  if (conformity == Conformity::pass) return Verdict::pass;
  if (conformity == Conformity::fail) return Verdict::fail;
  return Verdict::open;
}

// What the limit's origin allows; called after the numbers have spoken.
void apply_origin(Finding& finding, const LimitInUse& limit) {
  if (limit.is_new_range && finding.verdict == Verdict::fail) {
    set_open(finding, OpenBecause::not_in_drive);
    finding.why +=
        "; that is the range of a new part, and the definition gives no limit for a used one";
    finding.next.push_back("find the service limit, or decide with name and reason");
    return;
  }
  if (finding.verdict != Verdict::pass) return;
  if (can_carry_pass(limit.origin)) {
    if (!limit.source.empty()) return;
    set_open(finding, OpenBecause::limit_origin);
    finding.why += "; plausible, but no document is named for this limit";
    finding.next.emplace_back("name the document that the limit stands in");
    return;
  }
  set_open(finding, OpenBecause::limit_origin);
  finding.why +=
      fmt::format("; plausible, but the limit is {} and cannot carry a pass",
                  limit.origin == Origin::unknown ? "of no stated origin"
                                                  : std::string(origin_text(limit.origin)));
  finding.next.push_back("name the maker's or the shop's document for this limit");
}

}  // namespace

std::string probability_text(double probability) {
  if (probability > 0.995) return "more than 0.99";
  if (probability < 0.005) return "less than 0.01";
  return fmt::format("{:.2f}", probability);
}

LimitInUse limit_from(const WrittenAnyRange& range, const std::optional<SourceRef>& source,
                      const LoadedDrive* drive) {
  LimitInUse limit;
  limit.lower = range.value.lower_si;
  limit.upper = range.value.upper_si;
  limit.kind = range.value.kind;
  limit.unit = range.value.unit;
  limit.decimals = range.value.decimals;
  limit.shown = interval_text(limit.lower, limit.upper, *limit.unit, limit.decimals);
  const SourceRef file =
      drive != nullptr && drive->drive.source ? *drive->drive.source : SourceRef{};
  SourceRef use = source.value_or(file);
  // A page alone is a page of the file's document; another document needs its own origin.
  if (source && !source->document) {
    use.document = file.document;
    if (!use.edition) use.edition = file.edition;
    if (!use.origin) use.origin = file.origin;
  }
  limit.origin = use.origin.value_or(Origin::unknown);
  limit.source = source_words(use);
  return limit;
}

namespace {

// Of a bolt that the maker lets go in again: the free length at most, the smallest diameter at
// least.
std::optional<LimitInUse> limit_of_bolt(const LoadedDrive& drive, Measurand quantity,
                                        const Fastener& fastener) {
  const bool is_length = quantity == Measurand::bolt_length;
  const std::optional<Written<Length>>& written = is_length ? fastener.longest : fastener.thinnest;
  if (!written || (!is_length && quantity != Measurand::bolt_diameter)) return std::nullopt;
  const TextRules rules{drive.drive.decimal_sign == DecimalSign::comma ? ',' : '.'};
  const auto typed = read_quantity(written->text, Kind::length, rules);
  if (!typed) return std::nullopt;
  WrittenAnyRange range;
  range.text = written->text;
  range.value.kind = Kind::length;
  range.value.unit = typed->unit;
  range.value.decimals = typed->decimals;
  (is_length ? range.value.upper_si : range.value.lower_si) = written->value.si();
  return limit_from(range, fastener.source, &drive);
}

}  // namespace

std::optional<LimitInUse> limit_for(const CheckInput& input, Measurand quantity,
                                    const EnginePlace& place) {
  std::optional<LimitInUse> limit;
  if (input.drive != nullptr) {
    if (const Fit* fit = fit_for(input.drive->drive, quantity, place)) {
      limit = limit_from(fit->service ? *fit->service : *fit->new_range, fit->source, input.drive);
      limit->applies_to = fit->applies_to;
      limit->checked_by = fit->cross_checked_by.value_or("");
      limit->is_new_range = !fit->service;
      if (fit->new_range) {
        limit->new_lower = fit->new_range->value.lower_si;
        limit->new_upper = fit->new_range->value.upper_si;
      }
    } else if (place.fastener != nullptr) {
      limit = limit_of_bolt(*input.drive, quantity, *place.fastener);
    }
  }
  for (const auto& [entry, reading] : readings_at(input, quantity, place.path)) {
    if (!reading->limit) continue;
    LimitInUse own = limit_from(*reading->limit, reading->limit_source, nullptr);
    own.applies_to = reading->applies_to;
    if (!limit) {
      limit = own;
    } else if (own.kind != limit->kind || own.lower != limit->lower || own.upper != limit->upper) {
      limit->conflict = fmt::format("{} says {} ({}), but {} is in use", entry->id, own.shown,
                                    own.source.empty() ? "no source" : own.source, limit->shown);
    }
  }
  return limit;
}

FindingValue shown_value(const Estimate& estimate, const Unit& unit) {
  FindingValue value;
  value.value = estimate.value;
  value.unit = si_symbol(unit.kind);
  value.k = coverage_of(estimate.nu);
  value.U = value.k * estimate.u;
  value.shown = measured_text(value.value, value.U, unit);
  return value;
}

FindingLimit shown_limit(const LimitInUse& limit) {
  FindingLimit shown;
  shown.lower = limit.lower;
  shown.upper = limit.upper;
  shown.unit = si_symbol(limit.kind);
  if (limit.applies_to) shown.applies_to = choice_name(*limit.applies_to);
  shown.origin = limit.origin;
  shown.source = limit.source;
  shown.checked_by = limit.checked_by;
  shown.shown = limit.shown;
  return shown;
}

Finding open_finding(std::string check, std::string subject, OpenBecause because, std::string why,
                     std::vector<std::string> next) {
  Finding finding;
  finding.check = std::move(check);
  finding.subject = std::move(subject);
  set_open(finding, because);
  finding.why = std::move(why);
  finding.next = std::move(next);
  return finding;
}

void decide_finding(Finding& finding, const ValueInUse& mean,
                    const std::optional<ValueInUse>& worst, const LimitInUse& limit) {
  const bool use_worst = limit.applies_to == AppliesTo::worst && worst;
  const ValueInUse& main = use_worst ? *worst : mean;
  finding.value = shown_value(main.estimate, *limit.unit);
  finding.limit = shown_limit(limit);
  const auto decision = decide(main.estimate, {limit.lower, limit.upper}, kLevel);
  if (!decision) {
    set_open(finding, OpenBecause::outside_model);
    finding.why = decision.error().why;
    return;
  }
  finding.probability_within = decision->probability_within;
  finding.verdict = verdict_of(decision->conformity);
  const std::string_view which = use_worst ? "worst " : "";
  const std::string against =
      fmt::format("{}{} against {}", which, finding.value->shown, limit.shown);
  if (finding.verdict == Verdict::pass) {
    finding.why =
        fmt::format("{}: proven inside, {}", against, margin_words(main.estimate.value, limit));
  } else if (finding.verdict == Verdict::fail) {
    finding.why =
        fmt::format("{}: proven outside, {}", against, margin_words(main.estimate.value, limit));
  } else {
    set_open(finding, OpenBecause::too_close);
    finding.why = fmt::format("{}: too close to call, probability inside {}", against,
                              probability_text(decision->probability_within));
    if (decision->conformity == Conformity::gauge_not_good_enough)
      finding.why += "; the gauge is not good enough for so narrow a limit";
    finding.next = what_decides(main, limit);
    if (worst && !use_worst)
      finding.why += fmt::format("; {} in the worst direction",
                                 quantity_text(worst->estimate.value, *limit.unit, limit.decimals));
    if (worst && !limit.applies_to)
      finding.next.push_back("or find out whether the limit means the mean or the worst direction");
  }
  // A limit that does not say what it means must hold both ways.
  if (!limit.applies_to && worst && finding.verdict != Verdict::open) {
    const auto other = decide(worst->estimate, {limit.lower, limit.upper}, kLevel);
    if (!other || verdict_of(other->conformity) != finding.verdict) {
      finding.why += fmt::format(
          "; in the worst direction it is {}, and the limit does not say whether it means the mean "
          "or the worst",
          measured_text(worst->estimate.value, 2 * worst->estimate.u, *limit.unit));
      set_open(finding, OpenBecause::too_close);
      finding.next = {"find out whether the limit means the mean or the worst direction"};
    }
  }
  apply_origin(finding, limit);
}

namespace {

// Nothing wears back to new: a value clearly on the unworn side of a new part was misread, or the
// part is another one.
std::optional<std::string> better_than_new(const Dimension& dimension, const LimitInUse& limit,
                                           int wear) {
  const double slack = 3 * dimension.budget.u;
  const bool above = wear < 0 && limit.new_upper && dimension.mean > *limit.new_upper + slack;
  const bool below = wear > 0 && limit.new_lower && dimension.mean < *limit.new_lower - slack;
  if (!above && !below) return std::nullopt;
  const double edge = above ? *limit.new_upper : *limit.new_lower;
  return fmt::format("{} is {} any new part can be ({}): misread, or another part",
                     quantity_text(dimension.mean, *dimension.unit, dimension.decimals),
                     above ? "larger than" : "smaller than",
                     quantity_text(edge, *limit.unit, limit.decimals));
}

// Why the numbers are not to be compared at all; nothing when they may be.
std::optional<std::pair<OpenBecause, std::string>> not_comparable(const Dimension& dimension,
                                                                  const LimitInUse& limit,
                                                                  int wear) {
  if (!dimension.impossible.empty())
    return std::pair(OpenBecause::implausible, dimension.impossible.front().sentence);
  if (const auto words = better_than_new(dimension, limit, wear))
    return std::pair(OpenBecause::implausible, *words);
  if (dimension.outside) return std::pair(OpenBecause::outside_model, *dimension.outside);
  if (!limit.conflict.empty())
    return std::pair(OpenBecause::limit_origin, "two limits for one thing: " + limit.conflict);
  return std::nullopt;
}

std::string advice_for(OpenBecause because) {
  if (because == OpenBecause::implausible)
    return "read it again, with its unit, and enter a correction";
  if (because == OpenBecause::outside_model)
    return "measure again with the parts at room temperature";
  return "find out which limit is the maker's for this engine";
}

}  // namespace

void decide_dimension(Finding& finding, const Dimension& dimension, const LimitInUse& limit,
                      int wear) {
  finding.evidence = dimension.evidence;
  for (const std::string& words : dimension.assumptions) finding.budget.push_back(words);
  for (const Contribution& term : dimension.budget.terms)
    finding.budget.push_back(
        fmt::format("u, {}: {}", term.name,
                    quantity_text(std::abs(term.u * term.sensitivity), *limit.unit,
                                  decimals_for(std::abs(term.u * term.sensitivity), *limit.unit))));
  for (const std::string& remark : dimension.remarks) finding.next.push_back(remark);
  if (const auto problem = not_comparable(dimension, limit, wear)) {
    finding.value =
        shown_value({dimension.mean, dimension.budget.u, dimension.budget.nu}, *dimension.unit);
    finding.limit = shown_limit(limit);
    set_open(finding, problem->first);
    finding.why = problem->second;
    finding.next.insert(finding.next.begin(), advice_for(problem->first));
    return;
  }
  const ValueInUse mean{{dimension.mean, dimension.budget.u, dimension.budget.nu},
                        dimension.repeat_sd,
                        dimension.n,
                        dimension.gauge_U};
  std::optional<ValueInUse> worst;
  if (dimension.lowest != dimension.highest) {
    const double middle = limit.lower && limit.upper ? (*limit.lower + *limit.upper) / 2
                                                     : (limit.upper ? -HUGE_VAL : HUGE_VAL);
    const double value =
        std::abs(dimension.highest - middle) >= std::abs(dimension.lowest - middle) && limit.upper
            ? dimension.highest
            : dimension.lowest;
    worst = ValueInUse{{value, dimension.budget_single.u, dimension.budget_single.nu},
                       dimension.repeat_sd,
                       std::max(1, dimension.n / static_cast<int>(dimension.directions.size())),
                       dimension.gauge_U};
  }
  if (dimension.between) {
    // Blades: the value is somewhere between two, no likelier in the middle (measurement.md 1.3).
    const auto [a, b] = *dimension.between;
    const double lower = std::max(a, limit.lower.value_or(-HUGE_VAL)),
                 upper = std::min(b, limit.upper.value_or(HUGE_VAL));
    const double inside = b > a ? std::clamp((upper - lower) / (b - a), 0.0, 1.0) : 0;
    finding.value = shown_value(mean.estimate, *limit.unit);
    finding.value->shown =
        fmt::format("{}..{}", number_text(from_si(a, *dimension.unit), dimension.decimals),
                    quantity_text(b, *dimension.unit, dimension.decimals));
    finding.limit = shown_limit(limit);
    finding.probability_within = inside;
    finding.why = fmt::format("between {} against {}: ", finding.value->shown, limit.shown);
    if (inside >= 1) {
      finding.verdict = Verdict::pass;
      finding.why += "the whole interval is inside";
    } else if (inside <= 0) {
      finding.verdict = Verdict::fail;
      finding.why += "the whole interval is outside";
    } else {
      set_open(finding, OpenBecause::too_close);
      finding.why +=
          fmt::format("too close to call, probability inside {}", probability_text(inside));
      finding.next.push_back("use a blade of the limit itself, or a dial indicator");
    }
    apply_origin(finding, limit);
    return;
  }
  const std::vector<std::string> remarks = finding.next;
  decide_finding(finding, mean, worst, limit);
  if (finding.verdict == Verdict::pass && limit.applies_to == AppliesTo::worst && wear != 0 &&
      dimension.directions.size() < 2) {
    set_open(finding, OpenBecause::not_measured);
    finding.why += "; but in one direction only, and the limit means the worst";
    finding.next.emplace_back("measure the other direction too");
  }
  finding.next.insert(finding.next.begin(), remarks.begin(), remarks.end());
}

}  // namespace tautmark
