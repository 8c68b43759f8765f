// SPDX-License-Identifier: Apache-2.0
// The invented cylinder of geometry.md 7.2, for tests and benchmarks.
#pragma once

#include <memory>
#include <vector>

#include "clearance/gap.h"

namespace tautmark::clearance {

inline Slider note_slider() { return {mm(43), mm(143), mm(0.8)}; }

inline EngineValve note_intake(CrankAngle top = {}, Length wall = {}) {
  static const auto lobe = std::make_shared<const LiftCurve>(
      lift_curve(LawLobe{LiftLaw::polynomial_4567, mm(9.5), crank_deg(155), crank_deg(470)}));
  return {.name = "intake",
          .site = {.inclination = deg(20),
                   .gap_shut = mm(4.2),
                   .wall_height = wall,
                   .sides = PocketSides{mm(16.5), mm(18.3), mm(0.4), mm(0)}},
          .slider = note_slider(),
          .top = top,
          .lift = lobe};
}

inline EngineValve note_exhaust(CrankAngle top = {}, Length wall = {}) {
  static const auto lobe = std::make_shared<const LiftCurve>(
      lift_curve(LawLobe{LiftLaw::polynomial_4567, mm(9.0), crank_deg(152), crank_deg(250)}));
  return {.name = "exhaust",
          .site = {.inclination = deg(22),
                   .gap_shut = mm(3.9),
                   .wall_height = wall,
                   .sides = PocketSides{mm(14.0), mm(15.8), mm(0.3), mm(0)}},
          .slider = note_slider(),
          .top = top,
          .lift = lobe};
}

// Both valves of cylinders that fire at these crank angles.
inline std::vector<EngineValve> note_engine(const std::vector<double>& tops, Length wall = {}) {
  std::vector<EngineValve> valves;
  for (const double top : tops) {
    valves.push_back(note_intake(crank_deg(top), wall));
    valves.push_back(note_exhaust(crank_deg(top), wall));
  }
  return valves;
}

}  // namespace tautmark::clearance
