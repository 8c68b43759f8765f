// SPDX-License-Identifier: Apache-2.0
#include "draw/pressure_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "draw/oil_axes.h"
#include "draw/oil_style.h"
#include "draw/sheet.h"

namespace tautmark {
namespace {

using draw::Anchor;
using draw::Path;
using draw::Svg;

constexpr double kHeadline = 17, kWidestStep = 6;  // K

void write_limit(Svg& svg, const draw::ChartAxes& axes, const std::vector<LimitOverHeat>& limit) {
  for (std::size_t i = 1; i < limit.size(); ++i) {
    const LimitOverHeat &a = limit[i - 1], &b = limit[i];
    if (b.celsius - a.celsius > kWidestStep || a.kilopascals > axes.y.to ||
        b.kilopascals > axes.y.to)
      continue;
    svg.line(a.indicative || b.indicative ? "limit-line" : "limit-curve",
             axes.at(a.celsius, a.kilopascals), axes.at(b.celsius, b.kilopascals));
  }
}

std::string described(const PressureDrawing& drawing) {
  std::string out = fmt::format("Oil pressure at {} against oil temperature.", drawing.port);
  for (const ReadOverHeat& point : drawing.points)
    out += fmt::format(" {}: {:.0f} kPa at {:.0f} degrees.", point.label, point.kilopascals,
                       point.celsius);
  return out;
}

}  // namespace

std::string pressure_chart_svg(const PressureDrawing& drawing, const PlotOptions& options) {
  double y = draw::kFrame + 14 + (drawing.invented ? draw::kBannerHeight : 0);
  Svg svg;
  const auto line = [&](std::string_view classes, const std::string& words) {
    for (const std::string& one :
         draw::wrapped(words, (draw::kSheetWidth - 2 * draw::kInside) / kHeadline, true)) {
      svg.text(classes, {draw::kInside, y + 11}, kHeadline, Anchor::start, one);
      y += 22;
    }
  };
  line("t b", fmt::format("Oil pressure at {}, over oil temperature", drawing.port));
  if (drawing.limit.empty()) line("t b warn", "No limit that can be moved to another temperature.");
  if (drawing.points.empty()) line("t b warn", "Nothing read here with its oil temperature.");
  y += 8;
  double cold = 40, hot = 130, most = 100;
  for (const ReadOverHeat& point : drawing.points) {
    cold = std::min(cold, std::floor(point.celsius / 10) * 10);
    hot = std::max(hot, std::ceil(point.celsius / 10) * 10);
    most = std::max(most, 1.2 * (point.kilopascals + point.U));
  }
  // Cold oil takes the limit far up; what matters is where readings are.
  for (const LimitOverHeat& one : drawing.limit)
    if (one.celsius >= 70) most = std::max(most, 1.2 * one.kilopascals);
  draw::ChartAxes axes = draw::chart_axes(cold, hot, most, y);
  axes.x_words = "oil temperature, °C";
  axes.y_words = "pressure, kPa";
  draw::write_axes(svg, axes);
  write_limit(svg, axes, drawing.limit);
  for (const ReadOverHeat& point : drawing.points)
    draw::write_reading(svg, axes, {point.celsius, point.kilopascals}, {0, point.U},
                        point.is_beside_it,
                        fmt::format("{}: {:.0f} kPa", point.label, point.kilopascals));
  y = axes.y.at_from + draw::kChartAxes;
  std::vector<std::string> notes = {
      "Curve: the limit, as an engine would show it that just meets it at its own temperature. "
      "Below it is below the limit.",
      "Dashed: too far from it to be compared. Hollow: read at another speed or with another oil."};
  svg.open("g", "plain sheet-frame");
  const double height = draw::write_frame(
      svg,
      {.title = drawing.title,
       .rows = drawing.facts,
       .notes = std::move(notes),
       .caution = "A computed drawing: it corrects the temperature, not the place. A good pressure "
                  "at the gallery proves nothing about a journal.",
       .invented = drawing.invented,
       .scale_words = {}},
      y, y + 8);
  svg.close("g");
  return draw::document_head(
             {options.paper, options.width_px, height, {}, draw::oil_style(options.paper)},
             drawing.title + ", oil pressure", described(drawing), "pressure-chart-sheet") +
         svg.markup() + "</svg>\n";
}

}  // namespace tautmark
