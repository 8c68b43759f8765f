// SPDX-License-Identifier: Apache-2.0
#include "judge/conditions.h"

namespace tautmark {

int badness(const std::vector<ConditionCheck>& checks) {
  int worst = 0;
  for (const ConditionCheck& check : checks)
    worst += check.met == Met::yes ? 0 : check.met == Met::no ? 100 : 1;
  return worst;
}

void apply_conditions(Finding& finding, const std::vector<ConditionCheck>& checks,
                      const ConditionAdvice& advice) {
  std::string problems;
  OpenBecause because = OpenBecause::not_measured;
  for (const ConditionCheck& check : checks) {
    if (check.met == Met::yes) continue;
    problems += (problems.empty() ? "" : "; ") + check.words;
    if (check.met == Met::no) because = OpenBecause::outside_model;
    if (because != OpenBecause::not_measured) continue;
    if (check.met == Met::too_close) because = OpenBecause::too_close;
    if (check.met == Met::not_stated) because = OpenBecause::not_in_drive;
  }
  if (problems.empty()) return;
  finding.verdict = Verdict::open;
  finding.open_because = because;
  finding.why = fmt::format("{}: not comparable: {}", finding.value->shown, problems);
  switch (because) {
    case OpenBecause::outside_model:
      finding.next = {advice.again};
      break;
    case OpenBecause::too_close:
      finding.next = {"measure again with the oil clearly hotter, or with a better thermometer"};
      break;
    case OpenBecause::not_in_drive:
      finding.next = {"enter in the drive at which speed and oil temperature the limit holds"};
      break;
    default:
      finding.next = {advice.enter};
  }
}

}  // namespace tautmark
