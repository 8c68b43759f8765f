// SPDX-License-Identifier: Apache-2.0
// A chain cut into the pieces that a person counts.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "draw/figure.h"

namespace tautmark::draw {

struct Segment {
  std::string name;
  std::size_t first = 0, length = 0;  // links of the row
  std::optional<int> count;           // as the definition says, from mark to mark
  bool from_mark = false;  // the link before the first is the mark that counting begins at
};

// Index of the wheel that each link lies on, or none (the number of wheels).
std::vector<std::size_t> wheels_under(const Figure& figure, const FigureChain& chain);

// From mark to mark, beginning at the mark before the first strand; without marks the free strands
// and what lies on the sprockets between them. The segments hold every link once.
std::vector<Segment> segments_of(const FigureChain& chain, const std::vector<std::size_t>& on,
                                 std::size_t no_wheel);

}  // namespace tautmark::draw
