// SPDX-License-Identifier: Apache-2.0
#include "draw/oil_style.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "draw/sheet.h"

namespace tautmark::draw {
namespace {

struct Tones {
  std::string_view ink, flow, low, panel;
  std::array<std::string_view, kPressureTones> tone, on;
  std::array<std::string_view, 4> zone;
};

// Texts on their tones have a contrast of at least 4.5, large numbers of at least 7 (WCAG 2.1).
Tones tones(Paper paper) {
  switch (paper) {
    case Paper::dark:
      return {"#e8e6df",
              "#e0b154",
              "#ff9d85",
              "#1b2024",
              {"#1a232c", "#22364a", "#2f527a", "#7fb0ea", "#b3d3f8"},
              {"#f2f1ec", "#f2f1ec", "#ffffff", "#0c1116", "#0c1116"},
              {"url(#tm-zone-tm-dark)", "#3a3222", "#263238", "#1e3530"}};
    case Paper::print:
      return {"#000",
              "#000",
              "#000",
              "#fff",
              {"#fff", "#fff", "#fff", "#fff", "#fff"},
              {"#000", "#000", "#000", "#000", "#000"},
              {"url(#tm-zone-tm-print)", "#fff", "#fff", "#fff"}};
    case Paper::screen:
      break;
  }
  return {"#15181b",
          "#a06a00",
          "#9c1b34",
          "#f5f3ec",
          {"#f4f8fc", "#d3e4f4", "#a3c6e8", "#22598f", "#0d3562"},
          {"#0c1116", "#0c1116", "#0c1116", "#ffffff", "#ffffff"},
          {"url(#tm-zone-tm-screen)", "#f6e6bd", "#e9eef0", "#d9ecdf"}};
}

}  // namespace

int pressure_tone(double pressure, double highest) {
  if (!std::isfinite(pressure) || !(highest > 0)) return 0;
  const double share = pressure / highest * kPressureTones;
  return std::clamp(static_cast<int>(share), 0, kPressureTones - 1);
}

std::string oil_style(Paper paper) {
  const Tones own = tones(paper);
  const std::string scope = "." + std::string(paper_class(paper));
  const std::string_view sheet_paper = paper_fill(paper);
  const bool is_dark = paper == Paper::dark, is_print = paper == Paper::print;
  std::string style = fmt::format(
      "{0} .flow{{stroke:{2};stroke-linecap:butt}}{0} .flow-fill{{fill:{2};stroke:none}}"
      "{0} .low{{stroke:{3};stroke-width:3.4}}{0} .low-fill{{fill:{3};stroke:none}}"
      "{0} text.on-low{{fill:{4};stroke:none}}{0} text.warn{{fill:{3}}}"
      "{0} .panel{{fill:{5};stroke:{1};stroke-width:.8;stroke-opacity:.45}}"
      "{0} .symbol{{fill:{4};stroke:{1};stroke-width:1.7}}{0} .bare{{stroke:none}}"
      "{0} .edge{{stroke:{1};stroke-width:1.7}}{0} .wall{{stroke:{1};stroke-width:2.6;"
      "stroke-linecap:butt}}{0} .hatch{{stroke:{1};stroke-width:.9}}"
      "{0} .rail{{stroke:{1};stroke-width:1.2}}{0} .plate{{stroke:{1};stroke-width:1.5}}"
      "{0} .curve{{stroke:{1};stroke-width:2.8}}{0} .spread{{fill:{1};fill-opacity:{6};"
      "stroke:none}}{0} .bar{{stroke-width:2;stroke-linecap:butt}}{0} .spot{{fill:{4};"
      "stroke-width:2.6}}{0} .rule{{stroke:{1};stroke-width:.5;stroke-opacity:.35}}"
      "{0} .limit-line{{stroke:{3};stroke-width:2.6;stroke-dasharray:9 5;stroke-linecap:butt}}"
      "{0} .limit-curve{{stroke:{3};stroke-width:3}}",
      scope, own.ink, own.flow, own.low, sheet_paper, own.panel, is_dark ? ".22" : ".14");
  if (is_print)
    style += fmt::format(
        "{0} .spread{{fill:none;stroke:#000;stroke-width:.6;"
        "stroke-dasharray:3 2}}",
        scope);
  for (std::size_t i = 0; i < own.tone.size(); ++i)
    style += fmt::format("{0} .tone{1}{{fill:{2}}}{0} text.on{1}{{fill:{3};stroke:none}}", scope, i,
                         own.tone.at(i), own.on.at(i));
  for (std::size_t i = 0; i < own.zone.size(); ++i)
    style += fmt::format("{0} .zone{1}{{fill:{2};stroke:none}}", scope, i, own.zone.at(i));
  const std::string tile = fmt::format(
      "<defs><pattern id=\"tm-zone-{0}\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\">"
      "<rect width=\"8\" height=\"8\" style=\"fill:{1};stroke:none\"/>"
      "<path style=\"stroke:{2};stroke-width:{3};fill:none\" d=\"M-1 1L1 -1M0 8L8 0M7 9L9 7\"/>"
      "</pattern></defs>",
      paper_class(paper),
      is_dark    ? "#3b2622"
      : is_print ? "#fff"
                 : "#f6dcdc",
      is_dark    ? "#7a4a40"
      : is_print ? "#000"
                 : "#d79aa4",
      is_print ? ".5" : "1");
  std::string sheet = plot_style(paper);
  sheet.insert(sheet.find("</style>"), style);
  return tile + sheet;
}

}  // namespace tautmark::draw
