// SPDX-License-Identifier: Apache-2.0
// A cam edge read off a screen, in crank degrees after the first crank tooth behind the gap. Only
// for quick/phase.cc.
//
//   times   360 k (edge - gap)/(next - gap), k = 1 when the next gap is one crank turn later, 2
//   when
//           it is one engine cycle later
//   teeth   360/N (spaces counted + fraction), N the wheel's even places, missing ones counted
//
//   u² = reading²/n, or scatter²/n where that is larger, + speed²
//     times   each cursor within one step of where it should be: rectangular; the three readings
//             of a cycle weigh √(1 + (1 - f)² + f²), f the edge's place between the gaps
//     teeth   fraction read to a tenth: rectangular
//     speed   the speed between the gaps is not seen: 57.3 r/(q √2), r = 0.25 and q = 2 at
//             250 1/min, r falling as 1/n² (signals.md section 5; ripple_uncertainty in
//             recording/angle.h); the same in every cycle. Teeth: none, the wheel carries it.
#pragma once

#include <string>
#include <vector>

#include "quick/heard.h"

namespace tautmark::quick {

struct ReadEdge {
  double angle = 0;  // mean, degrees in [0, modulus)
  double modulus = 720;
  double U = 0;      // expanded
  double tooth = 0;  // degrees that a miscount by one crank tooth makes; 0: nothing was counted
  int cycles = 1;
  std::vector<std::string> steps, assumed;
};
// The inputs gap, edge, next_gap, next and cursor.
Said<ReadEdge> edge_from_times(const Heard& heard);
// The inputs teeth, fraction and wheel.
Said<ReadEdge> edge_from_teeth(const Heard& heard);
// The inputs at and of.
Said<ReadEdge> edge_from_degrees(const Heard& heard);

// Even places of "36-1", "60-2", "24"; nothing where the text is no wheel.
std::optional<int> places_of_wheel(std::string_view text);

}  // namespace tautmark::quick
