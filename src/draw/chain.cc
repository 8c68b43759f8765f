// SPDX-License-Identifier: Apache-2.0
// Each link: inner plates below, outer plates with their pins above, marked links over both. A
// belt: its band, and one tooth for each pitch.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <set>

#include "draw/parts.h"

namespace tautmark::draw {
namespace {

// In link lengths.
constexpr double kOuterEnd = 0.36, kOuterWaist = 0.25;
constexpr double kInnerEnd = 0.43, kInnerWaist = 0.31;
constexpr double kPin = 0.15;
constexpr double kBackOut = 0.16, kBackIn = 0.1;       // belt: band beside the pitch line
constexpr double kToothTip = 0.34, kToothHalf = 0.26;  // belt: height and half width of a tooth

// Two round ends and a waist, from (0, 0) to (length, 0).
Path plate(double q, double end, double waist) {
  const double e = end * q, w = waist * q;
  return Path()
      .move({0, -e})
      .cubic({0.28 * q, -e}, {0.3 * q, -w}, {0.5 * q, -w})
      .cubic({0.7 * q, -w}, {0.72 * q, -e}, {q, -e})
      .arc(e, false, true, {q, e})
      .cubic({0.72 * q, e}, {0.7 * q, w}, {0.5 * q, w})
      .cubic({0.3 * q, w}, {0.28 * q, e}, {0, e})
      .arc(e, false, true, {0, -e})
      .close();
}

struct Row {  // a closed row of pins on the sheet
  std::vector<XY> pins;
  [[nodiscard]] XY pin(std::size_t i) const { return pins[i % pins.size()]; }
  [[nodiscard]] double heading(std::size_t link) const {
    const XY d = pin(link + 1) - pin(link);
    return in_degrees(std::atan2(d.y, d.x));
  }
};

Row row_of(const Sheet& sheet, const FigureChain& chain) {
  Row row;
  row.pins.reserve(chain.pins.size());
  for (const Point& pin : chain.pins) row.pins.push_back(sheet.at(pin));
  return row;
}

// The color of every link, or none (size of the colors).
std::vector<std::size_t> colors_of(const Sheet& sheet, const FigureChain& chain) {
  std::vector<std::size_t> colors(chain.pins.size(), sheet.colors.size());
  for (const FigureLinkMark& mark : chain.marked)
    colors[mark.link % colors.size()] = color_index(sheet.colors, mark.color);
  return colors;
}

std::string link_data(std::size_t link) { return fmt::format(" data-link=\"{}\"", link); }

void write_links(Sheet& sheet, const FigureChain& chain, const Row& row) {
  const double q = link_length(sheet, chain);
  const auto colors = colors_of(sheet, chain);
  const std::size_t none = sheet.colors.size(), n = row.pins.size();
  const Paper paper = sheet.options.paper;
  const std::string inner = link_id("inner", q, paper), outer = link_id("outer", q, paper);
  for (const bool is_outer : {false, true})
    for (std::size_t i = is_outer ? 0 : 1; i < n; i += 2)
      if (colors[i] == none)
        sheet.svg.use(is_outer ? outer : inner, row.pin(i), row.heading(i), link_data(i));
}

// The tooth of a belt points to the inside of the loop, right of travel unless `flip`.
double tooth_heading(const Row& row, std::size_t i, bool flip) {
  const XY along = row.pin(i + 1) - row.pin(i + row.pins.size() - 1);
  return in_degrees(std::atan2(along.y, along.x)) + (flip ? 180 : 0);
}

void write_belt(Sheet& sheet, const FigureChain& chain, const Row& row) {
  const double q = link_length(sheet, chain);
  const std::size_t n = row.pins.size();
  const bool flip = !is_inside_right_of_travel(sheet, chain);
  const auto along = [&](std::size_t i) { return row.pin(i + 1) - row.pin(i + n - 1); };
  const std::string tooth = link_id("tooth", q, sheet.options.paper);
  sheet.svg.open("g", "tooth");
  for (std::size_t i = 0; i < n; ++i)
    sheet.svg.use(tooth, row.pin(i), tooth_heading(row, i, flip), link_data(i));
  sheet.svg.close("g");
  // A smooth curve through the pins, moved from the pitch line to the middle of the band.
  const double out = (kBackIn - kBackOut) / 2 * q * (flip ? -1 : 1);
  const auto middle = [&](std::size_t i) { return row.pin(i) + right_of(unit(along(i))) * out; };
  Path band;
  band.move(middle(0));
  for (std::size_t i = 0; i < n; ++i)
    band.cubic(middle(i) + along(i) * (1.0 / 6), middle(i + 1) - along(i + 1) * (1.0 / 6),
               middle(i + 1));
  band.close();
  const double width = (kBackIn + kBackOut) * q;
  sheet.svg.path("band", band, Svg::attribute("style", "stroke-width:" + number(width + 1.7)));
  sheet.svg.path("band core", band, Svg::attribute("style", "stroke-width:" + number(width - 0.9)));
}

// In the outer form, whatever the link is: between two outer plates little is seen of an inner one.
// Over every chain: one that lies behind another is dashed there, as what is hidden is on a
// drawing.
void write_marked(Sheet& sheet, std::size_t index, const std::vector<Row>& rows) {
  const FigureChain& chain = sheet.figure.chains[index];
  const Row& row = rows[index];
  const double q = link_length(sheet, chain);
  const auto colors = colors_of(sheet, chain);
  const bool flip = chain.belt && !is_inside_right_of_travel(sheet, chain);
  const std::string shape = link_id(chain.belt ? "line" : "outer", q, sheet.options.paper);
  const auto is_behind = [&](XY middle) {
    return std::any_of(rows.begin(), rows.begin() + static_cast<std::ptrdiff_t>(index),
                       [&](const Row& front) {
                         return std::any_of(front.pins.begin(), front.pins.end(),
                                            [&](XY pin) { return length(pin - middle) < 0.6 * q; });
                       });
  };
  for (std::size_t i = 0; i < row.pins.size(); ++i) {
    if (colors[i] == sheet.colors.size()) continue;
    const XY middle = (row.pin(i) + row.pin(i + 1)) * 0.5;
    const std::string_view behind = is_behind(middle) ? " behind" : "";
    // The line across a belt lies over the pulley's tooth, which is between two of the belt's.
    sheet.svg.use(shape, chain.belt ? middle : row.pin(i),
                  chain.belt ? row.heading(i) + (flip ? 180 : 0) : row.heading(i),
                  fmt::format(" class=\"marked c{}{}\"", colors[i], behind) + link_data(i));
  }
}

// The nearest free place beside a marked link, outside of the loop before inside.
std::optional<XY> tag_place(const Sheet& sheet, XY link, XY outward, double nearest) {
  constexpr std::array kSlants{0.0, 0.6, -0.6, 1.0, -1.0, 1.3, -1.3};
  // Over the drawing when there is no room beside it: a mark without its tag would be lost.
  for (const bool clear : {true, false})
    for (const double further : {0.0, 9.0, 20.0, 34.0, 55.0})
      for (const double side : {1.0, -1.0})
        for (const double slant : kSlants) {
          const XY out = outward * side, along = right_of(out);
          const XY at = link + (out * std::cos(slant) + along * std::sin(slant)) *
                                   ((nearest + further) / std::cos(0.7 * slant));
          const Box box{at, kTagRadius + 1, kTagRadius + 1};
          const XY between = at - link;
          const Box leader{(at + link) * 0.5, length(between) / 2, 1, unit(between)};
          if (!sheet.labels.is_inside(box) || !sheet.labels.is_free(box)) continue;
          if (clear && (!sheet.labels.is_free(leader) ||
                        !sheet.labels.is_clear({at, kTagRadius - 1, kTagRadius - 1})))
            continue;
          return at;
        }
  return std::nullopt;
}

}  // namespace

double link_length(const Sheet& sheet, const FigureChain& chain) {
  const Row row = row_of(sheet, chain);
  double sum = 0;
  for (std::size_t i = 0; i < row.pins.size(); ++i) sum += length(row.pin(i + 1) - row.pin(i));
  return row.pins.empty() ? 0 : sum / static_cast<double>(row.pins.size());
}

// Size and paper are part of the name: two drawings may stand on one page.
std::string link_id(std::string_view shape, double length, Paper paper) {
  return fmt::format("{}-{}-{}", paper_class(paper), shape, number(length));
}

std::string link_shapes(double q, Paper paper) {
  Svg svg;
  const auto shape = [&](std::string_view name, const Path& path, bool pins) {
    svg.open("g", "", Svg::attribute("id", link_id(name, q, paper)));
    svg.raw("<path d=\"" + path.d() + "\"/>");
    if (pins) {
      for (const double x : {0.0, q})
        svg.raw(fmt::format(R"(<circle fill="{}" stroke-width=".6" cx="{}" r="{}"/>)",
                            paper_fill(paper), number(x), number(kPin * q)));
    }
    svg.close("g");
  };
  svg.open("defs", "");
  shape("inner", plate(q, kInnerEnd, kInnerWaist), false);
  shape("outer", plate(q, kOuterEnd, kOuterWaist), true);
  const double half = kToothHalf * q, tip = kToothTip * q, foot = kBackIn * q * 0.5;
  shape("tooth",
        Path()
            .move({-half, foot})
            .line({-0.7 * half, tip})
            .line({0.7 * half, tip})
            .line({half, foot})
            .close(),
        false);
  shape("line",
        Path()
            .move({-half, -kBackOut * q})
            .line({-half, foot})
            .line({-0.7 * half, tip})
            .line({0.7 * half, tip})
            .line({half, foot})
            .line({half, -kBackOut * q})
            .close(),
        false);
  svg.close("defs");
  return svg.markup();
}

bool is_inside_right_of_travel(const Sheet& sheet, const FigureChain& chain) {
  const Row row = row_of(sheet, chain);
  double twice_area = 0;
  for (std::size_t i = 0; i < row.pins.size(); ++i)
    twice_area += row.pin(i).x * row.pin(i + 1).y - row.pin(i).y * row.pin(i + 1).x;
  return twice_area > 0;
}

void draw_chains(Sheet& sheet) {
  const auto& chains = sheet.figure.chains;
  std::vector<Row> rows;
  std::vector<double> lengths;
  std::set<std::string> defined;
  for (const FigureChain& chain : chains) {
    rows.push_back(row_of(sheet, chain));
    lengths.push_back(link_length(sheet, chain));
    const std::string shapes = link_shapes(lengths.back(), sheet.options.paper);
    if (defined.insert(shapes).second) sheet.svg.raw(shapes);
  }
  const auto group = [&](std::size_t i, std::string_view classes, const auto& write) {
    sheet.svg.open("g", classes,
                   Svg::attribute("data-chain", chains[i].name) +
                       Svg::attribute("data-links", static_cast<double>(chains[i].pins.size())));
    write();
    sheet.svg.close("g");
  };
  // The first chain is the front one: it is drawn last.
  for (std::size_t i = chains.size(); i-- > 0;)
    group(i, "chain plates", [&] {
      chains[i].belt ? write_belt(sheet, chains[i], rows[i])
                     : write_links(sheet, chains[i], rows[i]);
    });
  for (std::size_t i = chains.size(); i-- > 0;)
    if (!chains[i].marked.empty())
      group(i, "chain-marks plates", [&] { write_marked(sheet, i, rows); });
  for (std::size_t i = 0; i < chains.size(); ++i)
    for (std::size_t k = 0; k < rows[i].pins.size(); ++k)
      sheet.labels.keep_clear((rows[i].pin(k) + rows[i].pin(k + 1)) * 0.5, 0.62 * lengths[i]);
}

// One tag for each run of neighboring links of one color, outside of the loop where there is room.
void draw_link_tags(Sheet& sheet) {
  for (std::size_t c = 0; c < sheet.figure.chains.size(); ++c) {
    const FigureChain& chain = sheet.figure.chains[c];
    const Row row = row_of(sheet, chain);
    const auto colors = colors_of(sheet, chain);
    const std::size_t n = row.pins.size(), none = sheet.colors.size();
    const double outward = is_inside_right_of_travel(sheet, chain) ? -1 : 1;
    const double q = link_length(sheet, chain);
    for (std::size_t i = 0; i < n; ++i) {
      if (colors[i] == none || colors[(i + n - 1) % n] == colors[i]) continue;
      std::size_t run = 1;
      while (run < n && colors[(i + run) % n] == colors[i]) ++run;
      const XY first = (row.pin(i) + row.pin(i + 1)) * 0.5;
      const XY last = (row.pin(i + run - 1) + row.pin(i + run)) * 0.5;
      const XY middle = (first + last) * 0.5;
      const XY normal = right_of(unit(row.pin(i + run) - row.pin(i))) * outward;
      const auto at = tag_place(sheet, middle, normal, 0.42 * q + kTagRadius + 4);
      if (!at) continue;
      Svg& svg = sheet.words;
      svg.open("g", "tag", Svg::attribute("data-color", sheet.colors[colors[i]].name));
      svg.path("thin", Path().move(middle).line(*at));
      write_tag(svg, sheet.colors, colors[i], *at, sheet.numbers.of_chain[c]);
      svg.close("g");
      sheet.labels.take({*at, kTagRadius, kTagRadius});
    }
  }
}

}  // namespace tautmark::draw
