// SPDX-License-Identifier: Apache-2.0
// Bolts that the maker lets go in again, against the free length and the smallest diameter that the
// definition gives: fasteners.md 4.4, trade.md 7, question 15. A bolt used once, or of which that
// is not said, is no place to measure at: no size lets it in again.
#include "judge/against_fit.h"
#include "judge/checks/checks.h"

namespace tautmark::checks {
namespace {

std::vector<Finding> bolt_size(const CheckInput& input, std::string_view check, Measurand quantity,
                               int wear) {
  AgainstFit what;
  what.check = check;
  what.quantity = quantity;
  what.wear = wear;
  what.cautions = {"looks prove nothing: a stretched bolt is nearer to fracture"};
  what.finish = [](const CheckInput&, const EnginePlace&, const Dimension&, Finding& finding) {
    if (finding.verdict == Verdict::fail)
      finding.follows.emplace_back("this bolt is not put in again: fit a new one");
    if (finding.verdict == Verdict::pass)
      finding.cautions.emplace_back(
          "length says little of a short bolt, and necking is local: look at shank and thread too");
  };
  return judged_against_fit(input, what);
}

}  // namespace

std::vector<Finding> bolt_length(const CheckInput& input) {
  return bolt_size(input, "bolt-length", Measurand::bolt_length, +1);
}

std::vector<Finding> bolt_diameter(const CheckInput& input) {
  return bolt_size(input, "bolt-diameter", Measurand::bolt_diameter, -1);
}

}  // namespace tautmark::checks
