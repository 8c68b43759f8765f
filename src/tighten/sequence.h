// SPDX-License-Identifier: Apache-2.0
// In which order the bolts of a part are tightened, and what one bolt takes from its neighbors.
//
// Common practice, no source: a circle in opposite pairs, each pair as far as possible from those
// before; rows of caps and covers in a spiral from the middle outward, sides in turn; loosening the
// other way round. The engine maker's order comes first: these are drawn only where the definition
// names the pattern and gives no order of its own.
#pragma once

#include <span>
#include <vector>

#include "base/diagnostic.h"

namespace tautmark::tighten {

// Numbers from 0. A circle counts round; rows count along the first, then along the second.
Result<std::vector<int>> circle_order(int bolts);      // 1 to 60
Result<std::vector<int>> two_row_order(int in_a_row);  // 1 to 40
std::vector<int> loosening_order(std::span<const int> tightening);

struct Place {
  double x = 0, y = 0;  // any unit
};
// For places in no pattern: by distance from their middle, and within a ring (10 % of the radius)
// the bolt farthest from the one before.
std::vector<int> order_of_places(std::span<const Place> places);

// Bolts in a row, each tightened to `target` times the share of the pass; tightening one by dF
// takes `neighbor` dF from each neighbor and `second` dF from the next. A wrench that is satisfied
// does not turn the bolt. Model of fasteners.md 6: it flatters a second pass, since real bolts must
// first be moved again.
struct Interaction {
  double neighbor = 0, second = 0;
};
std::vector<double> preloads_in_row(std::span<const int> order, std::span<const double> shares,
                                    const Interaction& interaction);

}  // namespace tautmark::tighten
