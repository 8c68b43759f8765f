// SPDX-License-Identifier: Apache-2.0
// Lines of equal value through a field on a grid, by marching squares: straight between the nodes,
// a saddle decided by the mean of its corners. What is not finite counts as high.
#pragma once

#include <vector>

#include "draw/svg.h"

namespace tautmark::draw {

// Nodes in units of the sheet; values row after row, the first row at y[0].
struct Field {
  std::vector<double> x{}, y{};
  std::vector<double> values{};

  [[nodiscard]] double at(std::size_t column, std::size_t row) const {
    return values[row * x.size() + column];
  }
};

struct Contour {
  std::vector<XY> points{};
  bool closed = false;
};

// Where the field crosses the level. Lines end at the edge of the grid.
std::vector<Contour> contours(const Field& field, double level);
// All that is below the level, closed along the edge of the grid: to be filled by even and odd.
Path region_below(const Field& field, double level);
Path path_of(const std::vector<Contour>& lines);

}  // namespace tautmark::draw
