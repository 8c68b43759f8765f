// SPDX-License-Identifier: Apache-2.0
// Two straight scales with grid and numbers, for the charts of the oil.
#pragma once

#include <string>

#include "draw/plot_axis.h"
#include "draw/svg.h"

namespace tautmark::draw {

inline constexpr double kChartHeight = 380, kChartAxes = 58;  // below it: numbers and words

struct ChartAxes {
  Scale x{}, y{};  // y.at_from is the bottom
  std::string x_words{}, y_words{};
  [[nodiscard]] XY at(double across, double up) const { return {x.at(across), y.at(up)}; }
};
// From `top` down, over the width of the sheet.
ChartAxes chart_axes(double x_from, double x_to, double y_to, double top);
void write_axes(Svg& svg, const ChartAxes& axes);

// A number with a bar either way, and its words beside it where there is room.
void write_reading(Svg& svg, const ChartAxes& axes, XY values, XY U, bool filled,
                   const std::string& words);

}  // namespace tautmark::draw
