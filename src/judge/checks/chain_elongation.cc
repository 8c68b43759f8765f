// SPDX-License-Identifier: Apache-2.0
// Elongation from the length over n links: e = L / (n p) - 1.
#include <fmt/format.h>

#include <cmath>

#include "judge/against_fit.h"
#include "judge/checks/checks.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "chain-elongation";

// The limit as an elongation: stated as one, or as a length over n links.
std::optional<LimitInUse> elongation_limit(const CheckInput& input, const EnginePlace& place,
                                           double pitch, int links_read) {
  const auto stated = limit_for(input, Measurand::chain_elongation, place);
  auto limit = limit_for(input, Measurand::chain_length, place);
  if (!limit) return stated;
  if (limit->kind == Kind::ratio) return stated ? stated : limit;
  int links = links_read;  // a limit typed with the reading is over the links that were read
  if (input.drive != nullptr)
    if (const Fit* fit = fit_for(input.drive->drive, Measurand::chain_length, place);
        fit != nullptr && fit->links)
      links = *fit->links;
  const double nominal = links * pitch;
  if (limit->lower) limit->lower = *limit->lower / nominal - 1;
  if (limit->upper) limit->upper = *limit->upper / nominal - 1;
  limit->kind = Kind::ratio;
  limit->unit = &default_unit(Kind::ratio);
  limit->decimals = 3;
  limit->shown = fmt::format("{} over {} links", limit->shown, links);
  if (!stated) return limit;
  // Two limits that say the same within their digits are one; otherwise both are named.
  auto use = *stated;
  use.conflict = limit->conflict;
  constexpr double kSame = 1e-4;
  if (use.conflict.empty() && limit->upper && use.upper &&
      std::abs(*limit->upper - *use.upper) > kSame)
    use.conflict = fmt::format("{} and {}", limit->shown, use.shown);
  return use;
}

Dimension as_elongation(const Dimension& length, int links, double pitch) {
  Dimension elongation = length;
  const double nominal = links * pitch;
  elongation.kind = Kind::ratio;
  elongation.unit = &default_unit(Kind::ratio);
  elongation.decimals = 2;
  for (double* value : {&elongation.mean, &elongation.lowest, &elongation.highest})
    *value = *value / nominal - 1;
  elongation.repeat_sd /= nominal;
  for (DirectionMean& direction : elongation.directions)
    direction.mean = direction.mean / nominal - 1;
  for (Budget* budget : {&elongation.budget, &elongation.budget_single}) {
    budget->u /= nominal;
    for (Contribution& term : budget->terms) term.u /= nominal;
  }
  return elongation;
}

Finding judged(const CheckInput& input, const EnginePlace& place, const Dimension& length) {
  std::optional<int> links;
  for (const auto& [entry, reading] : readings_at(input, Measurand::chain_length, place.path)) {
    if (!reading->links) continue;
    if (links && *links != *reading->links)
      return open_finding("", "", OpenBecause::implausible,
                          "lengths over different numbers of links are mixed",
                          {"enter them over one number of links"});
    links = reading->links;
  }
  const bool no_pitch = place.chain == nullptr || !place.chain->pitch;
  const auto own = limit_for(input, Measurand::chain_length, place);
  Finding finding;
  if (!links)
    return open_finding("", "", OpenBecause::not_measured, "over how many links?",
                        {"count the links between the pins measured"});
  if (no_pitch) {
    if (!own || own->kind != Kind::length)
      return open_finding("", "", OpenBecause::not_in_drive, "the pitch of the chain is not known",
                          {"enter the pitch in the drive: 8.00 mm, 9.525 mm ..."});
    decide_dimension(finding, length, *own);
    return finding;
  }
  const double pitch = place.chain->pitch->value.si();
  const Dimension elongation = as_elongation(length, *links, pitch);
  if (!length.impossible.empty())
    return open_finding("", "", OpenBecause::implausible, length.impossible.front().sentence,
                        {"measure again, pin to pin"});
  const bool shorter = elongation.mean < -3 * elongation.budget.u;
  if (shorter || elongation.mean > 0.05)
    return open_finding("", "", OpenBecause::implausible,
                        fmt::format("{} over {} links of {} would be {} {} than new: no wear does "
                                    "that; is the number of links right?",
                                    quantity_text(length.mean, *length.unit, length.decimals),
                                    *links, place.chain->pitch->text,
                                    quantity_text(std::abs(elongation.mean), *elongation.unit, 2),
                                    shorter ? "shorter" : "longer"),
                        {"count the links again, pin to pin"});
  const auto limit = elongation_limit(input, place, pitch, *links);
  if (!limit) {
    finding =
        open_finding("", "", OpenBecause::not_in_drive, "elongation known, but no limit is given",
                     {"enter the maker's limit in the drive"});
    finding.value =
        shown_value({elongation.mean, elongation.budget.u, elongation.budget.nu}, *elongation.unit);
    return finding;
  }
  decide_dimension(finding, elongation, *limit);
  finding.why += fmt::format(" ({} over {} links)",
                             quantity_text(length.mean, *length.unit, length.decimals), *links);
  return finding;
}

}  // namespace

std::vector<Finding> chain_elongation(const CheckInput& input) {
  std::vector<Finding> findings;
  const Measurand quantities[] = {Measurand::chain_length};
  for (const EnginePlace* place : touched_places(input, PlaceType::chain, quantities)) {
    const auto length = dimension_at(input, Measurand::chain_length, *place);
    if (!length) continue;
    Finding finding = judged(input, *place, *length);
    finding.check = kCheck;
    finding.subject = place->path;
    finding.evidence = length->evidence;
    finding.sources = {"elongation = length / (links x pitch) - 1"};
    if (finding.verdict == Verdict::fail)
      finding.follows.push_back("replace chain, sprockets, guides and tensioner as a set");
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace tautmark::checks
