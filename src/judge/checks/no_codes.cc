// SPDX-License-Identifier: Apache-2.0
// That control units were read and held no code is an observation, and proves no part sound: a code
// names a check that ran and failed, and checks have thresholds of whole teeth. It stays open until
// crank and cam sensors were recorded; what they say needs no code beside it. Codes that are stored
// are evidence of persons: nothing reads them here.
//
// Source: common practice, after the definition of a stored code in SAE J2012 / ISO 15031-6 (a
// failed diagnostic check), from memory.
#include <fmt/format.h>

#include "base/text.h"
#include "judge/case_recordings.h"
#include "judge/checks/checks.h"
#include "judge/verdict.h"

namespace tautmark::checks {

std::vector<Finding> no_codes(const CheckInput& input) {
  const auto read = all_of_kind<Codes>(input.entries);
  // The last reading counts: what it held, or that it held nothing.
  if (read.empty() || read.back().body->none_stored != true) return {};
  const auto& [entry, codes] = read.back();
  const Entry* opened = opened_after(input, entry);
  for (const RecordingSeen& recording : *input.recordings)
    if (recording.problem.empty() && opened_after(input, recording.entry) == opened) return {};
  Finding finding = open_finding(
      "no-codes", joined(codes->read_from, ", "), OpenBecause::outside_model,
      fmt::format(
          "no code was stored{}: the checks that ran found nothing beyond their thresholds; "
          "a cam can be off by less, and a check that has not run since the codes were "
          "cleared stores nothing",
          codes->when ? ", read " + *codes->when : std::string()),
      {"record crank and cam sensors together, cranking and running"});
  finding.evidence = {entry->id};
  finding.follows = {"it speaks for no part and against none"};
  return {std::move(finding)};
}

}  // namespace tautmark::checks
