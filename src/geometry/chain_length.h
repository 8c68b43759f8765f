// SPDX-License-Identifier: Apache-2.0
// Two sprockets and a chain: pitch diameter, links, center distance, and the ripple of the polygon.
//
//   d = p / sin(pi / N)                                             pitch diameter
//   X = 2 C + (N1 + N2)/2 + ((N2 - N1)/(2 pi))² / C                 handbook, X and C in pitches
//   C = (A + sqrt(A² - 8 ((N2 - N1)/(2 pi))²)) / 4, A = X - (N1 + N2)/2
//   X = 2 C cos a + N1 (pi - 2 a)/(2 pi) + N2 (pi + 2 a)/(2 pi), sin a = (r2 - r1)/C        exact
//   rise / p = (1 - cos(pi/N)) / (2 sin(pi/N))
//   speed, peak to peak over mean = (pi/N) (1/sin(pi/N) - 1/tan(pi/N)); over the most 1 - cos(pi/N)
//
// Sources: geometry.md 2.1, 2.3, 2.5. "Exact" is the taut path without guides on pitch circles. The
// handbook form is within 0.01 pitch above a center distance of 12 pitches at 20 and 40 teeth.
#pragma once

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark {

// Refuses teeth outside kFewestTeeth .. kMostTeeth and a pitch not above 0.
Result<Length> pitch_diameter(Length pitch, int teeth);

struct TwoSprockets {
  Length pitch{};
  int teeth = 0, other_teeth = 0;
};
struct ChainLength {
  double handbook = 0, exact = 0;  // pitches
};
// Refuses as above, and a center distance at which one sprocket lies inside the other.
Result<ChainLength> chain_length(const TwoSprockets& sprockets, Length center_distance);

struct CenterDistance {
  Length handbook{}, exact{};
};
// For a path of so many pitches (a whole number of links, or what is left of them when guides and
// tensioner take up the rest). Refuses as above, and a path too short to go around both, with the
// least number of pitches that does.
Result<CenterDistance> center_distance(const TwoSprockets& sprockets, double pitches);

struct ChordalAction {
  double rise = 0;             // in pitches
  double speed_over_mean = 0;  // peak to peak
  double speed_over_most = 0;
};
Result<ChordalAction> chordal_action(int teeth);

}  // namespace tautmark
