// SPDX-License-Identifier: Apache-2.0
// A chart of two straight scales that is read at arm's length in sunlight: its axes, what of a line
// lies inside, a sign key under it, sentences over it, the sheet around it.
#pragma once

#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "draw/plot_axis.h"

namespace tautmark::draw {

inline constexpr double kChartLeft = 74, kChartHeight = 410, kChartWords = 15, kChartTick = 14;
inline constexpr double kChartBelow = 58;  // of the axis: ticks and words

struct ChartAxes {
  Scale x, y;
  [[nodiscard]] XY at(double across, double up) const { return {x.at(across), y.at(up)}; }
  [[nodiscard]] double top() const { return y.at_to; }
  [[nodiscard]] double bottom() const { return y.at_from; }
  [[nodiscard]] XY held(XY p) const;  // to the edges
};

// Points (values, finite, in order) as they lie on the sheet; what leaves it at the top or bottom
// runs along that edge.
std::vector<XY> inside(const ChartAxes& axes, const std::vector<XY>& line);

// Through points that lie on the sheet, lifted where they run along its upper edge. Names keep
// clear.
Path lifted(const ChartAxes& axes, const std::vector<XY>& on, Labels& labels);

// Ticks and words; without lines across where `own_ups` are the only ones wanted.
void write_axes(Svg& svg, const ChartAxes& axes, std::string_view across, std::string_view up,
                const std::vector<double>& own_ups = {});

struct ChartSign {
  std::function<void(Svg& svg, XY left)> write;  // 40 wide, from the middle of its left edge
  std::string words;
};
// In rows from `top` on. Returns the bottom.
double write_signs(Svg& svg, const std::vector<ChartSign>& signs, double top);

// Lines over a chart. Returns the bottom.
double write_sentence(Svg& svg, std::string_view classes, std::string_view words, double top);

struct ChartTexts {
  std::string title;
  bool invented = false;
  std::vector<std::pair<std::string, std::string>> facts{};
  std::vector<std::string> notes{};
  std::string caution;
  std::string kind;   // class of the root
  std::string about;  // the drawing in sentences
};
// The sheet around what was drawn, `bottom` its lower end.
std::string chart_document(Svg& svg, const ChartTexts& texts, double bottom,
                           const PlotOptions& options);

}  // namespace tautmark::draw
