// SPDX-License-Identifier: Apache-2.0
#include "draw/authority_curve.h"

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

constexpr double kGutter = 150;  // right of the curve, for the words of the bands
constexpr double kLeastTop = 3, kMostTop = 5;
constexpr std::string_view kCaution =
    "A computed drawing: it proves no clearance and orders no part. The engine maker's data come "
    "first.";

struct Band {
  double from;
  std::string_view words, range;
};
constexpr std::array kBands{
    Band{0, "drifts to the stop", "below 1"}, Band{1, "holds only", "1 to 1.3"},
    Band{1.3, "slow that way", "1.3 to 2"}, Band{2, "comfortable", "from 2"}};

std::size_t band_of(double margin) {
  std::size_t band = 0;
  while (band + 1 < kBands.size() && margin >= kBands.at(band + 1).from) ++band;
  return band;
}

struct Told {
  std::vector<AuthorityPoint> points;  // finite, by clearance
  std::size_t left_out = 0;
  std::optional<double> measured, most;
  double U = 0;
  std::optional<AuthorityPoint> here;  // the curve at what was measured
};

std::optional<AuthorityPoint> between(const std::vector<AuthorityPoint>& points, double at) {
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (points[i].clearance_mm == at) return points[i];
    if (i == 0 || points[i].clearance_mm < at || points[i - 1].clearance_mm > at) continue;
    const AuthorityPoint &a = points[i - 1], &b = points[i];
    const double share = (at - a.clearance_mm) / (b.clearance_mm - a.clearance_mm);
    const auto mix = [&](double from, double to) { return from + share * (to - from); };
    return AuthorityPoint{at, mix(a.margin, b.margin), mix(a.low, b.low), mix(a.high, b.high)};
  }
  return std::nullopt;
}

Told told(const AuthorityDrawing& drawing) {
  Told out;
  for (const AuthorityPoint& p : drawing.points) {
    const bool is_finite = std::isfinite(p.clearance_mm) && std::isfinite(p.margin) &&
                           std::isfinite(p.low) && std::isfinite(p.high);
    if (is_finite)
      out.points.push_back(p);
    else
      ++out.left_out;
  }
  std::stable_sort(out.points.begin(), out.points.end(),
                   [](auto& a, auto& b) { return a.clearance_mm < b.clearance_mm; });
  if (drawing.measured_mm && std::isfinite(*drawing.measured_mm))
    out.measured = drawing.measured_mm;
  if (drawing.most_mm && std::isfinite(*drawing.most_mm)) out.most = drawing.most_mm;
  if (std::isfinite(drawing.measured_U_mm)) out.U = std::abs(drawing.measured_U_mm);
  if (out.measured) out.here = between(out.points, *out.measured);
  return out;
}

double highest(const Told& told) {
  double most = 0;
  for (const AuthorityPoint& p : told.points) most = std::max({most, p.high, p.margin});
  return most;
}

ChartAxes axes_of(const Told& told, double top) {
  constexpr double kRoom = 1.06;
  double right = 0, least = 0;
  for (const AuthorityPoint& p : told.points) {
    right = std::max(right, p.clearance_mm);
    least = std::min(least, p.clearance_mm);
  }
  if (told.measured) right = std::max(right, kRoom * (*told.measured + told.U));
  if (told.most) right = std::max(right, kRoom * *told.most);
  if (!(right > least)) right = least + 0.1;
  double up = std::clamp(highest(told), kLeastTop, kMostTop);
  if (told.here) up = std::max(up, kRoom * told.here->high);
  const double bottom = top + draw::kChartHeight;
  return {{least, right, draw::kChartLeft, draw::kPlotRight - kGutter}, {0, up, bottom, top}};
}

void write_bands(Svg& svg, Svg& words, const ChartAxes& axes, draw::Labels& labels) {
  constexpr double kLine = 18, kBeside = 10;
  double free = HUGE_VAL;
  for (std::size_t i = 0; i < kBands.size(); ++i) {
    const bool is_last = i + 1 == kBands.size();
    const double low = axes.y.at(kBands.at(i).from);
    const double high = is_last ? axes.top() : axes.y.at(kBands.at(i + 1).from);
    svg.rect("zone" + std::to_string(i), {axes.x.at_from, high}, draw::kPlotRight - axes.x.at_from,
             low - high);
    if (i > 0) {
      svg.line("edge", {axes.x.at_from, low}, {draw::kPlotRight, low});
      labels.keep_clear_line({axes.x.at_from, low}, {axes.x.at_to, low}, 1.5);
    }
    const bool is_two = low - high > 2 * kLine;
    const double y = std::min((low + high) / 2 - (is_two ? kLine / 2 : 0), free - kLine);
    const double x = axes.x.at_to + kBeside;
    words.text("t b", {x, y}, 14, Anchor::start, kBands.at(i).words);
    if (is_two) words.text("t", {x, y + kLine}, 14, Anchor::start, kBands.at(i).range);
    free = y;
  }
}

