// SPDX-License-Identifier: Apache-2.0
// Signs of an oil circuit, plain: a pump is a circle with its triangle, a hole two arcs that pinch
// the line, a clearance two near walls, a slot two blocks, a check valve a ball in its seat, a
// relief valve a spring on a square with an arrow.
#include <algorithm>
#include <cmath>

#include "draw/oil_circuit_parts.h"

namespace tautmark::draw {
namespace {

void write_pump(Svg& svg, XY at, double down) {
  svg.circle("symbol", at, kSymbolHalf);
  const double r = kSymbolHalf - 2;
  svg.path("flow-fill", Path()
                            .move(at + XY{0, down * r})
                            .line(at + XY{-9, down * (r - 13)})
                            .line(at + XY{9, down * (r - 13)})
                            .close());
}

void write_hole(Svg& svg, XY at) {
  constexpr double kHigh = 12, kWide = 13, kNear = 2.5;
  for (const double side : {-1.0, 1.0})
    svg.path("symbol",
             Path()
                 .move(at + XY{side * kWide, -kHigh})
                 .quad(at + XY{-side * (kNear * 2 - 3.5), 0}, at + XY{side * kWide, kHigh})
                 .close());
}

void write_clearance(Svg& svg, XY at, double gap_mm) {
  constexpr double kHigh = 15, kLeast = 3.2, kPerMm = 38, kMost = 8.5, kHatch = 6;
  const double near =
      std::clamp(kLeast + (std::isfinite(gap_mm) ? kPerMm * gap_mm : 0), kLeast, kMost);
  for (const double side : {-1.0, 1.0}) {
    const double x = at.x + side * near;
    for (double y = -kHigh + 3; y < kHigh; y += 6)
      svg.line("hatch", {x, at.y + y + 2}, {x + side * kHatch, at.y + y - 3});
    svg.line("wall", {x, at.y - kHigh}, {x, at.y + kHigh});
  }
}

void write_slot(Svg& svg, XY at) {
  constexpr double kHigh = 5, kFrom = 4, kWide = 12;
  for (const double left : {-kFrom - kWide, kFrom})
    svg.rect("ink", {at.x + left, at.y - kHigh}, kWide, 2 * kHigh);
}

void write_check(Svg& svg, XY at, double down) {
  constexpr double kBall = 6;
  svg.rect("paper bare", {at.x - kSymbolHalf + 2, at.y - kSymbolHalf}, 2 * kSymbolHalf - 4,
           2 * kSymbolHalf);
  svg.line("edge", at - XY{0, kSymbolHalf * down}, at - XY{0, down * (kBall + 2)});
  svg.path("edge", Path()
                       .move(at + XY{-12, down * 4})
                       .line(at + XY{0, -down * (kBall + 3)})
                       .line(at + XY{12, down * 4}));
  svg.circle("symbol", at + XY{0, down * 2}, kBall);
  svg.line("edge", at + XY{0, down * (kBall + 2)}, at + XY{0, kSymbolHalf * down});
}

void write_relief(Svg& svg, XY at, double down) {
  constexpr double kHalf = 11;
  svg.rect("symbol", at - XY{kHalf, kHalf}, 2 * kHalf, 2 * kHalf);
  const double x = at.x + 3;
  svg.line("edge", {x, at.y - down * 7}, {x, at.y + down * 4});
  svg.path("dot", Path()
                      .move({x, at.y + down * 9})
                      .line({x - 4, at.y + down * 2})
                      .line({x + 4, at.y + down * 2})
                      .close());
  const double left = at.x - kHalf;
  svg.path("edge", Path()
                       .move({left, at.y})
                       .line({left - 1.5, at.y - 5})
                       .line({left - 3.5, at.y + 5})
                       .line({left - 5.5, at.y - 5})
                       .line({left - 7.5, at.y + 5}));
}

// As of a filter in ISO 1219-1: a square on its tip, a broken line across the flow.
void write_screen(Svg& svg, XY at) {
  constexpr double kHalf = 13, kDash = 4;
  svg.path("symbol", Path()
                         .move(at + XY{0, -kHalf})
                         .line(at + XY{kHalf, 0})
                         .line(at + XY{0, kHalf})
                         .line(at + XY{-kHalf, 0})
                         .close());
  for (const double x : {-11.0, -2.0, 7.0}) svg.line("edge", at + XY{x, 0}, at + XY{x + kDash, 0});
}

}  // namespace

// Area of the line as the flow would make it too thin to see: its root.
double flow_width(double flow, double largest) {
  constexpr double kLeast = 1.6, kMost = 10;
  if (!std::isfinite(flow) || !(largest > 0)) return kLeast;
  return kLeast + (kMost - kLeast) * std::sqrt(std::min(std::abs(flow) / largest, 1.0));
}

void write_way_symbol(Svg& svg, DrawnWayKind kind, XY at, bool upward, double gap_mm) {
  const double down = upward ? -1 : 1;
  switch (kind) {
    case DrawnWayKind::pump:
      return write_pump(svg, at, down);
    case DrawnWayKind::relief:
      return write_relief(svg, at, down);
    case DrawnWayKind::check_valve:
      return write_check(svg, at, down);
    case DrawnWayKind::clearance:
      return write_clearance(svg, at, gap_mm);
    case DrawnWayKind::slot:
      return write_slot(svg, at);
    case DrawnWayKind::screen:
      return write_screen(svg, at);
    case DrawnWayKind::hole:
      return write_hole(svg, at);
  }
}

void write_tank(Svg& svg, XY top_middle) {
  constexpr double kHalf = 11, kDeep = 9;
  svg.path("edge", Path()
                       .move(top_middle + XY{-kHalf, 0})
                       .line(top_middle + XY{-kHalf, kDeep})
                       .line(top_middle + XY{kHalf, kDeep})
                       .line(top_middle + XY{kHalf, 0}));
}

void write_gauge(Svg& svg, XY center) {
  constexpr double kRadius = 8;
  svg.circle("symbol", center, kRadius);
  svg.line("edge", center + XY{-3, 4}, center + XY{4, -4});
}

}  // namespace tautmark::draw
