// SPDX-License-Identifier: Apache-2.0
#include "judge/phaser_slew.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "judge/phaser_oil.h"

namespace tautmark {
namespace {

constexpr double kPart = 0.6;       // of a step, between the crossings
constexpr double kDischarge = 0.7;  // of a hole that states none
constexpr double kDensityU = 0.01;

oil::StepComparison compared(double crank_degrees, double step, double cycle) {
  oil::StepComparison out;
  const double lasts = kPart * step / crank_degrees;
  const double share = cycle / lasts;
  out.seen = to_cam(crank_deg(crank_degrees));
  out.seen_U = out.seen * share;
  out.predicted = to_cam(crank_deg(kLeastSlew));
  out.ratio = out.seen / out.predicted;
  out.ratio_U = share;
  const double apart = std::log(*out.ratio);
  out.speed = apart + share < 0   ? oil::StepSpeed::slower
              : apart - share > 0 ? oil::StepSpeed::faster
                                  : oil::StepSpeed::not_told_apart;
  return out;
}

}  // namespace

std::optional<oil::StepComparison> slew_seen(std::span<const CommandResponse> responses,
                                             oil::Travel travel, double per_minute) {
  if (!(per_minute > 0)) return std::nullopt;
  const double cycle = 120 / per_minute;
  std::vector<oil::StepComparison> moved;
  std::size_t stuck = 0;
  for (const CommandResponse& one : responses) {
    const double step = one.step.to - one.step.from;
    if ((step > 0) != (travel == oil::Travel::advance) ||
        std::abs(step) < in_crank_deg(to_crank(oil::kLeastStep)))
      continue;
    if (is_stuck(one))
      ++stuck;
    else if (one.response && one.response->slew && *one.response->slew * step > 0)
      moved.push_back(compared(std::abs(*one.response->slew), std::abs(step), cycle));
  }
  if (stuck > moved.size()) {
    oil::StepComparison none;
    none.speed = oil::StepSpeed::stuck;
    return none;
  }
  if (moved.empty()) return std::nullopt;
  std::sort(moved.begin(), moved.end(),
            [](const auto& a, const auto& b) { return a.seen < b.seen; });
  return moved[moved.size() / 2];
}

Result<oil::Slew> advance_at_most(const Phaser& phaser, const OilElement& edge,
                                  const oil::Estimated<Pressure>& head, Density oil) {
  if (edge.kind != OilElementKind::hole || !edge.diameter) return refuse("no edge of the valve");
  const auto displacement = displacement_of(phaser);
  if (!displacement) return tl::make_unexpected(displacement.error());
  const auto load = load_of(phaser);
  if (!load) return tl::make_unexpected(load.error());
  const double d = edge.diameter->value.si();
  const double open = 1 - (edge.blocked ? edge.blocked->value.si() : 0);
  const double area = (edge.coefficient ? edge.coefficient->value.si() : kDischarge) *
                      edge.count.value_or(1) * open * std::numbers::pi * d * d / 4;
  const double area_U = edge.uncertainty ? std::log1p(edge.uncertainty->value.si()) : 0;
  const Torque needed = oil::needed_torque(*load, oil::Travel::advance);
  const double needed_U = needed.si() == 0 ? 0 : std::abs(oil::needed_U(*load).si() / needed.si());
  return oil::two_edge_slew(
      {head, {area, area_U}, {oil, kDensityU}, {*displacement, kVanesU}, {needed, needed_U}});
}

}  // namespace tautmark