void write_curve(Svg& svg, const Told& told, const ChartAxes& axes, draw::Labels& labels) {
  std::vector<XY> low, high, middle;
  for (const AuthorityPoint& p : told.points) {
    low.push_back({p.clearance_mm, p.low});
    high.push_back({p.clearance_mm, p.high});
    middle.push_back({p.clearance_mm, p.margin});
  }
  draw::Path spread;
  const auto add = [](draw::Path& path, XY p, bool first) { first ? path.move(p) : path.line(p); };
  bool first = true;
  for (const XY p : draw::inside(axes, high)) add(spread, p, std::exchange(first, false));
  auto back = draw::inside(axes, low);
  std::reverse(back.begin(), back.end());
  for (const XY p : back) spread.line(p);
  svg.path("spread", spread.close());
  svg.path("curve", draw::lifted(axes, draw::inside(axes, middle), labels));
}

void write_limit(Svg& svg, Svg& words, const Told& told, const ChartAxes& axes,
                 draw::Labels& labels) {
  if (!told.most) return;
  const double x = axes.x.at(*told.most);
  svg.line("limit-line", {x, axes.top()}, {x, axes.bottom()});
  const draw::Label label{.lines = {"at most " + number_text(*told.most, 3) + " mm"},
                          .size = draw::kChartWords,
                          .bold = true,
                          .classes = "warn"};
  const XY half = draw::half_size(label);
  std::vector<draw::Place> places;
  for (double y = axes.top() + 16; y < axes.bottom() - 16; y += 12)
    for (const double side : {1.0, -1.0}) places.push_back({{x + side * (half.x + 5), y}});
  labels.place(words, label, places);
  labels.keep_clear_line({x, axes.top()}, {x, axes.bottom()}, 3);
}

std::string reading_words(const AuthorityDrawing& drawing, const Told& told) {
  return drawing.journal + (drawing.journal.empty() ? "" : ": ") + number_text(*told.measured, 3) +
         " mm";
}

void write_reading(Svg& svg, Svg& words, const AuthorityDrawing& drawing, const Told& told,
                   const ChartAxes& axes, draw::Labels& labels, std::vector<std::string>& notes) {
  constexpr double kSpot = 7, kCap = 7;
  if (!told.measured) return;
  const XY at = axes.held(axes.at(*told.measured, told.here ? told.here->margin : 0));
  draw::Path bars;
  const double left = axes.held(axes.at(*told.measured - told.U, 0)).x;
  const double right = axes.held(axes.at(*told.measured + told.U, 0)).x;
  if (told.U > 0)
    for (const double x : {left, right})
      bars.move(at).line({x, at.y}).move({x, at.y - kCap}).line({x, at.y + kCap});
  if (told.here)
    for (const double margin : {told.here->low, told.here->high}) {
      const double y = axes.held(axes.at(0, margin)).y;
      bars.move(at).line({at.x, y}).move({at.x - kCap, y}).line({at.x + kCap, y});
    }
  svg.path("bar", bars);
  svg.circle("spot", at, kSpot);
  labels.keep_clear_line({left, at.y}, {right, at.y}, kCap);
  labels.keep_clear(at, kSpot + 2);
  draw::Label label{.lines = {reading_words(drawing, told)},
                    .size = draw::kChartWords,
                    .bold = true,
                    .points_at = at};
  if (told.U > 0) label.lines[0] += " ± " + number_text(told.U, 3) + " mm";
  // In one line or broken after the name, where nothing is covered; else broken.
  draw::Label broken = label;
  constexpr double kWidest = 20;  // sizes
  if (!drawing.journal.empty()) {
    broken.lines = draw::wrapped(drawing.journal + ":", kWidest, true);
    broken.lines.push_back(label.lines[0].substr(drawing.journal.size() + 2));
  }
  const XY up{0.7, -0.7};
  using Demand = draw::Labels::Demand;
  for (const auto& [tried, demand] :
       {std::pair{&label, Demand::clear}, {&broken, Demand::clear}, {&broken, Demand::readable}})
    if (labels.place(words, *tried, draw::places_around(at, kSpot, up, *tried), demand)) return;
  notes.push_back(label.lines[0] + ".");
}

