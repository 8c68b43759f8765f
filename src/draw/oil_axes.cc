// SPDX-License-Identifier: Apache-2.0
#include "draw/oil_axes.h"

#include <algorithm>
#include <cmath>

#include "base/quantity_text.h"

namespace tautmark::draw {
namespace {

constexpr double kChartLeft = 84, kTick = 5, kNumbers = 13, kWords = 13.5, kLabel = 14.5;

}  // namespace

ChartAxes chart_axes(double x_from, double x_to, double y_to, double top) {
  return {{x_from, x_to, kChartLeft, kPlotRight}, {0, y_to, top + kChartHeight, top}, {}, {}};
}

void write_axes(Svg& svg, const ChartAxes& axes) {
  const double left = axes.x.at_from, right = axes.x.at_to, bottom = axes.y.at_from,
               top = axes.y.at_to;
  const double across = step_of(axes.x.to - axes.x.from, 10), up = step_of(axes.y.to, 8);
  for (const double value : multiples(axes.x.from, axes.x.to, across)) {
    const double x = axes.x.at(value);
    svg.line("rule", {x, top}, {x, bottom});
    svg.line("edge", {x, bottom}, {x, bottom + kTick});
    svg.text("t", {x, bottom + kTick + 11}, kNumbers, Anchor::middle,
             number_text(value, decimals_of(across)));
  }
  for (const double value : multiples(0, axes.y.to, up)) {
    const double y = axes.y.at(value);
    svg.line("rule", {left, y}, {right, y});
    svg.line("edge", {left - kTick, y}, {left, y});
    svg.text("t", {left - kTick - 4, y}, kNumbers, Anchor::end,
             number_text(value, decimals_of(up)));
  }
  svg.line("edge", {left, bottom}, {right, bottom});
  svg.line("edge", {left, top}, {left, bottom});
  svg.text("t", {(left + right) / 2, bottom + kTick + 34}, kWords, Anchor::middle, axes.x_words);
  svg.text("t", {kInside + 8, (top + bottom) / 2}, kWords, Anchor::middle, axes.y_words, -90);
}

void write_reading(Svg& svg, const ChartAxes& axes, XY values, XY U, bool filled,
                   const std::string& words) {
  constexpr double kRadius = 6.5, kCap = 6;
  const XY at = axes.at(values.x, values.y);
  const auto bar = [&](XY from, XY to, XY cap) {
    svg.line("edge bar", from, to);
    for (const XY end : {from, to}) svg.line("edge bar", end - cap, end + cap);
  };
  const double low = std::max(values.y - U.y, 0.0);
  if (U.y > 0)
    bar(axes.at(values.x, low), axes.at(values.x, std::min(values.y + U.y, axes.y.to)), {kCap, 0});
  if (U.x > 0)
    bar(axes.at(std::max(values.x - U.x, axes.x.from), values.y),
        axes.at(std::min(values.x + U.x, axes.x.to), values.y), {0, kCap});
  svg.circle(filled ? "low-fill" : "edge spot", at, kRadius);
  // Beside it, on the side that has more room; above the bar.
  const double width = text_width(words, true) * kLabel;
  const bool is_right = at.x + 14 + width < axes.x.at_to;
  svg.text("t b", {at.x + (is_right ? 14 : -14), std::max(at.y - 18, axes.y.at_to + 10)}, kLabel,
           is_right ? Anchor::start : Anchor::end, words);
}

}  // namespace tautmark::draw
