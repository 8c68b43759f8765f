// SPDX-License-Identifier: Apache-2.0
// Rows of signals: the traces as recorded, and under and over them what was counted.
#include <algorithm>
#include <cmath>

#include "base/quantity_text.h"
#include "draw/plot_axis.h"

namespace tautmark::draw {
namespace {

constexpr double kTitleLine = 19, kGapLane = 15, kCrank = 24, kTicks = 9, kNumbers = 13;
constexpr double kAngleLane = 14, kCam = 20, kBetween = 5, kRuler = 27, kAfterRow = 8;

// A square trace; several edges in one column of the drawing are one stroke from low to high.
Path square(const PlotTrace& trace, const Scale& time, double high, double low) {
  constexpr double kColumn = 0.5;
  const auto level = [&](bool is_high) { return is_high ? high : low; };
  Path path;
  bool is_high = trace.high_first;
  path.move({time.at_from, level(is_high)});
  for (std::size_t i = 0; i < trace.edges.size();) {
    const double x = time.at(trace.edges[i].time);
    const bool before = is_high;
    std::size_t next = i;
    while (next < trace.edges.size() && time.at(trace.edges[next].time) < x + kColumn)
      is_high = trace.edges[next++].rising;
    path.line({x, level(before)}).line({x, level(!before)});
    if (is_high == before) path.line({x, level(before)});
    i = next;
  }
  path.line({time.at_to, level(is_high)});
  return path;
}

// Only the edges are known: strokes up where the voltage crossed zero rising, down where falling.
Path strokes(const PlotTrace& trace, const Scale& time, double high, double low) {
  constexpr double kColumn = 0.5;
  const double middle = (high + low) / 2;
  Path path;
  path.move({time.at_from, middle}).line({time.at_to, middle});
  double last[2] = {-1, -1};
  for (const PlotEdge& edge : trace.edges) {
    const double x = time.at(edge.time);
    double& column = last[edge.rising ? 1 : 0];
    if (x < column + kColumn) continue;
    column = x;
    path.move({x, middle}).line({x, edge.rising ? high : low});
  }
  return path;
}

void write_trace(Svg& svg, const PlotTrace& trace, const Scale& time, double high, double low) {
  const double middle = (high + low) / 2;
  constexpr double kLine = 12.5, kRoom = kPlotLeft - kInside - 6;
  constexpr std::size_t kMostLines = 2;  // the panel of its phase has the whole name
  auto names = wrapped(trace.name, kRoom / kText, true);
  names.resize(std::min(names.size(), kMostLines));
  double y = middle - kLine * static_cast<double>(names.size()) / 2;
  for (const std::string& name : names) {
    svg.text("t b", {kInside, y}, kText, Anchor::start, name);
    y += kLine;
  }
  svg.text("t soft", {kInside, y}, kSmall, Anchor::start, trace.under);
  svg.path("medium trace",
           trace.ticks ? strokes(trace, time, high, low) : square(trace, time, high, low));
}

// How many teeth from one number to the next, so that the numbers stand apart.
int number_step(const PlotRow& row, const Scale& time) {
  int most = 1;
  double nearest = kPlotRight - kPlotLeft;
  for (std::size_t i = 1; i < row.teeth.size(); ++i) {
    most = std::max(most, row.teeth[i].number);
    nearest = std::min(nearest, time.at(row.teeth[i].time) - time.at(row.teeth[i - 1].time));
  }
  const double width = text_width(std::to_string(most)) * kSmall + 4;
  for (const int step : {1, 2, 5, 10, 20, 50})
    if (nearest * step >= width) return step;
  return 100;
}

bool is_numbered(int number, int step) {
  return number == 1 || (step < 3 ? (number - 1) % step == 0 : number % step == 0);
}

void write_teeth(Svg& svg, const PlotRow& row, const Scale& time, double top) {
  constexpr double kLong = 4;
  constexpr std::size_t kMostMarks = 2000;
  const int step = number_step(row, time);
  Lane lane;
  for (std::size_t i = 0; i < std::min(row.teeth.size(), kMostMarks); ++i) {
    const PlotTooth& tooth = row.teeth[i];
    const double x = time.at(tooth.time);
    const bool numbered = is_numbered(tooth.number, step);
    const double end = top + kTicks - (numbered ? 0 : kLong);
    svg.path(tooth.missed ? "error thin"
             : numbered   ? "medium"
                          : "thin",
             Path().move({x, top}).line({x, end}),
             Svg::attribute("data-tooth", tooth.number) +
                 (tooth.missed ? Svg::attribute("data-missed", "true") : ""));
    if (tooth.missed) svg.circle("error thin paper", {x, top}, 2);
    if (numbered)
      lane.write(svg, "t", {x, top + kTicks + kNumbers / 2}, kSmall, std::to_string(tooth.number));
  }
}

void write_gaps(Svg& svg, const PlotRow& row, const Scale& time, double top, double bottom) {
  Lane lane;
  for (const PlotGap& gap : row.gaps) {
    const double left = std::max(time.at(gap.from), kPlotLeft),
                 right = std::min(time.at(gap.to), kPlotRight);
    if (right <= left) continue;
    svg.rect("shade gap", {left, top + kGapLane - 3}, right - left, bottom - top - kGapLane + 3);
    const double half = text_width(gap.words) * kSmall / 2;
    const double x = std::clamp((left + right) / 2, kPlotLeft + half, kPlotRight - half);
    lane.write(svg, "t soft", {x, top + kGapLane / 2 - 2}, kSmall, gap.words);
  }
}

// Angles of a cam's edges: over the trace, the next one under it where over it there is no room.
void write_cam_edges(Svg& svg, const PlotTrace& trace, const Scale& time, double high, double low) {
  constexpr std::size_t kMostMarks = 400;
  Lane over, under;
  for (std::size_t i = 0; i < std::min(trace.decoded.size(), kMostMarks); ++i) {
    const PlotCamEdge& edge = trace.decoded[i];
    const double x = time.at(edge.time);
    svg.path(edge.used ? "thick" : "error thin", Path().move({x, high}).line({x, low}),
             Svg::attribute("data-cam-edge", trace.channel));
    const std::string words = edge.used ? number_text(edge.angle, 1) + "°" : "not used";
    const std::string_view classes = edge.used ? "t" : "t error";
    if (!over.write(svg, classes, {x, high - kAngleLane / 2}, kSmall, words))
      under.write(svg, classes, {x, low + kAngleLane / 2}, kSmall, words);
  }
}

void write_ruler(Svg& svg, const PlotRow& row, const Scale& time, double top, double row_top) {
  constexpr int kTurn = 360, kQuarter = 90;
  constexpr double kShort = 4, kTall = 7;
  svg.line("thin", {kPlotLeft, top}, {kPlotRight, top});
  svg.text("t soft", {kInside, top + 2}, kSmall, Anchor::start, "crank angle");
  Lane lane;
  for (const PlotAngle& mark : row.angles) {
    const double x = time.at(mark.time);
    const bool is_quarter = mark.degrees % kQuarter == 0;
    if (mark.degrees % kTurn == 0) svg.line("center", {x, row_top}, {x, top});
    svg.line(is_quarter ? "medium" : "thin", {x, top}, {x, top + (is_quarter ? kTall : kShort)});
    if (is_quarter)
      lane.write(svg, "t", {x, top + kTall + 8}, kSmall, std::to_string(mark.degrees) + "°");
  }
}

double draw_row(Svg& svg, const PlotRow& row, double top) {
  const Scale time{row.from, row.to > row.from ? row.to : row.from + 1, kPlotLeft, kPlotRight};
  svg.text("t b", {kInside, top + kTitleLine / 2}, kHeading, Anchor::start, row.title);
  double y = top + kTitleLine;
  const double row_top = y + kGapLane;
  Svg over;  // texts over lines, whatever the order
  for (std::size_t i = 0; i < row.traces.size(); ++i) {
    const PlotTrace& trace = row.traces[i];
    if (i == 0) {
      const double high = y + kGapLane, low = high + kCrank;
      write_gaps(svg, row, time, y, low + 3);
      write_trace(over, trace, time, high, low);
      write_teeth(over, row, time, low + 5);
      y = low + 5 + kTicks + kNumbers;
    } else {
      const double high = y + kAngleLane, low = high + kCam;
      write_trace(over, trace, time, high, low);
      write_cam_edges(over, trace, time, high, low);
      y = low + kAngleLane + kBetween / 2;
    }
  }
  write_ruler(svg, row, time, y + kBetween, row_top);
  svg.raw(over.markup());
  return y + kBetween + kRuler + kAfterRow;
}

}  // namespace

std::vector<std::string> signal_legend(const RecordingPlot& plot) {
  bool missed = false, strokes = false;
  for (const PlotRow& row : plot.rows) {
    for (const PlotTooth& tooth : row.teeth) missed = missed || tooth.missed;
    for (const PlotTrace& trace : row.traces) strokes = strokes || trace.ticks;
  }
  std::vector<std::string> notes;
  if (missed) notes.emplace_back("Ring under the crank: a tooth of the wheel that was not seen.");
  if (strokes)
    notes.emplace_back("Strokes up and down: where the voltage crosses zero, rising and falling.");
  return notes;
}

double draw_signals(Svg& svg, const RecordingPlot& plot, double top) {
  for (const PlotRow& row : plot.rows) {
    svg.open("g", "signals");
    top = draw_row(svg, row, top);
    svg.close("g");
  }
  return top;
}

}  // namespace tautmark::draw