std::string headline(const Told& told) {
  if (!told.here) return {};
  const auto margin = [](double value) { return number_text(value, 2); };
  const std::size_t low = band_of(told.here->low), high = band_of(told.here->high);
  const auto quoted = [](std::size_t band) {
    return "\"" + std::string(kBands.at(band).words) + "\"";
  };
  std::string words = "At " + number_text(*told.measured, 3) + " mm the margin is " +
                      margin(told.here->margin) + " (95 %: " + margin(told.here->low) + " to " +
                      margin(told.here->high) + "), ";
  words += high == low ? quoted(low) : "anything from " + quoted(low) + " to " + quoted(high);
  return words + ".";
}

std::string missing(const Told& told) {
  if (told.points.size() < 2) return "No curve: the margin is not known at any two clearances.";
  if (!told.measured) return "The clearance of this engine is not measured.";
  if (!told.here) return "What was measured lies outside of the curve: its margin is not known.";
  return {};
}

std::vector<std::string> notes_of(const Told& told, const ChartAxes& axes) {
  std::vector<std::string> notes{
      "Margin: torque that the oil can give by torque needed, the valve wide open. Below 1 it "
      "drifts to the stop; 1 to 1.3 holds only; 1.3 to 2 slow that way; from 2 comfortable."};
  if (!told.most) notes.emplace_back("No limit of this clearance is known.");
  if (highest(told) > axes.y.to * (1 + 1e-9))
    notes.push_back("It goes on above the drawing, up to " + number_text(highest(told), 1) + ".");
  if (told.left_out > 0)
    notes.push_back("Left out, not a number: " + std::to_string(told.left_out) + " points.");
  return notes;
}

std::vector<draw::ChartSign> signs_of(const Told& told) {
  std::vector<draw::ChartSign> signs;
  if (told.points.size() > 1)
    signs.push_back({[](Svg& svg, XY left) {
                       svg.rect("spread", left - XY{0, 9}, 40, 18);
                       svg.line("curve", left, left + XY{40, 0});
                     },
                     "margin and its 95 % range"});
  if (told.most)
    signs.push_back({[](Svg& svg, XY left) {
                       svg.line("limit-line", left, left + XY{40, 0});
                     },
                     "largest clearance allowed"});
  if (told.measured)
    signs.push_back({[](Svg& svg, XY left) {
                       svg.line("bar", left, left + XY{40, 0});
                       svg.circle("spot", left + XY{20, 0}, 7);
                     },
                     "this engine, ± 95 %"});
  return signs;
}

}  // namespace

std::string authority_curve_svg(const AuthorityDrawing& drawing, const PlotOptions& options) {
  constexpr double kOver = 40;
  const Told all = told(drawing);
  Svg svg, words;
  double y = draw::kFrame + 14 + (drawing.invented ? draw::kBannerHeight : 0);
  y = draw::write_sentence(svg, "t b", headline(all), y);
  y = draw::write_sentence(svg, "t b warn", missing(all), y);
  const ChartAxes axes = axes_of(all, y + kOver);
  draw::Labels labels({axes.x.at_from + 4, axes.top() + 4}, {axes.x.at_to - 4, axes.bottom() - 4});
  std::vector<std::string> notes = notes_of(all, axes);
  svg.open("g", "authority-curve");
  write_bands(svg, words, axes, labels);
  std::vector<double> ups{0, 1, 1.3};
  for (double up = 2; up <= axes.y.to; ++up) ups.push_back(up);
  draw::write_axes(svg, axes, "clearance of the journal, diametral, mm",
                   "margin of the phaser: torque available by torque needed", ups);
  if (all.points.size() > 1) write_curve(svg, all, axes, labels);
  write_limit(svg, words, all, axes, labels);
  write_reading(svg, words, drawing, all, axes, labels, notes);
  svg.raw(words.markup());
  svg.close("g");
  y = draw::write_signs(svg, signs_of(all), axes.bottom() + draw::kChartBelow);
  std::string about = headline(all) + missing(all);
  if (all.measured) about += " " + reading_words(drawing, all) + ".";
  if (all.most) about += " At most " + number_text(*all.most, 3) + " mm.";
  for (const auto& [caption, text] : drawing.facts) about += " " + caption + ": " + text + ".";
  for (const std::string& note : notes) about += " " + note;
  return draw::chart_document(svg,
                              {.title = drawing.title,
                               .invented = drawing.invented,
                               .facts = drawing.facts,
                               .notes = notes,
                               .caution = std::string(kCaution),
                               .kind = "authority-sheet",
                               .about = about},
                              y + 6, options);
}

}  // namespace tautmark
