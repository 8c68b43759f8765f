// SPDX-License-Identifier: Apache-2.0
// Which slot of a known wheel every edge of a noisy train is: a path search that knows lost edges,
// extra edges and wrong intervals (signals.md 4e). The path's slots count on from turn to turn.
// Cost: edges × slots × 18; memory is bounded, the train is searched in blocks.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "recording/wheel.h"

namespace tautmark {

struct PathEdge {
  std::int64_t slot = 0;    // since the wheel zero before the first edge
  std::uint32_t edge = 0;   // index into the times
  bool after_jump = false;  // the place was lost before it: the number of turns may be wrong
};
struct SlotPath {
  std::vector<PathEdge> edges;
  double log_score = 0;  // per interval, natural logarithm
  std::int64_t missed = 0, extra = 0, jumps = 0;
};
// The path of a train of two turns or more in which every interval is clearly that of the pattern,
// nothing lost and nothing extra, and only one start fits; no search is needed then.
std::optional<SlotPath> find_clean_path(std::span<const double> times, const SlotPattern& pattern);
SlotPath find_slot_path(std::span<const double> times, const SlotPattern& pattern);

}  // namespace tautmark
