// SPDX-License-Identifier: Apache-2.0
// The edges of a cam channel sorted into their places in the cycle. Angles in crank degrees.
// A phaser moves all places together and slowly; a lost or an extra edge moves none.
// Source: signals.md sections 1 (classes), 6 (wrong edges).
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

namespace tautmark {

struct CamEdge {
  double time = 0;         // s
  double angle = 0;        // unwrapped crank angle
  std::size_t piece = 0;   // of the crank's knots
  int place = -1;          // class, 0 at the smallest angle; -1: wrong edge
  std::int64_t cycle = 0;  // whole cycles since the start of the angle
  double residual = 0;     // later than the place: positive
};

struct CamPlaces {
  std::vector<double> angles;  // per class, increasing, in [0, cycle)
  std::int64_t wrong = 0;      // edges over 20 degrees from any place, and second ones
};

// `per_cycle` edges repeat after `cycle` degrees within `tolerance` in the longest undisturbed run;
// their medians are the places, every edge gets the nearest. None: no run over two cycles.
std::optional<CamPlaces> sort_into_places(std::vector<CamEdge>& edges, int per_cycle, double cycle,
                                          double tolerance);

}  // namespace tautmark
