// SPDX-License-Identifier: Apache-2.0
// Out-of-round and taper of journals, from the diameters that are there anyway.
#include <fmt/format.h>

#include <map>

#include "judge/against_fit.h"
#include "judge/checks/checks.h"

namespace tautmark::checks {
namespace {

// A difference of two directions of one journal: what is common to both cancels, scatter does not.
std::vector<Finding> form(const CheckInput& input, std::string_view check, Measurand quantity,
                          bool by_section) {
  std::vector<Finding> findings;
  const Measurand quantities[] = {Measurand::journal_diameter};
  for (const EnginePlace* place : touched_places(input, PlaceType::journal, quantities)) {
    const auto limit = limit_for(input, quantity, *place);
    if (!limit) continue;  // form is judged only where the definition limits it
    Finding finding;
    const auto dimension = dimension_at(input, Measurand::journal_diameter, *place);
    std::map<std::string, std::vector<double>> sections;
    if (dimension)
      for (const auto& [entry, reading] :
           readings_at(input, Measurand::journal_diameter, place->path))
        if (reading->values)
          for (const AnyQuantity& value : reading->values->value.values)
            sections[by_section ? reading->section.value_or("") : reading->direction.value_or("")]
                .push_back(value.si);
    if (dimension && !dimension->impossible.empty()) {
      finding =
          open_finding("", "", OpenBecause::implausible, dimension->impossible.front().sentence,
                       {"read it again, and enter a correction"});
      finding.evidence = dimension->evidence;
      finding.limit = shown_limit(*limit);
    } else if (!dimension || sections.size() < 2) {
      finding = open_finding("", "", OpenBecause::not_measured,
                             by_section ? "taper needs diameters at two sections along the journal"
                                        : "out-of-round needs diameters in two directions or more",
                             {fmt::format("measure: {}", measurand_info(quantity).how)});
      finding.limit = shown_limit(*limit);
    } else {
      double lowest = HUGE_VAL, highest = -HUGE_VAL;
      for (const auto& [name, values] : sections) {
        double sum = 0;
        for (const double value : values) sum += value;
        const double mean = sum / static_cast<double>(values.size());
        lowest = std::min(lowest, mean);
        highest = std::max(highest, mean);
      }
      double u = 0;
      for (const Contribution& term : dimension->budget_single.terms)
        if (term.name == "repeat" || term.name == "resolution") u += 2 * term.u * term.u;
      // The gauge's own error is the same in both directions but for its drift: a third is kept.
      for (const Contribution& term : dimension->budget_single.terms)
        if (term.name == "calibration") u += 2 * term.u * term.u / 9;
      finding.evidence = dimension->evidence;
      decide_finding(finding,
                     {{highest - lowest, std::sqrt(u)}, dimension->repeat_sd, dimension->n},
                     std::nullopt, *limit);
      if (!by_section && sections.size() == 2)
        finding.next.push_back(
            "two directions can miss all of an oval that lies between them: four directions show "
            "at least 70 %");
      if (!by_section && sections.size() == 2 && finding.verdict == Verdict::pass) {
        finding.verdict = Verdict::open;
        finding.open_because = OpenBecause::not_measured;
        finding.why += "; two directions cannot prove roundness";
      }
    }
    finding.check = check;
    finding.subject = place->path;
    finding.sources = {by_section ? "difference of diameters"
                                  : "difference convention, largest minus smallest diameter; "
                                    "odd lobes are invisible to two-point gauges (ISO 4292)"};
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace

std::vector<Finding> journal_out_of_round(const CheckInput& input) {
  return form(input, "journal-out-of-round", Measurand::journal_out_of_round, false);
}

std::vector<Finding> journal_taper(const CheckInput& input) {
  return form(input, "journal-taper", Measurand::journal_taper, true);
}

}  // namespace tautmark::checks
