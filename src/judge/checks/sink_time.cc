// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <cmath>

#include "judge/against_fit.h"
#include "judge/checks/checks.h"

namespace tautmark::checks {
namespace {

template <class Q>
bool same(const Written<Q>& a, const Written<Q>& b) {
  return std::abs(a.value.si() - b.value.si()) <= 0.01 * std::abs(b.value.si());
}

// The limit holds for one way and one force only.
std::optional<Finding> other_conditions(const CheckInput& input, const EnginePlace& place) {
  const Fit* fit =
      input.drive != nullptr ? fit_for(input.drive->drive, Measurand::sink_time, place) : nullptr;
  if (fit == nullptr) return std::nullopt;
  for (const auto& [entry, reading] : readings_at(input, Measurand::sink_time, place.path)) {
    if ((fit->drop && !reading->drop) || (fit->force && !reading->force))
      return open_finding(
          "", "", OpenBecause::not_measured, "over which way and under which force was it timed?",
          {fmt::format("the limit is for {} under {}", fit->drop ? fit->drop->text : "?",
                       fit->force ? fit->force->text : "?")});
    if ((fit->drop && !same(*reading->drop, *fit->drop)) ||
        (fit->force && !same(*reading->force, *fit->force)))
      return open_finding(
          "", "", OpenBecause::outside_model,
          fmt::format("timed over {} under {}; the limit is for {} under {}",
                      reading->drop ? reading->drop->text : "?",
                      reading->force ? reading->force->text : "?",
                      fit->drop ? fit->drop->text : "?", fit->force ? fit->force->text : "?"),
          {"time it again as the limit says"});
  }
  return std::nullopt;
}

}  // namespace

std::vector<Finding> sink_time(const CheckInput& input) {
  AgainstFit what;
  what.check = "tensioner-sink-time";
  what.quantity = Measurand::sink_time;
  what.cautions = {
      "a tensioner is spring-loaded: pin it, face away, glasses on; never clamp the bare plunger"};
  what.prepare = [](const CheckInput& in, const EnginePlace& place, Dimension&, const LimitInUse&) {
    return other_conditions(in, place);
  };
  what.finish = [](const CheckInput&, const EnginePlace&, const Dimension&, Finding& finding) {
    if (finding.verdict == Verdict::fail)
      finding.follows.push_back(
          "check valve or bore leaks: replace the tensioner with the one of this bank; look at its "
          "feed and filter");
  };
  return judged_against_fit(input, what);
}

}  // namespace tautmark::checks
