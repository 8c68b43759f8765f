// SPDX-License-Identifier: Apache-2.0
#include "judge/against_fit.h"

#include <fmt/format.h>

#include <set>

namespace tautmark {
namespace {

// "bank 2 / camshaft / journal 1" -> "bank 2 / camshaft": where siblings lie.
std::string parent_of(const EnginePlace& place) {
  const auto cut = place.path.rfind(" / ");
  const bool has_siblings = place.type == PlaceType::journal || place.type == PlaceType::guide ||
                            place.type == PlaceType::fastener;
  return has_siblings && cut != std::string::npos ? place.path.substr(0, cut) : place.path;
}

Finding not_measured(const AgainstFit& what, const EnginePlace& place) {
  const MeasurandInfo& info = measurand_info(what.quantity);
  return open_finding(std::string(what.check), place.path, OpenBecause::not_measured,
                      fmt::format("{} not measured here", info.name),
                      {fmt::format("measure: {}", info.how)});
}

}  // namespace

std::vector<const EnginePlace*> touched_places(const CheckInput& input, PlaceType type,
                                               std::span<const Measurand> quantities) {
  std::set<std::string> parents;
  for (const EnginePlace& place : input.places) {
    if (place.type != type) continue;
    for (const Measurand quantity : quantities)
      if (!readings_at(input, quantity, place.path).empty()) parents.insert(parent_of(place));
  }
  std::vector<const EnginePlace*> touched;
  for (const EnginePlace& place : input.places)
    if (place.type == type && parents.contains(parent_of(place))) touched.push_back(&place);
  return touched;
}

std::vector<Finding> judged_against_fit(const CheckInput& input, const AgainstFit& what) {
  std::vector<Finding> findings;
  const Measurand quantities[] = {what.quantity};
  for (const EnginePlace* place :
       touched_places(input, measurand_info(what.quantity).place, quantities)) {
    auto dimension = dimension_at(input, what.quantity, *place);
    const auto limit = limit_for(input, what.quantity, *place);
    Finding finding;
    if (!dimension) {
      finding = not_measured(what, *place);
    } else if (!limit) {
      finding = open_finding(
          std::string(what.check), place->path, OpenBecause::not_in_drive,
          fmt::format("{} measured, but no limit is given", measurand_info(what.quantity).name),
          {"enter the maker's limit in the drive, or with the reading"});
      finding.value = shown_value({dimension->mean, dimension->budget.u, dimension->budget.nu},
                                  *dimension->unit);
      finding.evidence = dimension->evidence;
      finding.budget = dimension->assumptions;
    } else {
      std::optional<Finding> refused;
      if (what.prepare) refused = what.prepare(input, *place, *dimension, *limit);
      if (refused) {
        finding = std::move(*refused);
        finding.evidence = dimension->evidence;
        finding.limit = shown_limit(*limit);
        if (!finding.value)
          finding.value = shown_value({dimension->mean, dimension->budget.u, dimension->budget.nu},
                                      *dimension->unit);
      } else {
        decide_dimension(finding, *dimension, *limit, what.wear);
      }
    }
    finding.check = what.check;
    finding.subject = place->path;
    finding.sources = what.sources;
    finding.cautions.insert(finding.cautions.end(), what.cautions.begin(), what.cautions.end());
    if (dimension && what.finish) what.finish(input, *place, *dimension, finding);
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace tautmark
