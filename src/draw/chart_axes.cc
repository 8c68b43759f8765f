// SPDX-License-Identifier: Apache-2.0
#include "draw/chart_axes.h"

#include <algorithm>
#include <cmath>

#include "base/quantity_text.h"
#include "draw/oil_style.h"

namespace tautmark::draw {

XY ChartAxes::held(XY p) const {
  return {std::clamp(p.x, x.at_from, x.at_to), std::clamp(p.y, top(), bottom())};
}

std::vector<XY> inside(const ChartAxes& axes, const std::vector<XY>& line) {
  std::vector<XY> points;
  for (const XY value : line) {
    const XY to = axes.at(value.x, value.y);
    if (!points.empty()) {
      const XY from = points.back();
      for (const double edge : {axes.top(), axes.bottom()}) {
        const double share = (edge - from.y) / (to.y - from.y);
        if (share > 0 && share < 1) points.push_back(from + share * (to - from));
      }
    }
    points.push_back(to);
  }
  for (XY& point : points) point = axes.held(point);
  return points;
}

void write_axes(Svg& svg, const ChartAxes& axes, std::string_view across, std::string_view up,
                const std::vector<double>& own_ups) {
  constexpr double kDash = 6;
  constexpr int kMostAcross = 8, kMostUp = 7;
  const double step = step_of(axes.x.to - axes.x.from, kMostAcross);
  for (const double tick : multiples(axes.x.from, axes.x.to, step)) {
    const double x = axes.x.at(tick);
    svg.line("rule", {x, axes.top()}, {x, axes.bottom()});
    svg.line("medium", {x, axes.bottom()}, {x, axes.bottom() + kDash});
    svg.text("t", {x, axes.bottom() + kDash + 11}, kChartTick, Anchor::middle,
             number_text(tick, decimals_of(step)));
  }
  const double rise = step_of(axes.y.to - axes.y.from, kMostUp);
  std::vector<double> ups = own_ups;
  if (ups.empty()) ups = multiples(axes.y.from, axes.y.to, rise);
  double last = HUGE_VAL;
  for (const double tick : ups) {
    const double y = axes.y.at(tick);
    svg.line("rule", {axes.x.at_from, y}, {axes.x.at_to, y});
    svg.line("medium", {axes.x.at_from - kDash, y}, {axes.x.at_from, y});
    if (last - y < kChartTick) continue;
    last = y;
    const bool is_whole = tick == std::round(tick);
    svg.text("t", {axes.x.at_from - kDash - 4, y}, kChartTick, Anchor::end,
             number_text(tick, own_ups.empty() ? decimals_of(rise)
                               : is_whole      ? 0
                                               : 1));
  }
  svg.rect("medium", {axes.x.at_from, axes.top()}, axes.x.at_to - axes.x.at_from,
           axes.bottom() - axes.top());
  svg.text("t b", {kInside, axes.top() - 16}, kChartWords, Anchor::start, up);
  svg.text("t b", {axes.x.at_to, axes.bottom() + kDash + 34}, kChartWords, Anchor::end, across);
}

double write_signs(Svg& svg, const std::vector<ChartSign>& signs, double top) {
  constexpr double kRow = 27, kWide = 40, kBeside = 8, kApart = 24;
  XY at{kInside, top + kRow / 2};
  for (const ChartSign& sign : signs) {
    const double width = kWide + kBeside + text_width(sign.words) * kChartTick;
    if (at.x > kInside && at.x + width > kPlotRight) at = {kInside, at.y + kRow};
    sign.write(svg, at);
    svg.text("t", at + XY{kWide + kBeside, 0}, kChartTick, Anchor::start, sign.words);
    at.x += width + kApart;
  }
  return signs.empty() ? top : at.y + kRow / 2;
}

double write_sentence(Svg& svg, std::string_view classes, std::string_view words, double top) {
  constexpr double kSize = 17, kLine = 22;
  for (const std::string& line : wrapped(words, (kPlotRight - kInside) / kSize, true)) {
    svg.text(classes, {kInside, top + kLine / 2}, kSize, Anchor::start, line);
    top += kLine;
  }
  return top;
}

Path lifted(const ChartAxes& axes, const std::vector<XY>& on, Labels& labels) {
  Path curve;
  bool is_down = false;
  for (std::size_t i = 1; i < on.size(); ++i) {
    const bool is_out = on[i - 1].y <= axes.top() && on[i].y <= axes.top();
    if (!is_out) {
      if (!is_down) curve.move(on[i - 1]);
      curve.line(on[i]);
      labels.keep_clear_line(on[i - 1], on[i], 3);
    }
    is_down = !is_out;
  }
  return curve;
}

std::string chart_document(Svg& svg, const ChartTexts& texts, double bottom,
                           const PlotOptions& options) {
  constexpr double kNotesBelow = 14;
  const FrameTexts frame{.title = texts.title,
                         .rows = texts.facts,
                         .notes = texts.notes,
                         .caution = texts.caution,
                         .invented = texts.invented,
                         .scale_words = {}};
  svg.open("g", "plain sheet-frame");
  const double height = write_frame(svg, frame, bottom, bottom + kNotesBelow);
  svg.close("g");
  return document_head({options.paper, options.width_px, height, {}, oil_style(options.paper)},
                       texts.title, texts.about, texts.kind) +
         svg.markup() + "</svg>\n";
}

}  // namespace tautmark::draw
