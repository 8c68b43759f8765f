// SPDX-License-Identifier: Apache-2.0
// How long the driving strand can be when no coordinates are known: from links, teeth and pitch.
//
// All sprockets lie inside the loop, sprocket 0 drives, the others follow in the direction of
// travel; T_j is the free path (strands, guides) from leaving sprocket j to entering sprocket 0, in
// pitches, as in phase.h.
//
//   n = X0 + t
//     X0  path straight from sprocket to sprocket     t  what guides and tensioner take up
//   two sprockets: X0 gives the center distance (chain_length.h), and with it the straight strand S
//   more: F = X0 - sum of engaged teeth, wraps adding to one turn; the strands between neighbors
//         are cut off F, the rest is shared by driving and slack strand
//   T lies in [S - N g / (2 pi), S + t]
//     g  turn of the guides on the driving strand     N  most teeth
//
// Two neighbors that do not overlap leave a strand of at least 2 sqrt(r_i r_j), the common tangent
// of two circles that touch.
//
// What is assumed cannot be told from counts; it is stated by the caller and said again in words.
// kUsualDrive is a common-practice guess of ours without a source, wide enough for the drives of
// the tests. A bound is only as good as that: it gives a range of crank degrees, never a pass.
// Sources: geometry.md 2.3, 2.4, 3.2, 3.3; wear and teeth 3.3 and 9.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark {

struct StrandAssumptions {
  Ratio taken_up{};    // of the links, at most, by guides and tensioner
  Angle guide_turn{};  // of the guides on the driving strand, at most; 0: it has none, or they only
                       // touch it
  Angle driving_wrap{};  // on sprocket 0, at least; more than two sprockets
  Ratio spread{};        // strand between neighbors: at most so many times the least one
  Ratio unequal{};       // straight driving strand over straight slack strand: 1 - this .. 1 + this
};
inline constexpr StrandAssumptions kUsualDrive{.taken_up = Ratio::from_si(0.015),
                                               .guide_turn = deg(20),
                                               .driving_wrap = deg(120),
                                               .spread = Ratio::from_si(1.6),
                                               .unequal = Ratio::from_si(0.1)};

struct LowHigh {
  double low = 0, high = 0;
};

struct StrandBoundsInputs {
  int links = 0;
  std::vector<int> teeth{};  // driving sprocket first, direction of travel
  StrandAssumptions assumed{};
};
struct StrandBounds {
  std::vector<LowHigh> free_pitches{};  // of each driven sprocket, in order
  std::string assumed{};                // one sentence
};
// Refuses: fewer than two sprockets, counts outside validity, assumptions not finite or negative,
// and links that do not go around the sprockets under what is assumed.
Result<StrandBounds> strand_bounds(const StrandBoundsInputs& in);

// What an elongation does to a driven sprocket, over the whole range.
//
//   change = -2 pi T e / (N_0 (1 + e))     crank radians; late
struct CrankRange {
  CrankAngle latest{}, earliest{};
};
Result<CrankRange> wear_range(const LowHigh& free_pitches, const LowHigh& elongation,
                              int driving_teeth);

// Is a measured displacement whole teeth and wear?
//
//   k = round((displacement - change) / tooth), tooth = 2 pi / N_0 of the crank
//
// `teeth` is said only when k is the same for every T, e and displacement in their ranges, and what
// is left over then can be nothing (its range holds 0). Else both are open.
struct WholeToothInputs {
  CrankAngle displacement{};  // positive: early
  CrankAngle uncertainty{};   // expanded
  CrankRange wear{};
  int driving_teeth = 0;
};
struct WholeTooth {
  std::optional<int> teeth{};  // positive: early
  int fewest = 0, most = 0;    // k over the range
  CrankRange left_over{};      // with the nearest k to the middle
};
Result<WholeTooth> whole_tooth(const WholeToothInputs& in);

}  // namespace tautmark
