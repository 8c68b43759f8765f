// SPDX-License-Identifier: Apache-2.0
#include "draw/clearance_map.h"

#include <algorithm>
#include <cmath>

#include "base/quantity_text.h"
#include "draw/clearance_parts.h"
#include "draw/clearance_style.h"

namespace tautmark {
namespace {

using draw::Anchor;
using draw::Field;
using draw::MapSheet;
using draw::Svg;
using draw::XY;

constexpr double kErrorHeight = 330, kRoundHeight = 370, kAxis = 36, kKey = 26;
constexpr double kHeadlineSize = 13.5, kDash = 4;
constexpr std::string_view kCaution =
    "A computed drawing. It allows no turning, shows nothing of bent valves, debris or other "
    "parts. "
    "Never turn with the starter; fingers off sprockets and springs. The engine maker's data come "
    "first.";

double height_of(const ClearanceMapPlot& plot) {
  return plot.goes_round ? kRoundHeight : kErrorHeight;
}

MapSheet sheet_of(const ClearanceMapPlot& plot, double top) {
  MapSheet sheet{.plot = plot};
  const double bottom = top + height_of(plot);
  const double right = plot.least.empty() ? draw::kPlotRight : draw::kMapRight;
  const auto ends = [](const std::vector<double>& nodes) {
    return nodes.empty() ? std::pair{0.0, 1.0} : std::pair{nodes.front(), nodes.back()};
  };
  const auto [left_value, right_value] = ends(plot.columns);
  const auto [low, high] = ends(plot.rows);
  sheet.x = {left_value, right_value, draw::kMapLeft, right};
  sheet.y = {low, high, bottom, top};
  for (const double column : plot.columns) sheet.gap.x.push_back(sheet.x.at(column));
  for (const double row : plot.rows) sheet.gap.y.push_back(sheet.y.at(row));
  sheet.spare = sheet.gap;
  sheet.gap.values = plot.gap;
  sheet.spare.values = plot.spare;
  return sheet;
}

// Steps of clear gaps, the largest first, so that the nearer ones lie on top.
void write_tones(MapSheet& sheet) {
  Svg& svg = sheet.svg;
  const bool is_known = sheet.plot.not_known.empty();
  svg.rect(is_known ? "clear4" : "unknown", {sheet.x.at_from, sheet.top()}, sheet.width(),
           sheet.height());
  if (is_known) {
    for (std::size_t step = draw::kGapSteps.size(); step-- > 0;) {
      const double level = draw::kGapSteps.at(step);
      if (level > sheet.plot.wanted)
        svg.path("clear" + std::to_string(step), draw::region_below(sheet.gap, level),
                 " fill-rule=\"evenodd\"");
    }
  }
  for (const MapSpan& span : sheet.plot.with_others_shut)
    svg.rect("unknown", {sheet.x.at_from, sheet.y.at(span.to)}, sheet.width(),
             sheet.y.at(span.from) - sheet.y.at(span.to));
  svg.path("short", draw::region_below(sheet.spare, 0),
           " fill-rule=\"evenodd\" data-region=\"short\"");
  svg.path("contact", draw::region_below(sheet.gap, 0),
           " fill-rule=\"evenodd\" data-region=\"contact\"");
}

// From the tip that lies off the edge of the map on, where neighboring lines are farthest.
std::vector<XY> label_places(const MapSheet& sheet, const draw::Contour& line) {
  std::vector<XY> places = line.points;
  const auto [high, low] =
      std::minmax_element(places.begin(), places.end(), [](XY a, XY b) { return a.y < b.y; });
  if (high == places.end()) return places;
  const bool is_from_low = sheet.bottom() - low->y > high->y - sheet.top();
  std::stable_sort(places.begin(), places.end(),
                   [&](XY a, XY b) { return is_from_low ? a.y > b.y : a.y < b.y; });
  return places;
}

void write_level_words(MapSheet& sheet, const std::vector<draw::Contour>& lines, double level) {
  constexpr double kSize = 10, kLeast = 34;
  constexpr int kMost = 4;
  const std::string words = number_text(level, 0) + " mm";
  const draw::Label label{.lines = {words}, .size = kSize, .classes = "soft"};
  const XY half = draw::half_size(label);
  int written = 0;
  for (const draw::Contour& line : lines) {
    if (written == kMost) return;
    double length = 0;
    for (std::size_t i = 1; i < line.points.size(); ++i)
      length += draw::length(line.points[i] - line.points[i - 1]);
    if (length < kLeast) continue;
    for (const XY place : label_places(sheet, line)) {
      const draw::Box box{place, half.x, half.y};
      const bool is_inside =
          place.x - half.x > sheet.x.at_from + 2 && place.x + half.x < sheet.x.at_to - 2 &&
          place.y - half.y > sheet.top() + 2 && place.y + half.y < sheet.bottom() - 2;
      if (!is_inside || !sheet.labels.is_free(box)) continue;
      sheet.labels.take({place, half.x + 5, half.y + 1.5});
      sheet.words.text("t soft", place, kSize, Anchor::middle, words);
      ++written;
      break;
    }
  }
}

void write_levels(MapSheet& sheet) {
  if (sheet.plot.not_known.empty()) {
    for (const double level : draw::kGapSteps) {
      if (level <= sheet.plot.wanted) continue;
      const auto lines = draw::contours(sheet.gap, level);
      sheet.svg.path("level", draw::path_of(lines), Svg::attribute("data-level", level));
      write_level_words(sheet, lines, level);
    }
  }
  sheet.svg.path("thin", draw::path_of(draw::contours(sheet.spare, 0)),
                 Svg::attribute("data-spare", 0.0));
  sheet.svg.path("rim", draw::path_of(draw::contours(sheet.gap, 0)),
                 Svg::attribute("data-level", 0.0));
}

void write_scales(MapSheet& sheet) {
  Svg& svg = sheet.svg;
  for (const MapTick& tick : sheet.plot.across) {
    const double x = sheet.x.at(tick.at);
    svg.line("grid", {x, sheet.top()}, {x, sheet.bottom()});
    svg.line("thin", {x, sheet.bottom()}, {x, sheet.bottom() + kDash});
    svg.text("t", {x, sheet.bottom() + kDash + 8}, draw::kSmall, Anchor::middle, tick.words);
  }
  svg.text("t soft", {(sheet.x.at_from + sheet.x.at_to) / 2, sheet.bottom() + kDash + 24},
           draw::kSmall, Anchor::middle, sheet.plot.across_words);
  for (const MapTick& tick : sheet.plot.up) {
    const double y = sheet.y.at(tick.at);
    const bool is_right = tick.words == "right";
    svg.line(is_right ? "thin" : "grid", {sheet.x.at_from, y}, {sheet.x.at_to, y});
    svg.line("thin", {sheet.x.at_from - kDash, y}, {sheet.x.at_from, y});
    svg.text(is_right ? "t b" : "t", {sheet.x.at_from - kDash - 4, y}, draw::kSmall, Anchor::end,
             tick.words);
    if (!tick.more.empty()) svg.text("t soft", {draw::kInside, y}, 9.5, Anchor::start, tick.more);
  }
  svg.text("t soft", {draw::kInside, sheet.top() - 26}, draw::kSmall, Anchor::start,
           sheet.plot.up_words);
  for (const MapTick& tick : sheet.plot.tops) {
    const double x = sheet.x.at(tick.at);
    svg.line("thin", {x, sheet.top() - 5}, {x, sheet.top()});
    svg.text("t", {x, sheet.top() - 12}, draw::kSmall, Anchor::middle, tick.words);
  }
  if (!sheet.plot.tops.empty())
    svg.text("t soft", {sheet.x.at_from - 12, sheet.top() - 12}, draw::kSmall, Anchor::end,
             sheet.plot.goes_round ? "cylinders at the top" : "cylinder that fires");
  for (const MapSpan& span : sheet.plot.free) {
    const double y = sheet.top() + 3;
    svg.line("accent thick", {sheet.x.at(span.from), y}, {sheet.x.at(span.to), y});
  }
}

// With the chain on, two turns of the crankshaft are one of the camshaft.
void write_chain_lines(MapSheet& sheet) {
  const auto cam = [](double start, double crank) { return start + crank / 2; };
  for (const double start : sheet.plot.chain_on)
    for (const auto& [from, to] :
         draw::round_pieces({sheet.x.from, cam(start, sheet.x.from)},
                            {sheet.x.to, cam(start, sheet.x.to)}, draw::round_of(sheet)))
      sheet.svg.line("center-line", sheet.at(from), sheet.at(to));
}

void write_travel(MapSheet& sheet) {
  constexpr double kOut = 9, kTick = 4;
  Svg& svg = sheet.svg;
  for (const MapSpan& span : sheet.plot.travel) {
    const double x = sheet.x.at_to + kOut, low = sheet.y.at(span.from), high = sheet.y.at(span.to);
    svg.path(
        "accent thick",
        draw::Path().move({x - kTick, low}).line({x, low}).line({x, high}).line({x - kTick, high}));
    for (const double y : {low, high})
      svg.line("accent thin behind", {sheet.x.at_from, y}, {sheet.x.at_to, y});
    const std::string first = span.words.substr(0, span.words.find(' '));
    for (const std::string& words : {span.words, first}) {
      if (low - high < draw::text_width(words) * 10) continue;
      svg.text("t", {x + 9, (low + high) / 2}, 10, Anchor::middle, words, -90);
      break;
    }
  }
}

// What is not known, in words, on the map itself.
void write_not_known(MapSheet& sheet) {
  if (sheet.plot.not_known.empty()) return;
  constexpr double kSize = 12, kLine = 16, kBeside = 12;
  constexpr std::size_t kMost = 9;
  std::string all;
  for (const std::string& one : sheet.plot.not_known) all += (all.empty() ? "" : "; ") + one;
  const double room = std::min(sheet.width() - 60, 400.0);
  std::vector<std::string> lines =
      draw::wrapped((sheet.plot.goes_round ? "NOT KNOWN: " : "NOT KNOWN without: ") + all,
                    room / kSize / 1.02, true);
  if (lines.size() > kMost) {
    lines.resize(kMost);
    lines.back() = "and more: see the table";
  }
  double width = 0;
  for (const std::string& line : lines)
    width = std::max(width, draw::text_width(line, true) * kSize);
  const double height = kLine * static_cast<double>(lines.size()) + kBeside;
  const XY middle{(sheet.x.at_from + sheet.x.at_to) / 2, (sheet.top() + sheet.bottom()) / 2};
  Svg& svg = sheet.words;
  svg.rect("plate", middle - XY{width / 2 + kBeside, height / 2}, width + 2 * kBeside, height);
  for (std::size_t i = 0; i < lines.size(); ++i)
    svg.text(
        "t b",
        middle + XY{-width / 2, -height / 2 + kBeside / 2 + kLine * (static_cast<double>(i) + 0.5)},
        kSize, Anchor::start, lines[i]);
}

// Returns the bottom.
double write_key(MapSheet& sheet, Paper paper, double top) {
  constexpr double kWide = 17, kHigh = 11, kSize = 10.5, kApart = 13;
  XY at{draw::kInside, top};
  const auto entry = [&](std::string_view classes, const std::string& words) {
    const double width = draw::text_width(words) * kSize;
    if (at.x + kWide + 6 + width > draw::kPlotRight) at = {draw::kInside, at.y + 17};
    sheet.svg.rect(classes, at, kWide, kHigh);
    sheet.svg.rect("thin", at, kWide, kHigh);
    sheet.svg.text("t", at + XY{kWide + 5, kHigh / 2}, kSize, Anchor::start, words);
    at.x += kWide + 5 + width + kApart;
  };
  entry("contact", "contact");
  if (sheet.plot.wanted > 0)
    entry("short", "less than " + number_text(sheet.plot.wanted, 1) + " mm, uncertainty taken off");
  if (!sheet.plot.not_known.empty()) {
    entry("unknown", "NOT KNOWN");
    return at.y + kHigh;
  }
  if (!sheet.plot.with_others_shut.empty())
    entry("unknown", "only with the other camshaft's valves shut");
  if (paper == Paper::print) {
    entry("clear4", "no contact expected; lines of equal gap");
    return at.y + kHigh;
  }
  bool is_first = true;
  for (std::size_t step = 0; step < draw::kGapSteps.size(); ++step) {
    if (draw::kGapSteps.at(step) <= sheet.plot.wanted) continue;
    entry("clear" + std::to_string(step), (is_first ? "no contact expected, gap to " : "") +
                                              number_text(draw::kGapSteps.at(step), 0));
    is_first = false;
  }
  entry("clear4", "more than " + number_text(draw::kGapSteps.back(), 0) + " mm");
  return at.y + kHigh;
}

draw::FrameTexts frame_texts(const ClearanceMapPlot& plot) {
  draw::FrameTexts texts{.title = plot.title,
                         .rows = plot.facts,
                         .notes = plot.notes,
                         .caution = std::string(kCaution),
                         .invented = plot.invented,
                         .scale_words = {}};
  return texts;
}

std::string described(const ClearanceMapPlot& plot) {
  std::string words = plot.headline;
  for (const auto& [caption, text] : plot.facts) words += " " + caption + ": " + text + ".";
  for (const std::string& one : plot.not_known)
    words += (plot.goes_round ? " Not known: " : " Not known without: ") + one + ".";
  for (const std::string& note : plot.notes) words += " " + note;
  return words;
}

}  // namespace

std::string clearance_map_svg(const ClearanceMapPlot& plot, const PlotOptions& options) {
  constexpr double kOverMap = 42, kBeforeFrame = 8, kNotesBelow = 14;
  constexpr double kHeadlineLine = 18;
  double top = draw::kFrame + 8 + (plot.invented ? draw::kBannerHeight : 0);
  const auto headline =
      draw::wrapped(plot.headline, (draw::kPlotRight - draw::kInside) / kHeadlineSize, true);
  Svg head;
  for (const std::string& line : headline) {
    head.text("t b", {draw::kInside, top + 12}, kHeadlineSize, Anchor::start, line);
    top += kHeadlineLine;
  }
  MapSheet sheet = sheet_of(plot, top + kOverMap);
  sheet.svg.raw(head.markup());
  sheet.svg.open("g", "clearance-map");
  write_tones(sheet);
  write_not_known(sheet);
  if (plot.way) draw::write_way(sheet, *plot.way);
  write_levels(sheet);
  write_scales(sheet);
  write_chain_lines(sheet);
  sheet.svg.raw(sheet.over.markup());
  sheet.svg.rect("thin", {sheet.x.at_from, sheet.top()}, sheet.width(), sheet.height());
  write_travel(sheet);
  if (!plot.least.empty()) draw::write_least(sheet);
  sheet.svg.raw(sheet.words.markup());
  sheet.svg.close("g");
  const double below = write_key(sheet, options.paper, sheet.bottom() + kAxis + 6) + kKey - 18;
  sheet.svg.open("g", "plain sheet-frame");
  const double height = draw::write_frame(sheet.svg, frame_texts(plot), below + kBeforeFrame,
                                          below + kBeforeFrame + kNotesBelow);
  sheet.svg.close("g");
  const std::string place =
      Svg::attribute("data-left", sheet.x.at_from) + Svg::attribute("data-right", sheet.x.at_to) +
      Svg::attribute("data-top", sheet.top()) + Svg::attribute("data-bottom", sheet.bottom());
  return draw::document_head(
             {options.paper, options.width_px, height, place, draw::clearance_style(options.paper)},
             plot.title + ", gaps of valves", described(plot), "clearance") +
         sheet.svg.markup() + "</svg>\n";
}

}  // namespace tautmark
