// SPDX-License-Identifier: Apache-2.0
#include "draw/clearance_style.h"

#include <fmt/format.h>

#include "draw/sheet.h"

namespace tautmark::draw {
namespace {

struct Tones {
  std::string_view contact, hatch, below, dots, unknown, dash, metal, cut, way;
  std::array<std::string_view, kGapSteps.size() + 1> clear;
};

Tones tones(Paper paper) {
  switch (paper) {
    case Paper::dark:
      return {"#e0937c", "#15181b",
              "#8d6d22", "#d9bd77",
              "#24282c", "#7d8388",
              "#3a424a", "#8f979d",
              "#8db8f0", {"#3f6470", "#34525c", "#2b424a", "#23343b", "#1d282d"}};
    case Paper::print:
      return {"#fff", "#000", "#fff", "#000", "#fff",
              "#000", "#fff", "#000", "#000", {"#fff", "#fff", "#fff", "#fff", "#fff"}};
    case Paper::screen:
      break;
  }
  return {"#6f2439", "#fdfcf9",
          "#e3b458", "#8a5f10",
          "#f1efe9", "#8b8f92",
          "#d9dadb", "#6b7074",
          "#1d4f91", {"#a8c8d1", "#bfd7dc", "#d4e4e6", "#e5eeed", "#f3f6f2"}};
}

// {0} paper, then a tile {1} wide with its ground {2} and lines {3} of width {4} along {5}
constexpr std::string_view kTile =
    "<pattern id=\"{6}-{0}\" width=\"{1}\" height=\"{1}\" patternUnits=\"userSpaceOnUse\">"
    "<rect width=\"{1}\" height=\"{1}\" style=\"fill:{2};stroke:none\"/>"
    "<path style=\"stroke:{3};stroke-width:{4};fill:none\" d=\"{5}\"/></pattern>";

}  // namespace

std::string clearance_style(Paper paper) {
  const Tones own = tones(paper);
  const std::string_view name = paper_class(paper);
  const bool is_print = paper == Paper::print;
  std::string tiles = "<defs>";
  tiles += fmt::format(kTile, name, 6, own.contact, own.hatch, is_print ? 1.1 : 0.9,
                       is_print ? "M-1 1L1 -1M0 6L6 0M5 7L7 5M-1 5L1 7M0 0L6 6M5 -1L7 1"
                                : "M-1 1L1 -1M0 6L6 0M5 7L7 5",
                       "tm-contact");
  tiles += fmt::format(kTile, name, 4, own.below, own.dots, 1.1, "M1.4 2H2.6", "tm-short");
  tiles += fmt::format(kTile, name, 9, own.unknown, own.dash, 0.6, "M2 4.5H7", "tm-unknown");
  tiles += fmt::format(kTile, name, 5, own.metal, own.cut, 0.45, "M-1 1L1 -1M0 5L5 0M4 6L6 4",
                       "tm-metal");
  tiles += fmt::format(kTile, name, 5, own.metal, own.cut, 0.45, "M4 -1L6 1M0 0L5 5M-1 4L1 6",
                       "tm-block");
  tiles += "</defs>";
  const std::string scope = "." + std::string(name);
  std::string style = fmt::format(
      "{0} .contact{{fill:url(#tm-contact-{1});stroke:none}}"
      "{0} .short{{fill:url(#tm-short-{1});stroke:none}}"
      "{0} .unknown{{fill:url(#tm-unknown-{1});stroke:none}}"
      "{0} .cutaway{{fill:url(#tm-metal-{1})}}{0} .cutaway.block{{fill:url(#tm-block-{1})}}{0} "
      ".metal{{fill:{2}}}{0} .bare{{stroke:none}}"
      "{0} .rim{{stroke-width:1.3}}{0} .level{{stroke-width:.7;opacity:.75}}"
      "{0} .way{{stroke:{3};stroke-width:2.4}}{0} .way.head{{fill:{3};stroke-width:.5}}"
      "{0} .badge{{fill:{3};stroke:none}}{0} text.in-badge{{fill:{4};stroke:none}}"
      "{0} .casing{{stroke:{4};stroke-width:5.4}}{0} .plate{{fill:{4};stroke-width:.9}}",
      scope, name, own.metal, own.way, paper_fill(paper));
  for (std::size_t i = 0; i < own.clear.size(); ++i)
    style += fmt::format("{} .clear{}{{fill:{};stroke:none}}", scope, i, own.clear.at(i));
  std::string sheet = plot_style(paper);
  sheet.insert(sheet.find("</style>"), style);
  return tiles + sheet;
}

}  // namespace tautmark::draw
