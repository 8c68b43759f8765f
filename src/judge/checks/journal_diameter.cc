// SPDX-License-Identifier: Apache-2.0
#include "judge/against_fit.h"
#include "judge/checks/checks.h"

namespace tautmark::checks {

std::vector<Finding> journal_diameter(const CheckInput& input) {
  AgainstFit what;
  what.check = "journal-diameter";
  what.quantity = Measurand::journal_diameter;
  what.wear = -1;
  what.sources = {"JCGM 100:2008 (uncertainty)", "JCGM 106:2012 (decision)", "ISO 1 (20 °C)"};
  what.finish = [](const CheckInput&, const EnginePlace&, const Dimension&, Finding& finding) {
    if (finding.verdict == Verdict::fail)
      finding.follows.push_back(
          "the camshaft is worn here: compute the clearance with a new camshaft before ordering");
  };
  return judged_against_fit(input, what);
}

}  // namespace tautmark::checks
