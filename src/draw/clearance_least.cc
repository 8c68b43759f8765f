// SPDX-License-Identifier: Apache-2.0
// The least gap of a whole cycle beside a clearance map, row by row: the map seen from its side.
#include <algorithm>
#include <cmath>

#include "base/quantity_text.h"
#include "draw/clearance_parts.h"

namespace tautmark::draw {
namespace {

constexpr double kDeepest = 1.6;  // mm of contact that is shown

template <class Value>
Path curve(const MapSheet& sheet, const Scale& x, Value value) {
  Path path;
  bool is_drawing = false;
  for (const MapLeast& least : sheet.plot.least) {
    const std::optional<double> mm = value(least);
    const bool is_on = mm && *mm > x.from && *mm < x.to;
    if (is_on) {
      const XY at{x.at(*mm), sheet.y.at(least.up)};
      is_drawing ? path.line(at) : path.move(at);
    }
    is_drawing = is_on;
  }
  return path;
}

double gap_at(const std::vector<MapLeast>& least, double up) {
  const auto above =
      std::find_if(least.begin(), least.end(), [&](const MapLeast& one) { return one.up >= up; });
  if (above == least.end()) return least.back().gap;
  if (above == least.begin()) return above->gap;
  const MapLeast& below = *(above - 1);
  return below.gap + (up - below.up) / (above->up - below.up) * (above->gap - below.gap);
}

}  // namespace

void write_least(MapSheet& sheet) {
  double most = sheet.plot.wanted + 1;
  for (const MapLeast& least : sheet.plot.least) most = std::max(most, least.gap);
  const Scale x{-kDeepest, std::min(most, 40.0) + 1.7, kLeastLeft, kPlotRight};
  Svg& svg = sheet.svg;
  const double top = sheet.top(), high = sheet.height();
  svg.rect("contact", {x.at_from, top}, x.at(0) - x.at_from, high);
  const double short_to = x.at(sheet.plot.wanted + sheet.plot.uncertain);
  svg.rect("short", {x.at(0), top}, short_to - x.at(0), high);
  const double step = step_of(x.to, 5);
  for (const double tick : multiples(0, x.to - 0.5, step)) {
    svg.line("grid", {x.at(tick), top}, {x.at(tick), sheet.bottom()});
    svg.line("thin", {x.at(tick), sheet.bottom()}, {x.at(tick), sheet.bottom() + 4});
    svg.text("t", {x.at(tick), sheet.bottom() + 12}, kSmall, Anchor::middle,
             number_text(tick, decimals_of(step)));
  }
  for (const MapTick& tick : sheet.plot.up)
    svg.line(tick.words == "right" ? "thin" : "grid", {x.at_from, sheet.y.at(tick.at)},
             {x.at_to, sheet.y.at(tick.at)});
  svg.line("rim", {x.at(0), top}, {x.at(0), sheet.bottom()});
  const Path piston = curve(sheet, x, [](const MapLeast& one) { return std::optional(one.gap); });
  svg.path("casing", piston);
  svg.path("hidden", curve(sheet, x, [](const MapLeast& one) { return one.wall; }));
  svg.path("hidden", curve(sheet, x, [](const MapLeast& one) { return one.other; }));
  svg.path("thick", piston, Svg::attribute("data-least", "gap"));
  svg.rect("thin", {x.at_from, top}, x.at_to - x.at_from, high);
  for (const auto& [up, words] : sheet.plot.least_words) {
    const double gap = gap_at(sheet.plot.least, up);
    const XY at{x.at(std::clamp(gap, x.from + 0.4, x.to)), sheet.y.at(up)};
    sheet.words.circle(gap < 0 ? "plate" : "dot", at, 3);
    const double right = gap < 0 ? short_to : at.x;
    sheet.words.text("t b", {right + 8, at.y}, kSmall, Anchor::start, words);
  }
  svg.text("t b", {kLeastLeft, top - 26}, kSmall, Anchor::start, "least gap of a cycle");
  svg.text("t soft", {(x.at_from + x.at_to) / 2, sheet.bottom() + 28}, kSmall, Anchor::middle,
           "mm, phaser locked");
}

}  // namespace tautmark::draw
