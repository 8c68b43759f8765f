// SPDX-License-Identifier: Apache-2.0
#include "judge/against_fit.h"
#include "judge/checks/checks.h"

namespace tautmark::checks {

std::vector<Finding> end_play(const CheckInput& input) {
  AgainstFit what;
  what.check = "end-play";
  what.quantity = Measurand::end_play;
  what.finish = [](const CheckInput&, const EnginePlace&, const Dimension&, Finding& finding) {
    if (finding.verdict == Verdict::fail)
      finding.follows.push_back(
          "look at the thrust face of camshaft and head; sensor gap, phaser seal and chain line "
          "depend on it");
  };
  return judged_against_fit(input, what);
}

}  // namespace tautmark::checks
