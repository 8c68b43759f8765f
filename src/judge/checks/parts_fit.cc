// SPDX-License-Identifier: Apache-2.0
// What does not go together among parts, sets and boxes. It never passes: that nothing was found
// wrong with what was entered proves no part right.
#include "judge/checks/checks.h"
#include "judge/verdict.h"
#include "parts/conflicts.h"

namespace tautmark::checks {

std::vector<Finding> parts_fit(const CheckInput& input) {
  if (input.drive == nullptr) return {};
  std::vector<Finding> findings;
  for (parts::Conflict& conflict : parts::conflicts(input.drive->drive, *input.value)) {
    Finding finding = open_finding("parts", std::move(conflict.subject), OpenBecause::not_measured,
                                   std::move(conflict.why), {std::move(conflict.next)});
    if (conflict.is_proven) {
      finding.verdict = Verdict::fail;
      finding.open_because.reset();
      finding.follows = std::move(finding.next);
      finding.next.clear();
    }
    finding.evidence = std::move(conflict.entries);
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace tautmark::checks
