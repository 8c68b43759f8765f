// SPDX-License-Identifier: Apache-2.0
#include "clearance/adjustable_sprocket.h"

#include <cmath>
#include <numeric>

namespace tautmark::clearance {
namespace {

constexpr int kFewestHoles = 2, kMostHoles = 400;

Result<void> check_phase(CrankAngle early) {
  if (!(std::abs(in_crank_deg(early)) <= 720))
    return refuse("the phase to correct must lie within a cycle");
  return {};
}

// A whole turn of the hub is no turn.
double within_half_a_turn(double cam_degrees) { return std::remainder(cam_degrees, 360.0); }

CrankAngle left_after(CrankAngle early, CamAngle turn) {
  return crank_deg(2 * within_half_a_turn(in_cam_deg(to_cam(early)) + in_cam_deg(turn)));
}

}  // namespace

CamAngle turn_to_correct(CrankAngle early) { return -to_cam(early); }

Result<VernierSetting> vernier_setting(CrankAngle early, int hub_holes, int sprocket_holes) {
  if (const auto fine = check_phase(early); !fine) return tl::make_unexpected(fine.error());
  for (const int holes : {hub_holes, sprocket_holes})
    if (holes < kFewestHoles || holes > kMostHoles)
      return refuse("hub and sprocket each have 2 holes or more, 400 at most");
  // All in whole steps of 360/lcm, so that equals are equal.
  const int steps = std::lcm(hub_holes, sprocket_holes);
  const int hub_steps = steps / hub_holes, sprocket_steps = steps / sprocket_holes;
  const double step = 360.0 / steps;
  const auto wanted = std::lround(within_half_a_turn(in_cam_deg(turn_to_correct(early))) / step);
  VernierSetting out{.smallest_step = cam_deg(step)};
  int fewest = steps;
  for (int i = -(hub_holes - 1) / 2; i <= hub_holes / 2; ++i)
    for (int j = -(sprocket_holes - 1) / 2; j <= sprocket_holes / 2; ++j) {
      const int moved = std::abs(i) + std::abs(j);
      if (moved >= fewest || (j * sprocket_steps - i * hub_steps - wanted) % steps != 0) continue;
      fewest = moved;
      out.hub_holes_on = i;
      out.sprocket_holes_on = j;
    }
  out.turn = cam_deg(within_half_a_turn(static_cast<double>(wanted) * step));
  out.left_early = left_after(early, out.turn);
  return out;
}

Result<OffsetSetting> offset_setting(CrankAngle early, const std::vector<CamAngle>& offsets) {
  if (const auto fine = check_phase(early); !fine) return tl::make_unexpected(fine.error());
  OffsetSetting out{.left_early = left_after(early, {})};
  for (const CamAngle offset : offsets) {
    if (!(offset.si() >= 0) || !std::isfinite(offset.si()))
      return refuse("an offset is given as its size: each can be fitted either way round");
    for (const CamAngle turn : {offset, -offset}) {
      const CrankAngle left = left_after(early, turn);
      if (std::abs(left.si()) < std::abs(out.left_early.si())) out = {turn, left};
    }
  }
  return out;
}

}  // namespace tautmark::clearance
