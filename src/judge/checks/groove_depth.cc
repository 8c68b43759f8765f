// SPDX-License-Identifier: Apache-2.0
#include "judge/against_fit.h"
#include "judge/checks/checks.h"

namespace tautmark::checks {

std::vector<Finding> groove_depth(const CheckInput& input) {
  AgainstFit what;
  what.check = "guide-groove";
  what.quantity = Measurand::groove_depth;
  what.finish = [](const CheckInput&, const EnginePlace&, const Dimension&, Finding& finding) {
    if (finding.verdict == Verdict::fail)
      finding.follows.push_back(
          "guides are replaced as a set with the chain; look for the missing plastic");
    if (finding.verdict == Verdict::pass)
      finding.next.push_back(
          "a crack or a missing end fails a guide whatever its groove: look, and enter what was "
          "seen");
  };
  return judged_against_fit(input, what);
}

}  // namespace tautmark::checks
