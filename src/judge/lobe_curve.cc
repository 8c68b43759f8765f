// SPDX-License-Identifier: Apache-2.0
#include "judge/lobe_curve.h"

#include <utility>
#include <vector>

namespace tautmark {
namespace {

clearance::LiftLaw law_of(CamLaw law) {
  switch (law) {
    case CamLaw::harmonic:
      return clearance::LiftLaw::harmonic;
    case CamLaw::cycloidal:
      return clearance::LiftLaw::cycloidal;
    case CamLaw::polynomial_345:
      return clearance::LiftLaw::polynomial_345;
    case CamLaw::polynomial_4567:
      break;
  }
  return clearance::LiftLaw::polynomial_4567;
}

}  // namespace

bool is_makers(const std::optional<SourceRef>& own, const std::optional<SourceRef>& whole) {
  const std::optional<SourceRef>& source = own ? own : whole;
  return source && source->origin == Origin::maker;
}

std::shared_ptr<const clearance::LiftCurve> lobe_curve(const Lobe& lobe, std::string& why) {
  const double ratio = lobe.ratio ? lobe.ratio->value.si() : 1;
  if (lobe.of == LiftOf::cam && !lobe.ratio) {
    why = "lobe: ratio of the rocker";
    return nullptr;
  }
  const Length lash = lobe.lash ? lobe.lash->value : Length{};
  if (!lobe.table.empty()) {
    std::vector<clearance::LiftSample> samples;
    for (const LiftPoint& point : lobe.table) samples.push_back({point.at.value, point.lift.value});
    auto curve = clearance::lift_curve(samples, ratio, lash);
    if (!curve) {
      why = "lobe: table: " + curve.error().why;
      return nullptr;
    }
    return std::make_shared<const clearance::LiftCurve>(std::move(*curve));
  }
  if (!lobe.law || !lobe.lift || !lobe.duration || !lobe.center) return nullptr;
  const CrankAngle half = lobe.duration->value / 2;
  if (half > crank_deg(360)) {
    why = "lobe: duration of no more than a cycle";
    return nullptr;
  }
  return std::make_shared<const clearance::LiftCurve>(clearance::lift_curve(
      clearance::LawLobe{law_of(*lobe.law), lobe.lift->value, half, lobe.center->value}, ratio,
      lash));
}

}  // namespace tautmark
