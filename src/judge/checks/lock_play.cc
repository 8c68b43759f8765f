// SPDX-License-Identifier: Apache-2.0
// Play of a locked phaser: a length on the rim becomes a cam angle, play / radius.
#include <fmt/format.h>

#include "judge/against_fit.h"
#include "judge/checks/checks.h"

namespace tautmark::checks {
namespace {

void scale(Dimension& dimension, double factor, Kind kind) {
  dimension.kind = kind;
  dimension.unit = &default_unit(kind);
  dimension.mean *= factor;
  dimension.lowest *= factor;
  dimension.highest *= factor;
  dimension.repeat_sd *= factor;
  for (DirectionMean& direction : dimension.directions) direction.mean *= factor;
  for (Budget* budget : {&dimension.budget, &dimension.budget_single}) {
    budget->u *= factor;
    for (Contribution& term : budget->terms) term.u *= factor;
  }
}

}  // namespace

std::vector<Finding> lock_play(const CheckInput& input) {
  AgainstFit what;
  what.check = "phaser-lock-play";
  what.quantity = Measurand::lock_play;
  what.sources = {"play on the rim / radius = cam angle"};
  what.cautions = {"hold the camshaft at its flats; never against the chain or the lock pin"};
  what.prepare = [](const CheckInput& in, const EnginePlace& place, Dimension& dimension,
                    const LimitInUse& limit) -> std::optional<Finding> {
    for (const auto& [entry, state] : all_of_kind<EngineState>(in.entries))
      if (state->phaser == Locked::not_locked)
        return open_finding("", "", OpenBecause::outside_model,
                            "the phaser was entered as not locked (" + entry->id +
                                "): play is judged on a locked phaser",
                            {"lock it, check that it is locked, measure again"});
    if (!dimension.impossible.empty() || dimension.kind == limit.kind) return std::nullopt;
    if (dimension.kind != Kind::length)
      return open_finding("", "", OpenBecause::outside_model,
                          "the limit is a length on the rim, the reading an angle",
                          {"enter the play on the rim with its radius"});
    std::optional<double> radius;
    for (const auto& [entry, reading] : readings_at(in, Measurand::lock_play, place.path)) {
      if (!reading->radius) continue;
      if (radius && *radius != reading->radius->value.si())
        return open_finding("", "", OpenBecause::implausible, "two radii for one play",
                            {"read it again at one radius"});
      radius = reading->radius->value.si();
    }
    if (!radius)
      return open_finding("", "", OpenBecause::not_measured,
                          "the radius of the play on the rim is missing", {"enter the radius"});
    scale(dimension, 1 / *radius, Kind::cam_angle);
    dimension.assumptions.push_back("the radius is taken as exact");
    return std::nullopt;
  };
  what.finish = [](const CheckInput&, const EnginePlace&, const Dimension&, Finding& finding) {
    if (finding.verdict == Verdict::fail)
      finding.follows.push_back("lock pin or its bore is worn: the phaser is replaced");
    if (!finding.value || !finding.limit || !finding.limit->upper ||
        finding.verdict != Verdict::pass)
      return;
    const double share = finding.value->value / *finding.limit->upper;
    if (share > 0.8)
      finding.next.push_back(
          fmt::format("at {:.0f} % of the limit: replacing it while it is out is a decision of its "
                      "own, with name and reason",
                      100 * share));
  };
  return judged_against_fit(input, what);
}

}  // namespace tautmark::checks
