// SPDX-License-Identifier: Apache-2.0
// Before parts are ordered: the clearance with a new camshaft in the old head, with a new head and
// the old camshaft, with a new phaser only, and as found. Forecasts, always open. A new part is
// taken in the middle of its new range; the whole range is shown.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "judge/against_fit.h"
#include "judge/checks/checks.h"
#include "judge/checks/clearance.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kPartOfRange =
    "inside only with part of the new range: measure the new part";

Finding forecast(std::string check, const EnginePlace& place, const LimitInUse& limit, double mean,
                 double u, double half_width, std::string_view with,
                 const std::vector<std::string>& evidence) {
  const double all = std::hypot(u, rectangular_u(half_width));
  Finding finding = open_finding(std::move(check), place.path, OpenBecause::forecast, "");
  finding.forecast = true;
  finding.value = shown_value({mean, all}, *limit.unit);
  finding.limit = shown_limit(limit);
  finding.evidence = evidence;
  const bool above = limit.upper && mean > *limit.upper;
  const bool below = limit.lower && mean < *limit.lower;
  const double edge = above || (limit.upper && !below) ? *limit.upper : *limit.lower;
  std::string range;
  if (half_width > 0)
    range = fmt::format(", {}..{} over the new range",
                        number_text(from_si(mean - half_width, *limit.unit), limit.decimals),
                        quantity_text(mean + half_width, *limit.unit, limit.decimals));
  finding.why = fmt::format("{}: would be {} by {}{} ({} against {})", with,
                            above || below ? "outside" : "inside",
                            quantity_text(std::abs(mean - edge), *limit.unit, limit.decimals),
                            range, finding.value->shown, limit.shown);
  const bool part_of_range = !above && !below &&
                             ((limit.upper && mean + half_width > *limit.upper) ||
                              (limit.lower && mean - half_width < *limit.lower));
  if (part_of_range) finding.follows.emplace_back(kPartOfRange);
  finding.sources = {"bore - journal with the new part in the middle of its new range"};
  return finding;
}

std::string last_part(const std::string& subject) {
  return subject.substr(subject.rfind(" / ") + 3);
}

std::string option_words(std::string_view option, const std::vector<Finding>& findings) {
  std::string outside, partly;
  double lowest = HUGE_VAL, highest = -HUGE_VAL;
  for (const Finding& finding : findings) {
    const double value = finding.value->value;
    lowest = std::min(lowest, value);
    highest = std::max(highest, value);
    const bool out = (finding.limit->upper && value > *finding.limit->upper) ||
                     (finding.limit->lower && value < *finding.limit->lower);
    std::string* list = out ? &outside : finding.follows.empty() ? nullptr : &partly;
    if (list != nullptr)
      *list += fmt::format("{}{}", list->empty() ? "" : ", ", last_part(finding.subject));
  }
  const Unit& unit = default_unit(Kind::length);
  const std::string range =
      fmt::format("{}..{}", number_text(from_si(lowest, unit), 3), quantity_text(highest, unit, 3));
  std::string words =
      outside.empty() ? "every journal would be inside" : "still outside at " + outside;
  if (!partly.empty())
    words += fmt::format(", at {} with a part at the end of its new range", partly);
  return fmt::format("{}: {} ({})", option, words, range);
}

// The sentence that stops a wrong parts order.
Finding choice(const EnginePlace& place, const std::vector<Finding>& camshaft,
               const std::vector<Finding>& head) {
  std::string camshaft_path = place.path.substr(0, place.path.rfind(" / "));
  Finding finding = open_finding("what-if-choice", std::move(camshaft_path), OpenBecause::forecast,
                                 option_words("new camshaft in the old head", camshaft) + "; " +
                                     option_words("new head with the old camshaft", head));
  finding.forecast = true;
  for (const Finding& each : camshaft)
    finding.evidence.insert(finding.evidence.end(), each.evidence.begin(), each.evidence.end());
  finding.sources = {"the same forecasts, journal by journal"};
  return finding;
}

}  // namespace

std::optional<NewPart> new_part(const CheckInput& input, Measurand quantity,
                                const EnginePlace& place) {
  if (input.drive == nullptr) return std::nullopt;
  const Fit* fit = fit_for(input.drive->drive, quantity, place);
  if (fit == nullptr || !fit->new_range || !fit->new_range->value.lower_si ||
      !fit->new_range->value.upper_si)
    return std::nullopt;
  const double a = *fit->new_range->value.lower_si, b = *fit->new_range->value.upper_si;
  return NewPart{(a + b) / 2, (b - a) / 2};
}

std::vector<Finding> what_if_clearance(const CheckInput& input) {
  // Only camshafts with something to decide: a clearance that is not proven inside.
  std::map<const Camshaft*, std::vector<const EnginePlace*>> journals;
  std::vector<const Camshaft*> order;
  for (const Finding& finding : journal_clearance(input)) {
    const EnginePlace* place = find_place(input.places, finding.subject);
    if (place == nullptr || place->camshaft == nullptr) continue;
    if (finding.verdict != Verdict::pass &&
        std::find(order.begin(), order.end(), place->camshaft) == order.end() &&
        clearance_from_parts(input, *place))
      order.push_back(place->camshaft);
    journals[place->camshaft].push_back(place);
  }
  std::vector<Finding> findings;
  for (const Camshaft* camshaft : order) {
    std::vector<Finding> as_found, new_phaser, new_camshaft, new_head;
    for (const EnginePlace* place : journals[camshaft]) {
      const auto limit = limit_for(input, Measurand::journal_clearance, *place);
      const auto clearance = clearance_from_parts(input, *place);
      if (!limit || !clearance) continue;
      const auto& [bore, journal, value] = *clearance;
      as_found.push_back(forecast("what-if-as-found", *place, *limit, value.mean, value.budget.u, 0,
                                  "nothing replaced", value.evidence));
      if (camshaft->phaser)
        new_phaser.push_back(forecast("what-if-new-phaser", *place, *limit, value.mean,
                                      value.budget.u, 0, "new phaser only, clearance unchanged",
                                      value.evidence));
      if (const auto part = new_part(input, Measurand::journal_diameter, *place))
        new_camshaft.push_back(forecast("what-if-new-camshaft", *place, *limit,
                                        bore.mean - part->middle, bore.budget.u, part->half_width,
                                        "new camshaft in the old head", bore.evidence));
      if (const auto part = new_part(input, Measurand::bore_diameter, *place))
        new_head.push_back(forecast("what-if-new-head", *place, *limit, part->middle - journal.mean,
                                    journal.budget.u, part->half_width, "new head, old camshaft",
                                    journal.evidence));
    }
    if (!new_camshaft.empty() && !new_head.empty())
      findings.push_back(choice(*journals[camshaft].front(), new_camshaft, new_head));
    for (auto* list : {&as_found, &new_phaser, &new_camshaft, &new_head})
      findings.insert(findings.end(), list->begin(), list->end());
  }
  return findings;
}

}  // namespace tautmark::checks
