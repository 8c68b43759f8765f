// SPDX-License-Identifier: Apache-2.0
// One edge train (one channel, one polarity) before anything is known of its wheel: bad edges
// dropped, stalls cut, intervals counted in slots. Times in s, not decreasing.
// Source: signals.md sections 2 (second stage, stalls), 4a, 4b.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "recording/trains.h"

namespace tautmark {

// Middle value; of an even number of values the lower one, so that it is one of them. 0 of none.
double lower_median(std::vector<double> values);
// Median of the values within `reach` of each place, the place itself included or not.
std::vector<double> running_median(std::span<const double> values, std::size_t reach,
                                   bool with_itself);

std::vector<double> times_of(const SignalTrain& train, int polarity);
std::vector<double> intervals_of(std::span<const double> times);

// An edge that comes less than `fraction` of a slot after the last accepted one is rejected. A slot
// is the median of the last `memory` accepted intervals that were no gaps; after a pause of 20
// slots it is learned anew. Long memory suits many teeth; few teeth speed up within one memory.
struct SlotFilter {
  double fraction = 0.45;
  std::size_t memory = 10;
};
inline constexpr SlotFilter kFineFilter{0.45, 10};
inline constexpr SlotFilter kPathFilter{0.1, 10};  // the path search finds the rest
inline constexpr SlotFilter kFewToothFilter{0.3, 3};
std::vector<double> accepted_edges(std::span<const double> times, const SlotFilter& filter);

// Parts between stalls: an interval over 8 local medians ends a part. Parts with fewer than 4 edges
// are left out.
struct Part {
  std::size_t begin = 0, end = 0;  // edges [begin, end)
};
std::vector<Part> parts_between_stalls(std::span<const double> times);

// Slots that each interval spans, 1 or more: interval over the median slot around it, `reach` on
// either side. A near look follows the ripple of a cranked engine, a wide one bears extra edges.
std::vector<int> whole_slots(std::span<const double> intervals, std::size_t reach = 4);

// Median over i of |ρ_{i+P} - ρ_i|, ρ_i = ln(d_{i+1}/d_i): small when the pattern repeats after
// `lag` edges, whatever the speed does. Infinite when the train is too short.
double self_dissimilarity(std::span<const double> intervals, std::size_t lag);

}  // namespace tautmark
