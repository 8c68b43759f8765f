// SPDX-License-Identifier: Apache-2.0
#include "draw/pressure_chart.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "base/quantity_text.h"
#include "draw/chart_axes.h"

namespace tautmark {
namespace {

using draw::Anchor;
using draw::ChartAxes;
using draw::Svg;
using draw::XY;

constexpr double kSpot = 7;
constexpr std::string_view kFilled = "ink-fill", kHollow = "spot";
constexpr std::string_view kDashed = " style=\"stroke-dasharray:3 6\"";
constexpr std::array<std::string_view, 2> kSentences{
    "What lies below the curve is below the limit at that temperature.",
    "One reading proves nothing about a journal."};
constexpr std::string_view kCaution =
    "Drawn from readings and a limit moved by computation. The engine maker's data come first.";

struct Shown {
  std::vector<DrawnLimit> limit{};  // finite, by temperature
  std::vector<DrawnReading> points{};
  std::size_t left_out = 0;
  double step = 0;  // of the limit
};

Shown shown(const PressureDrawing& drawing) {
  Shown out;
  for (const DrawnLimit& one : drawing.limit)
    if (std::isfinite(one.celsius) && std::isfinite(one.kpa)) out.limit.push_back(one);
  for (const DrawnReading& one : drawing.points)
    if (std::isfinite(one.celsius) && std::isfinite(one.kpa)) out.points.push_back(one);
  for (DrawnReading& one : out.points)
    one.U_kpa = std::isfinite(one.U_kpa) ? std::abs(one.U_kpa) : 0;
  out.left_out =
      drawing.limit.size() - out.limit.size() + drawing.points.size() - out.points.size();
  const auto by_temperature = [](const auto& a, const auto& b) { return a.celsius < b.celsius; };
  std::stable_sort(out.limit.begin(), out.limit.end(), by_temperature);
  std::stable_sort(out.points.begin(), out.points.end(), by_temperature);
  out.step = HUGE_VAL;
  for (std::size_t i = 1; i < out.limit.size(); ++i)
    if (out.limit[i].celsius > out.limit[i - 1].celsius)
      out.step = std::min(out.step, out.limit[i].celsius - out.limit[i - 1].celsius);
  return out;
}

double highest(const std::vector<DrawnLimit>& limit, double from, double to) {
  double most = 0;
  for (const DrawnLimit& one : limit)
    if (one.celsius >= from && one.celsius <= to) most = std::max(most, one.kpa);
  return most;
}

ChartAxes axes_of(const Shown& all, double top) {
  constexpr double kBeside = 15, kRoom = 1.2, kWhole = 2.2, kPad = 4;
  double left = HUGE_VAL, right = -HUGE_VAL, need = 0, cold = HUGE_VAL, hot = -HUGE_VAL;
  for (const DrawnReading& one : all.points) {
    cold = std::min(cold, one.celsius), hot = std::max(hot, one.celsius);
    need = std::max(need, one.kpa + one.U_kpa);
  }
  left = cold - kPad, right = hot + kPad;
  for (const DrawnLimit& one : all.limit)
    left = std::min(left, one.celsius), right = std::max(right, one.celsius);
  if (!(right > left)) left = 40, right = 130;
  const double whole = highest(all.limit, left, right);
  need = std::max(need,
                  all.points.empty() ? whole : highest(all.limit, cold - kBeside, hot + kBeside));
  if (whole < kWhole * need) need = std::max(need, whole);
  if (!(need > 0)) need = 100;
  const double bottom = top + draw::kChartHeight;
  return {{left, right, draw::kChartLeft, draw::kPlotRight}, {0, kRoom * need, bottom, top}};
}

// Of one kind, without a part left out between.
struct Piece {
  std::vector<XY> line;
  bool indicative = false;
};
std::vector<Piece> pieces_of(const Shown& all) {
  constexpr double kGap = 1.5;
  std::vector<Piece> pieces;
  for (std::size_t i = 0; i < all.limit.size(); ++i) {
    const DrawnLimit& one = all.limit[i];
    const bool is_apart = i == 0 || one.celsius - all.limit[i - 1].celsius > kGap * all.step;
    if (is_apart || pieces.back().indicative != one.indicative) {
      Piece next{{}, one.indicative};
      // Where the kind changes nothing is left out: the indicative part goes up to the other.
      if (!is_apart && one.indicative) next.line.push_back(pieces.back().line.back());
      if (!is_apart && !one.indicative) pieces.back().line.push_back({one.celsius, one.kpa});
      pieces.push_back(std::move(next));
    }
    pieces.back().line.push_back({one.celsius, one.kpa});
  }
  return pieces;
}

void write_limit(Svg& svg, const Shown& all, const ChartAxes& axes, draw::Labels& labels) {
  for (const Piece& piece : pieces_of(all)) {
    std::vector<XY> on = draw::inside(axes, piece.line);
    if (on.size() == 1) on = {on[0] - XY{2, 0}, on[0] + XY{2, 0}};
    if (!piece.indicative) {
      draw::Path area;
      area.move({on.front().x, axes.bottom()});
      for (const XY p : on) area.line(p);
      svg.path("zone0", area.line({on.back().x, axes.bottom()}).close());
    }
    svg.path("limit-curve", draw::lifted(axes, on, labels), piece.indicative ? kDashed : "");
  }
}

std::string whole(double value) { return number_text(value, std::abs(value) < 9.95 ? 1 : 0); }

void write_limit_words(Svg& words, const Shown& all, const ChartAxes& axes, draw::Labels& labels) {
  if (all.limit.empty()) return;
  const DrawnLimit& last = all.limit.back();
  const draw::Label label{
      .lines = {"limit " + whole(last.kpa) + " kPa at " + whole(last.celsius) + " °C"},
      .size = draw::kChartWords,
      .bold = true,
      .classes = "warn"};
  const XY at = axes.held(axes.at(last.celsius, last.kpa)), half = draw::half_size(label);
  std::vector<draw::Place> places;
  for (double left = 6; left < 400; left += 30)
    for (const double down : {18.0, -18.0, -36.0, 36.0})
      places.push_back({{at.x - half.x - left, at.y + down}});
  labels.place(words, label, places);
}

// Marks first: no label may cover any of them.
void write_points(Svg& svg, Svg& words, const Shown& all, const ChartAxes& axes,
                  draw::Labels& labels, std::vector<std::string>& notes) {
  constexpr double kCap = 7;
  for (const DrawnReading& one : all.points) {
    const XY at = axes.held(axes.at(one.celsius, one.kpa));
    if (one.U_kpa > 0) {
      draw::Path bar;
      const double low = axes.held(axes.at(one.celsius, one.kpa - one.U_kpa)).y;
      const double high = axes.held(axes.at(one.celsius, one.kpa + one.U_kpa)).y;
      bar.move({at.x, low}).line({at.x, high});
      for (const double y : {low, high}) bar.move({at.x - kCap, y}).line({at.x + kCap, y});
      svg.path("bar", bar);
      labels.keep_clear_line({at.x, low}, {at.x, high}, kCap);
    }
    svg.circle(one.beside_it ? kFilled : kHollow, at, kSpot);
    labels.keep_clear(at, kSpot + 2);
  }
  for (const DrawnReading& one : all.points) {
    const XY at = axes.held(axes.at(one.celsius, one.kpa));
    const draw::Label label{
        .lines = {one.label + (one.label.empty() ? "" : ": ") + whole(one.kpa) + " kPa"},
        .size = draw::kChartWords,
        .bold = true,
        .points_at = at};
    const auto places = draw::places_around(at, kSpot + 2, {1, 0}, label);
    if (!labels.place(words, label, places))
      notes.push_back(label.lines[0] + " at " + whole(one.celsius) + " °C.");
  }
}

std::string missing(const Shown& all) {
  if (all.limit.empty() && all.points.empty())
    return "Nothing to draw: neither a limit nor a reading of this port.";
  if (all.limit.empty()) return "No limit to compare with.";
  if (all.points.empty()) return "No pressure has been read at this port.";
  return {};
}

std::string headline(const PressureDrawing& drawing) {
  std::string words;
  for (const std::string& one : {drawing.port, drawing.speed, drawing.oil})
    if (!one.empty()) words += (words.empty() ? "" : ", ") + one;
  return words;
}

std::vector<std::string> notes_of(const Shown& all, const ChartAxes& axes) {
  std::vector<std::string> notes;
  const bool has_indicative = std::any_of(all.limit.begin(), all.limit.end(),
                                          [](const DrawnLimit& one) { return one.indicative; });
  const bool is_split =
      std::any_of(all.limit.begin(), all.limit.end(), [&, last = HUGE_VAL](auto& one) mutable {
        return one.celsius - std::exchange(last, one.celsius) > 1.5 * all.step;
      });
  if (has_indicative)
    notes.emplace_back("Dashed: moved far from where the limit is stated, indicative only.");
  if (is_split) notes.emplace_back("Where the curve is interrupted nothing can be compared.");
  const double most = highest(all.limit, axes.x.from, axes.x.to);
  if (most > axes.y.to)
    notes.push_back("The limit goes on above the drawing, up to " + whole(most) + " kPa.");
  if (all.left_out > 0)
    notes.push_back("Left out, not a number: " + std::to_string(all.left_out) + " points.");
  return notes;
}

std::vector<draw::ChartSign> signs_of(const Shown& all) {
  std::vector<draw::ChartSign> signs;
  const auto limit = [](std::string_view attributes) {
    return [attributes](Svg& svg, XY left) {
      svg.path("limit-curve", draw::Path().move(left).line(left + XY{40, 0}), attributes);
    };
  };
  const auto spot = [](std::string_view classes) {
    return [classes](Svg& svg, XY left) {
      svg.line("bar", left + XY{20, -13}, left + XY{20, 13});
      svg.circle(classes, left + XY{20, 0}, kSpot);
    };
  };
  const auto any_limit = [&](bool indicative) {
    return std::any_of(all.limit.begin(), all.limit.end(),
                       [&](const DrawnLimit& one) { return one.indicative == indicative; });
  };
  const auto any_point = [&](bool beside) {
    return std::any_of(all.points.begin(), all.points.end(),
                       [&](const DrawnReading& one) { return one.beside_it == beside; });
  };
  if (any_limit(false)) signs.push_back({limit(""), "limit, at least"});
  if (any_limit(true)) signs.push_back({limit(kDashed), "limit, indicative only"});
  if (any_point(true)) signs.push_back({spot(kFilled), "as read, ± 95 %"});
  if (any_point(false)) signs.push_back({spot(kHollow), "other speed or oil: not to be compared"});
  return signs;
}

std::string described(const PressureDrawing& drawing, const Shown& all,
                      const std::vector<std::string>& notes) {
  std::string about = headline(drawing) + ".";
  for (const std::string_view one : kSentences) about += " " + std::string(one);
  about += " " + missing(all);
  for (const DrawnReading& one : all.points)
    about += " " + one.label + ": " + whole(one.kpa) + " kPa at " + whole(one.celsius) + " °C" +
             (one.beside_it ? "." : ", other speed or oil.");
  for (const auto& [caption, text] : drawing.facts) about += " " + caption + ": " + text + ".";
  for (const std::string& note : notes) about += " " + note;
  return about;
}

}  // namespace

std::string pressure_chart_svg(const PressureDrawing& drawing, const PlotOptions& options) {
  constexpr double kOver = 44, kLine = 20;
  const Shown all = shown(drawing);
  Svg svg, words;
  double y = draw::kFrame + 14 + (drawing.invented ? draw::kBannerHeight : 0);
  y = draw::write_sentence(svg, "t b", headline(drawing), y);
  y = draw::write_sentence(svg, "t b warn", missing(all), y);
  for (const std::string_view line : kSentences) {
    svg.text("t", {draw::kInside, y + kLine / 2 + 2}, draw::kChartWords, Anchor::start, line);
    y += kLine;
  }
  const ChartAxes axes = axes_of(all, y + kOver);
  draw::Labels labels({axes.x.at_from + 4, axes.top() + 4}, {axes.x.at_to - 4, axes.bottom() - 4});
  std::vector<std::string> notes = notes_of(all, axes);
  Svg marks;
  svg.open("g", "pressure-chart");
  write_limit(marks, all, axes, labels);
  draw::write_axes(svg, axes, "oil temperature, °C", "oil pressure, kPa");
  write_points(marks, words, all, axes, labels, notes);
  write_limit_words(words, all, axes, labels);
  svg.raw(marks.markup());
  svg.raw(words.markup());
  svg.close("g");
  y = draw::write_signs(svg, signs_of(all), axes.bottom() + draw::kChartBelow);
  return draw::chart_document(svg,
                              {.title = drawing.title,
                               .invented = drawing.invented,
                               .facts = drawing.facts,
                               .notes = notes,
                               .caution = std::string(kCaution),
                               .kind = "pressure-sheet",
                               .about = described(drawing, all, notes)},
                              y + 6, options);
}

}  // namespace tautmark
