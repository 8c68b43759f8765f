// SPDX-License-Identifier: Apache-2.0
#include "casework/case_fields.h"
#include "judge/against_fit.h"
#include "judge/checks/cap_state.h"
#include "judge/checks/checks.h"

namespace tautmark::checks {

std::optional<std::string> cap_problem(const CheckInput& input, const EnginePlace& place) {
  for (const auto& [entry, reading] : readings_at(input, Measurand::bore_diameter, place.path)) {
    if (reading->cap == CapState::torqued) continue;
    if (!reading->cap || reading->cap == CapState::unknown)
      return "was the cap in its own place at full torque? A bore is only a bore with its cap "
             "torqued";
    return std::string("the cap was ") + std::string(choice_name(*reading->cap)) +
           ": a bore is only a bore with its own cap at full torque";
  }
  return std::nullopt;
}

std::vector<Finding> bore_diameter(const CheckInput& input) {
  AgainstFit what;
  what.check = "bore-diameter";
  what.quantity = Measurand::bore_diameter;
  what.wear = +1;
  what.sources = {"JCGM 100:2008 (uncertainty)", "JCGM 106:2012 (decision)", "ISO 1 (20 °C)"};
  what.prepare = [](const CheckInput& in, const EnginePlace& place, Dimension&,
                    const LimitInUse&) -> std::optional<Finding> {
    const auto problem = cap_problem(in, place);
    if (!problem) return std::nullopt;
    return open_finding(
        "", "", OpenBecause::outside_model, *problem,
        {"fit the cap in its own place, tighten it as the maker says, measure again"});
  };
  what.finish = [](const CheckInput&, const EnginePlace&, const Dimension&, Finding& finding) {
    if (finding.verdict == Verdict::fail)
      finding.follows.push_back(
          "the bearing in the head is worn: head and caps are one part; repair only where the "
          "engine maker allows it");
  };
  return judged_against_fit(input, what);
}

}  // namespace tautmark::checks
