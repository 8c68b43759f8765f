// SPDX-License-Identifier: Apache-2.0
// The wheel of an edge train without being told: slots without an edge are correlated with
// themselves, the repeating patterns are scored by the path search (signals.md 4a', 4e).
#pragma once

#include <optional>
#include <span>

#include "recording/wheel.h"

namespace tautmark {

// A wheel with 8 slots or more and at least one gap: the shortest pattern that repeats, which for a
// wheel with equal gaps evenly spread is a part of a turn. None: too few edges, no gap, or no
// pattern that explains the train better than an even wheel with lost edges.
struct FoundPattern {
  SlotPattern pattern;
  double log_score = 0;      // per interval
  double turn_time = 0;      // s, median of one pattern
  double dissimilarity = 0;  // signals.md 4b at one pattern
};
std::optional<FoundPattern> find_gapped_pattern(std::span<const double> times);

}  // namespace tautmark
