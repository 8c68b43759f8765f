// SPDX-License-Identifier: Apache-2.0
#include "draw/authority_curve.h"

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
using draw::XY;

constexpr double kHeadline = 17, kZoneWords = 13, kMostMargin = 6;

// Own judgement, as oil/phaser.h has them.
struct Zone {
  double from, to;
  std::string_view classes, words;
};
constexpr Zone kZones[] = {{0, 1, "zone0", "drifts to the stop"},
                           {1, 1.3, "zone1", "holds only"},
                           {1.3, 2, "zone2", "slow that way"},
                           {2, kMostMargin, "zone3", "comfortable"}};

// Between its neighbors on the curve; beyond it, none.
std::optional<double> margin_at(const AuthorityDrawing& drawing, double clearance) {
  for (std::size_t i = 1; i < drawing.points.size(); ++i) {
    const MarginAt &a = drawing.points[i - 1], &b = drawing.points[i];
    if (clearance < a.clearance || clearance > b.clearance) continue;
    return a.margin +
           (b.margin - a.margin) * (clearance - a.clearance) / (b.clearance - a.clearance);
  }
  return std::nullopt;
}

std::string described(const AuthorityDrawing& drawing) {
  std::string out =
      fmt::format("Margin of the phaser against the clearance of {}.", drawing.journal);
  if (drawing.measured)
    if (const auto margin = margin_at(drawing, *drawing.measured))
      out += fmt::format(" Measured {:.3f} mm: margin about {:.1f}.", *drawing.measured, *margin);
  return out;
}

void write_curve(Svg& svg, const draw::ChartAxes& axes, const AuthorityDrawing& drawing) {
  Path spread, curve;
  const auto at = [&](double clearance, double margin) {
    return axes.at(clearance, std::clamp(margin, 0.0, axes.y.to));
  };
  for (std::size_t i = 0; i < drawing.points.size(); ++i) {
    const MarginAt& point = drawing.points[i];
    const XY high = at(point.clearance, point.high), middle = at(point.clearance, point.margin);
    if (i == 0) {
      spread.move(high);
      curve.move(middle);
    } else {
      spread.line(high);
      curve.line(middle);
    }
  }
  for (std::size_t i = drawing.points.size(); i-- > 0;)
    spread.line(at(drawing.points[i].clearance, drawing.points[i].low));
  svg.path("spread", spread.close());
  svg.path("curve bare-fill", curve, " fill=\"none\"");
}

}  // namespace

std::string authority_curve_svg(const AuthorityDrawing& drawing, const PlotOptions& options) {
  double y = draw::kFrame + 14 + (drawing.invented ? draw::kBannerHeight : 0);
  Svg svg;
  const auto line = [&](std::string_view classes, const std::string& words) {
    for (const std::string& one :
         draw::wrapped(words, (draw::kSheetWidth - 2 * draw::kInside) / kHeadline, true)) {
      svg.text(classes, {draw::kInside, y + 11}, kHeadline, Anchor::start, one);
      y += 22;
    }
  };
  line("t b", fmt::format("Phaser: torque it has, by the torque it needs, over the clearance of {}",
                          drawing.journal));
  if (drawing.points.empty()) line("t b warn", "No curve: the network was not fitted to gauges.");
  y += 8;
  double widest = 0.12, highest = 3;
  for (const MarginAt& point : drawing.points) {
    widest = std::max(widest, point.clearance);
    highest = std::max(highest, std::min(point.high, kMostMargin));
  }
  if (drawing.measured) widest = std::max(widest, 1.05 * *drawing.measured);
  draw::ChartAxes axes = draw::chart_axes(0, widest, highest, y);
  axes.x_words = "clearance of the journal, cold, mm";
  axes.y_words = "torque by what it needs";
  for (const Zone& zone : kZones) {
    const double top = axes.y.at(std::min(zone.to, highest)), bottom = axes.y.at(zone.from);
    svg.rect(zone.classes, {axes.x.at_from, top}, axes.x.at_to - axes.x.at_from, bottom - top);
  }
  draw::write_axes(svg, axes);
  if (!drawing.points.empty()) write_curve(svg, axes, drawing);
  for (const Zone& zone : kZones)
    svg.text("t", {axes.x.at_to - 8, axes.y.at(std::min(zone.from + 0.14, highest - 0.1))},
             kZoneWords, Anchor::end, zone.words);
  if (drawing.most) {
    const double x = axes.x.at(*drawing.most);
    svg.line("limit-line", {x, axes.y.at_to}, {x, axes.y.at_from});
    svg.text("t b warn", {x + 6, axes.y.at_to + 14}, 13.5, Anchor::start,
             fmt::format("at most {:.3f} mm", *drawing.most));
  }
  if (drawing.measured)
    if (const auto margin = margin_at(drawing, *drawing.measured))
      draw::write_reading(svg, axes, {*drawing.measured, *margin}, {drawing.measured_U, 0}, true,
                          fmt::format("measured {:.3f} mm: {:.1f}", *drawing.measured, *margin));
  y = axes.y.at_from + draw::kChartAxes;
  svg.open("g", "plain sheet-frame");
  const double height = draw::write_frame(
      svg,
      {.title = drawing.title,
       .rows = drawing.facts,
       .notes = {"Band: 95 %, as fitted to the gauges that were read; all else as found."},
       .caution = "A computed drawing: it proves nothing about a phaser. The engine maker's data "
                  "come first.",
       .invented = drawing.invented,
       .scale_words = {}},
      y, y + 8);
  svg.close("g");
  return draw::document_head(
             {options.paper, options.width_px, height, {}, draw::oil_style(options.paper)},
             drawing.title + ", authority of the phaser", described(drawing),
             "authority-curve-sheet") +
         svg.markup() + "</svg>\n";
}

}  // namespace tautmark
