// SPDX-License-Identifier: Apache-2.0
#include "draw/trace_plot.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "base/quantity_text.h"
#include "draw/plot_axis.h"

namespace tautmark {
namespace {

using draw::Anchor;
using draw::Scale;
using draw::Svg;
using draw::XY;

constexpr double kHeight = 380, kAxis = 40;
constexpr std::string_view kCaution =
    "Drawn from the recorded trace; it approves no joint. The engine maker's data come first.";

struct Axes {
  Scale x, y;
  double top = 0, bottom = 0;
  [[nodiscard]] XY at(double angle, double torque) const {
    return {std::clamp(x.at(angle), x.at_from, x.at_to), std::clamp(y.at(torque), top, bottom)};
  }
  [[nodiscard]] XY at(const tighten::TraceSpot& spot) const {
    return at(in_deg(spot.angle), spot.torque.si());
  }
};

bool is_drawable(const tighten::TracePoint& p) {
  return std::isfinite(p.angle.si()) && std::isfinite(p.torque.si());
}

Axes axes_of(const TracePlot& plot, double top) {
  double from = HUGE_VAL, to = -HUGE_VAL, most = 1e-3;
  for (const auto& point : plot.trace.points) {
    if (!is_drawable(point)) continue;
    from = std::min(from, in_deg(point.angle));
    to = std::max(to, in_deg(point.angle));
    most = std::max(most, point.torque.si());
  }
  if (plot.target) most = std::max(most, plot.target->si());
  if (!(to > from)) from = 0, to = 1;
  constexpr double kRoom = 1.12;
  const double room = 0.03 * (to - from);
  return {{from - room, to + room, draw::kPlotLeft, draw::kPlotRight},
          {0, most * kRoom, top + kHeight, top},
          top,
          top + kHeight};
}

void write_scales(Svg& svg, const Axes& axes) {
  constexpr double kDash = 4;
  const double across = draw::step_of(axes.x.to - axes.x.from, 12);
  for (const double tick : draw::multiples(axes.x.from, axes.x.to, across)) {
    const double x = axes.x.at(tick);
    svg.line("grid", {x, axes.top}, {x, axes.bottom});
    svg.line("thin", {x, axes.bottom}, {x, axes.bottom + kDash});
    svg.text("t", {x, axes.bottom + kDash + 9}, draw::kSmall, Anchor::middle,
             number_text(std::abs(tick) < across / 2 ? 0 : tick, draw::decimals_of(across)) + "°");
  }
  const double up = draw::step_of(axes.y.to, 10);
  for (const double tick : draw::multiples(0, axes.y.to, up)) {
    const double y = axes.y.at(tick);
    if (tick > 0) svg.line("grid", {draw::kPlotLeft, y}, {draw::kPlotRight, y});
    svg.line("thin", {draw::kPlotLeft - kDash, y}, {draw::kPlotLeft, y});
    svg.text("t", {draw::kPlotLeft - kDash - 3, y}, draw::kSmall, Anchor::end,
             number_text(tick, draw::decimals_of(up)));
  }
  svg.text("t b", {draw::kInside, axes.top + 4}, draw::kText, Anchor::start, "torque, N·m");
  svg.text("t soft", {draw::kInside, axes.bottom + kDash + 9}, draw::kSmall, Anchor::start,
           "angle of the record");
}

// Between the two slopes, from the origin to where the steeper one leaves the sheet.
void write_band(Svg& svg, const TracePlot& plot, const Axes& axes) {
  if (!plot.band || !plot.result.origin || !(plot.band->low.si() > 0)) return;
  const double origin = in_deg(*plot.result.origin);
  const double from = plot.result.prevailing.value_or(Torque{}).si();
  const double low = plot.band->low.si(), high = plot.band->high.si();
  const double room = axes.y.to - from, right = axes.x.to - origin;
  if (!(room > 0) || !(right > 0)) return;
  const double steep = std::min(room / high, right), flat = std::min(room / low, right);
  draw::Path path;
  path.move(axes.at(origin, from)).line(axes.at(origin + steep, from + high * steep));
  if (steep < right && flat >= right) path.line(axes.at(axes.x.to, axes.y.to));
  path.line(axes.at(origin + flat, from + low * flat)).close();
  svg.path("shade gap", path);
}

// Lifts of the pen where a ratchet goes back; many points are drawn as columns.
void write_points(Svg& svg, const TracePlot& plot, const Axes& axes) {
  constexpr std::size_t kFew = 400;
  constexpr double kColumn = 1.2, kRadius = 1.3;
  if (plot.trace.points.size() <= kFew) {
    for (const auto& point : plot.trace.points)
      if (is_drawable(point)) svg.circle("pale-dot", axes.at({point.angle, point.torque}), kRadius);
    return;
  }
  std::map<long, std::pair<double, double>> columns;
  for (const auto& point : plot.trace.points) {
    if (!is_drawable(point)) continue;
    const XY at = axes.at({point.angle, point.torque});
    const auto [column, is_new] = columns.try_emplace(std::lround(at.x / kColumn), at.y, at.y);
    auto& [least, most] = column->second;
    least = std::min(least, at.y);
    most = std::max(most, at.y);
  }
  draw::Path path;
  for (const auto& [column, range] : columns) {
    const double x = static_cast<double>(column) * kColumn;
    path.move({x, range.first}).line({x, range.second + 0.3});
  }
  svg.path("band-pale", path);
}

void write_curve(Svg& svg, const TracePlot& plot, const Axes& axes) {
  draw::Path path;
  double last = -HUGE_VAL;
  for (const tighten::TraceSpot& spot : plot.result.curve) {
    const XY at = axes.at(spot);
    if (last > -HUGE_VAL && std::abs(at.x - last) < 0.4) continue;
    last > -HUGE_VAL ? path.line(at) : path.move(at);
    last = at.x;
  }
  svg.path("medium", path);
  if (!plot.result.line_low || !plot.result.line_high) return;
  svg.line("accent medium", axes.at(*plot.result.line_low), axes.at(*plot.result.line_high));
  if (plot.result.origin)
    svg.line("accent thin behind",
             axes.at({*plot.result.origin, plot.result.prevailing.value_or(Torque{})}),
             axes.at(*plot.result.line_low));
}

void write_level(Svg& svg, const Axes& axes, const std::optional<Torque>& torque,
                 std::string_view words) {
  if (!torque) return;
  const double y = axes.y.at(torque->si());
  svg.line("thin behind", {draw::kPlotLeft, y}, {draw::kPlotRight, y});
  svg.text("t soft", {draw::kPlotLeft + 6, y - 8}, draw::kSmall, Anchor::start,
           std::string(words) + " " + number_text(torque->si(), 1) + " N·m");
}

struct Box {
  double left = 0, right = 0, top = 0, bottom = 0;
  [[nodiscard]] bool holds(XY p) const {
    return p.x > left && p.x < right && p.y > top && p.y < bottom;
  }
  [[nodiscard]] bool meets(const Box& b) const {
    return left < b.right && right > b.left && top < b.bottom && bottom > b.top;
  }
};

// Points on the curve, at least one to every few units of the sheet.
std::vector<XY> inked(const TracePlot& plot, const Axes& axes) {
  constexpr double kApart = 3;
  std::vector<XY> points;
  for (const tighten::TraceSpot& spot : plot.result.curve) {
    const XY to = axes.at(spot);
    if (!points.empty()) {
      const XY from = points.back();
      const double length = draw::length(to - from);
      for (double gone = kApart; gone < length; gone += kApart)
        points.push_back(from + (gone / length) * (to - from));
    }
    points.push_back(to);
  }
  return points;
}

// Where neither the curve nor another name stands; with none such place, to the right.
Box free_box(XY at, double width, const std::vector<XY>& ink, const std::vector<Box>& taken,
             const Axes& axes) {
  constexpr double kHalf = 8, kBeside = 10;
  const auto box = [&](double left, double middle) {
    return Box{left, left + width, middle - kHalf, middle + kHalf};
  };
  const double right = at.x + kBeside, left = at.x - kBeside - width;
  const double middle = std::clamp(at.x - width / 2, axes.x.at_from + 4, axes.x.at_to - width - 4);
  for (const Box& tried :
       {box(right, at.y), box(left, at.y), box(left, at.y - 14), box(right, at.y + 14),
        box(middle, at.y - 18), box(middle, at.y + 18), box(left, at.y - 30), box(left, at.y + 22),
        box(middle, at.y - 36), box(right, at.y + 30)}) {
    const bool inside = tried.left > axes.x.at_from && tried.right < axes.x.at_to &&
                        tried.top > axes.top && tried.bottom < axes.bottom;
    if (inside && std::none_of(ink.begin(), ink.end(), [&](XY p) { return tried.holds(p); }) &&
        std::none_of(taken.begin(), taken.end(), [&](const Box& b) { return tried.meets(b); }))
      return tried;
  }
  return box(std::min(right, axes.x.at_to - width), at.y);
}

void write_spots(Svg& svg, const TracePlot& plot, const Axes& axes) {
  constexpr double kRing = 4;
  std::vector<std::pair<std::string, tighten::TraceSpot>> spots;
  if (plot.result.snug) spots.emplace_back("closed", *plot.result.snug);
  if (plot.result.yield) spots.emplace_back("yields", *plot.result.yield);
  if (!plot.result.curve.empty()) spots.emplace_back("end", plot.result.end);
  const std::vector<XY> ink = inked(plot, axes);
  std::vector<Box> taken;
  for (const auto& [name, spot] : spots) {
    const XY at = axes.at(spot);
    taken.push_back({at.x - kRing, at.x + kRing, at.y - kRing, at.y + kRing});
  }
  for (const auto& [name, spot] : spots) {
    const XY at = axes.at(spot);
    const std::string words = name + " " + number_text(spot.torque.si(), 1) + " N·m, " +
                              number_text(in_deg(spot.angle), 0) + "°";
    const Box box = free_box(at, draw::text_width(words, true) * draw::kText, ink, taken, axes);
    taken.push_back(box);
    svg.circle("accent medium", at, kRing);
    svg.text("t b", {box.left, (box.top + box.bottom) / 2}, draw::kText, Anchor::start, words);
  }
}

draw::FrameTexts frame_texts(const TracePlot& plot) {
  draw::FrameTexts texts;
  texts.title = plot.title;
  texts.rows = plot.facts;
  texts.invented = plot.invented;
  texts.scale_words.clear();
  texts.notes = {
      "Dots or strokes: as recorded. Line: the same without its noise. In color: the "
      "straight part, and dashed to where the parts begin to close."};
  if (plot.band)
    texts.notes.push_back("Shaded: where the straight part is expected, " + plot.band->words + ".");
  for (const tighten::TraceFinding& sign : plot.result.findings)
    texts.notes.push_back(std::string(trace_sign_name(sign.sign)) + ": " + sign.why + ".");
  texts.notes.insert(texts.notes.end(), plot.notes.begin(), plot.notes.end());
  texts.caution = kCaution;
  return texts;
}

std::string described(const TracePlot& plot) {
  std::string words = "Torque over angle of one tightening: " + plot.title + ".";
  for (const auto& [caption, text] : plot.facts) words += " " + caption + ": " + text + ".";
  words += " Ends at " + number_text(plot.result.end.torque.si(), 1) + " N·m.";
  for (const tighten::TraceFinding& sign : plot.result.findings)
    words += " " + std::string(trace_sign_name(sign.sign)) + ": " + sign.why + ".";
  return words;
}

}  // namespace

std::string trace_svg(const TracePlot& plot, const PlotOptions& options) {
  constexpr double kBefore = 10, kBeforeFrame = 4, kNotesBelow = 12;
  Svg svg;
  const Axes axes =
      axes_of(plot, draw::kFrame + kBefore + (plot.invented ? draw::kBannerHeight : 0));
  svg.open("g", "trace-panel");
  write_band(svg, plot, axes);
  write_scales(svg, axes);
  write_level(svg, axes, plot.target, "wanted");
  write_level(svg, axes, plot.snug, "angle from");
  write_points(svg, plot, axes);
  write_curve(svg, plot, axes);
  svg.rect("thin", {draw::kPlotLeft, axes.top}, draw::kPlotRight - draw::kPlotLeft, kHeight);
  write_spots(svg, plot, axes);
  svg.close("g");
  svg.open("g", "plain sheet-frame");
  const double below = axes.bottom + kAxis - 10 + kBeforeFrame;
  const double height = draw::write_frame(svg, frame_texts(plot), below, below + kNotesBelow);
  svg.close("g");
  return draw::document_head(
             {options.paper, options.width_px, height, {}, draw::plot_style(options.paper)},
             plot.title + ", torque over angle", described(plot), "trace") +
         svg.markup() + "</svg>\n";
}

}  // namespace tautmark
