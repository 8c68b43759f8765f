// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "base/text.h"
#include "judge/against_fit.h"
#include "judge/checks/cap_state.h"
#include "judge/checks/checks.h"
#include "judge/checks/clearance.h"
#include "measure/hot_clearance.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "journal-clearance";

const DirectionMean* direction_named(const Dimension& dimension, const std::string& name) {
  for (const DirectionMean& direction : dimension.directions)
    if (direction.name == name) return &direction;
  return nullptr;
}

bool is_strip(const CheckInput& input, const Reading& reading) {
  if (!reading.instrument) return false;
  const Instrument* own = find_instrument(*input.value, *reading.instrument);
  const std::string type = own != nullptr ? own->type.value_or("") : *reading.instrument;
  return folded(type) == "plastic strip";
}

// Directly read clearances: strips only confirm, so they never enter a mean.
struct Direct {
  std::optional<Dimension> gauged;
  std::optional<Dimension> strip;
};

Direct direct_readings(const CheckInput& input, const EnginePlace& place) {
  const auto strip = [&](const Reading& reading) { return is_strip(input, reading); };
  return {dimension_at(input, Measurand::journal_clearance, place, std::not_fn(strip)),
          dimension_at(input, Measurand::journal_clearance, place, strip)};
}

// What a second way of measuring says to the first.
void compare(const Dimension& used, const std::optional<Dimension>& other, std::string_view name,
             Finding& finding) {
  if (!other) return;
  finding.evidence.insert(finding.evidence.end(), other->evidence.begin(), other->evidence.end());
  const double difference = std::abs(other->mean - used.mean);
  const double U = 2 * std::hypot(other->budget.u, used.budget.u);
  const std::string words =
      fmt::format("{} {}", name, measured_text(other->mean, 2 * other->budget.u, *other->unit));
  if (other->impossible.empty() && difference <= U) {
    finding.why += "; " + words + " confirms it";
    return;
  }
  finding.verdict = Verdict::open;
  finding.open_because = OpenBecause::implausible;
  finding.why += "; " + words + " contradicts it";
  finding.next = {
      "measure bore and journal again, the cap torqued; a strip with the camshaft not turned"};
}

Finding from_parts(const CheckInput& input, const EnginePlace& place, const Clearance& clearance,
                   const LimitInUse& limit) {
  Finding finding;
  decide_dimension(finding, clearance.value, limit, +1);
  if (const auto problem = cap_problem(input, place)) {
    finding.verdict = Verdict::open;
    finding.open_because = OpenBecause::outside_model;
    finding.why = *problem;
    finding.next = {
        "fit the cap in its own place, tighten it as the maker says, measure the bore again"};
    return finding;
  }
  const Direct direct = direct_readings(input, place);
  compare(clearance.value, direct.gauged, "directly read", finding);
  compare(clearance.value, direct.strip, "plastic strip", finding);
  return finding;
}

Finding from_direct(const Direct& direct, const LimitInUse& limit) {
  Finding finding;
  decide_dimension(finding, direct.gauged ? *direct.gauged : *direct.strip, limit, +1);
  if (direct.gauged) {
    compare(*direct.gauged, direct.strip, "plastic strip", finding);
  } else if (finding.verdict == Verdict::pass) {
    finding.verdict = Verdict::open;
    finding.open_because = OpenBecause::not_measured;
    finding.why += "; a plastic strip confirms, it never passes alone";
    finding.next = {"measure bore and journal"};
  }
  return finding;
}

Finding missing_part(const CheckInput& input, const EnginePlace& place) {
  const bool bore = !readings_at(input, Measurand::bore_diameter, place.path).empty();
  const bool journal = !readings_at(input, Measurand::journal_diameter, place.path).empty();
  const MeasurandInfo& missing =
      measurand_info(bore ? Measurand::journal_diameter : Measurand::bore_diameter);
  if (!bore && !journal)
    return open_finding(
        "", "", OpenBecause::not_measured, "neither bore nor journal measured here",
        {fmt::format("measure: {}", measurand_info(Measurand::journal_diameter).how),
         fmt::format("measure: {}", measurand_info(Measurand::bore_diameter).how)});
  return open_finding("", "", OpenBecause::not_measured,
                      fmt::format("{} not measured here", missing.name),
                      {fmt::format("measure: {}", missing.how)});
}

}  // namespace

std::optional<Clearance> clearance_from_parts(const CheckInput& input, const EnginePlace& place) {
  auto bore = dimension_at(input, Measurand::bore_diameter, place);
  auto journal = dimension_at(input, Measurand::journal_diameter, place);
  if (!bore || !journal) return std::nullopt;
  Dimension value = *bore;
  value.mean = bore->mean - journal->mean;
  value.highest = bore->highest - journal->lowest;
  value.lowest = bore->lowest - journal->highest;
  std::vector<DirectionMean> common;
  for (const DirectionMean& direction : bore->directions)
    if (const DirectionMean* other = direction_named(*journal, direction.name))
      common.push_back(
          {direction.name, direction.mean - other->mean, std::min(direction.n, other->n)});
  if (common.size() == bore->directions.size() && common.size() == journal->directions.size()) {
    value.directions = common;
    value.highest = value.lowest = common.front().mean;
    for (const DirectionMean& direction : common) {
      value.highest = std::max(value.highest, direction.mean);
      value.lowest = std::min(value.lowest, direction.mean);
    }
  }
  const auto both = [](const Budget& b, const Budget& j) {
    return clearance_budget(Length::from_si(b.u), Length::from_si(j.u), 0, b.nu, j.nu);
  };
  const auto budget = both(bore->budget, journal->budget);
  const auto single = both(bore->budget_single, journal->budget_single);
  if (!budget || !single) return std::nullopt;
  value.budget = *budget;
  value.budget_single = *single;
  value.repeat_sd = std::hypot(bore->repeat_sd, journal->repeat_sd);
  value.n = std::min(bore->n, journal->n);
  value.decimals = std::max(bore->decimals, journal->decimals);
  value.evidence.insert(value.evidence.end(), journal->evidence.begin(), journal->evidence.end());
  for (const std::string& words : journal->assumptions)
    if (std::find(value.assumptions.begin(), value.assumptions.end(), words) ==
        value.assumptions.end())
      value.assumptions.push_back(words);
  value.gauge_U = std::hypot(bore->gauge_U, journal->gauge_U);
  value.impossible.insert(value.impossible.end(), journal->impossible.begin(),
                          journal->impossible.end());
  if (const auto swapped = swapped_bore_and_journal(bore->mean, journal->mean))
    value.impossible.push_back(*swapped);
  return Clearance{std::move(*bore), std::move(*journal), std::move(value)};
}

std::vector<Finding> journal_clearance(const CheckInput& input) {
  std::vector<Finding> findings;
  const Measurand quantities[] = {Measurand::journal_clearance, Measurand::bore_diameter,
                                  Measurand::journal_diameter};
  for (const EnginePlace* place : touched_places(input, PlaceType::journal, quantities)) {
    const auto parts = clearance_from_parts(input, *place);
    const Direct direct = direct_readings(input, *place);
    const bool any_direct = direct.gauged || direct.strip;
    const auto limit = limit_for(input, Measurand::journal_clearance, *place);
    Finding finding;
    if (!parts && !any_direct) {
      finding = missing_part(input, *place);
      if (limit) finding.limit = shown_limit(*limit);
    } else if (!limit) {
      const Dimension& value = parts           ? parts->value
                               : direct.gauged ? *direct.gauged
                                               : *direct.strip;
      finding =
          open_finding("", "", OpenBecause::not_in_drive, "clearance known, but no limit is given",
                       {"enter the maker's limit in the drive, or with the reading"});
      finding.value = shown_value({value.mean, value.budget.u, value.budget.nu}, *value.unit);
      finding.evidence = value.evidence;
    } else {
      finding = parts ? from_parts(input, *place, *parts, *limit) : from_direct(direct, *limit);
    }
    finding.check = kCheck;
    finding.subject = place->path;
    finding.sources = {"JCGM 100:2008 5.1 (difference of two readings)",
                       "JCGM 106:2012 (decision)"};
    if (finding.verdict == Verdict::fail)
      finding.follows.push_back(
          "oil is lost here before it reaches the phaser: compute both what-ifs before ordering, "
          "camshaft and head");
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace tautmark::checks
