// SPDX-License-Identifier: Apache-2.0
// How drawings look. Weights of lines as on a drawing: thick is a contour, thin an edge or a
// dimension, dashed what is hidden or not there now, dash-dot a center line. One accent: what is
// wrong now. Colors are written out, because not every program that prints SVG knows variables.
#include <fmt/format.h>

#include "draw/sheet.h"

namespace tautmark {
namespace draw {
namespace {

struct Inks {
  std::string_view name, ink, paper, soft, fill, accent;
};
Inks inks(Paper paper) {
  switch (paper) {
    case Paper::dark:
      return {"tm-dark", "#e8e6df", "#15181b", "#a4a9ae", "#262c32", "#8db8f0"};
    case Paper::print:
      return {"tm-print", "#000", "#fff", "#000", "#fff", "#000"};
    case Paper::screen:
      break;
  }
  return {"tm-screen", "#15181b", "#fdfcf9", "#565b60", "#eeebe3", "#1d4f91"};
}

constexpr std::string_view kLetters =
    "Bahnschrift,'DIN Alternate','Arial Narrow','Liberation Sans Narrow','DejaVu Sans Condensed',"
    "sans-serif";

// {0} scope, {1} ink, {2} paper, {3} soft ink, {4} light fill, {5} accent, {6} letters
constexpr std::string_view kStyle =
    // Inherited from the root: what <use> copies is not reached by every selector everywhere.
    "{0}{{color:{1};font-family:{6};font-variant-numeric:tabular-nums lining-nums;stroke:{1};"
    "fill:none;stroke-linejoin:round;stroke-linecap:round}}"
    "{0} .ground{{fill:{2};stroke:none}}"
    "{0} .thick{{stroke-width:1.7}}{0} .medium{{stroke-width:1.1}}{0} .thin{{stroke-width:.6}}"
    "{0} .hidden{{stroke-width:.7;stroke-dasharray:4 2.4}}"
    "{0} .center{{stroke-width:.5;stroke:{3};stroke-dasharray:11 2.5 1.5 2.5;stroke-linecap:butt}}"
    "{0} .paper{{fill:{2}}}{0} .light{{fill:{4}}}{0} .ink{{fill:{1}}}"
    "{0} .dot{{fill:{1};stroke:none}}"
    "{0} .plates{{stroke-width:.85;fill:{2}}}"
    "{0} .band{{fill:none}}{0} .band.core{{stroke:{2}}}"
    "{0} .tooth{{stroke:none;fill:{1}}}"
    "{0} .error{{stroke:{5};stroke-width:1.7}}{0} .error.head{{fill:{5};stroke-width:.4}}"
    "{0} .error.thin{{stroke-width:.7}}"
    "{0} text{{fill:{1};stroke:{2};stroke-width:3px;paint-order:stroke;stroke-linejoin:round}}"
    "{0} .b{{font-weight:700}}{0} .soft{{fill:{3}}}{0} text.error{{fill:{5};stroke:{2};"
    "stroke-width:3px}}{0} .plain text,{0} .tag text{{stroke:none}}"
    "{0} .behind{{stroke-dasharray:2.2 1.6}}{0} .shade{{stroke:none;fill:{4}}}";

// A filling that needs no color: solid, hatched, crossed, dotted.
std::string pattern(std::size_t index) {
  constexpr std::string_view kHead =
      R"(<pattern id="tm-fill-{}" width="3" height="3" patternUnits="userSpaceOnUse">)"
      R"(<rect width="3" height="3" style="fill:#fff;stroke:none"/>)"
      R"(<path style="stroke:#000;stroke-width:{};fill:none" d="{}"/></pattern>)";
  switch (index % 4) {
    case 1:
      return fmt::format(kHead, 1, 1, "M-1 1L1 -1M0 3L3 0M2 4L4 2");
    case 2:
      return fmt::format(kHead, 2, 0.8, "M0 1.5H3M1.5 0V3");
    case 3:
      return fmt::format(kHead, 3, 1.2, "M1 1.5H2");
    default:
      return {};
  }
}

}  // namespace
}  // namespace draw

std::optional<Paper> paper_named(std::string_view name) {
  if (name == "screen") return Paper::screen;
  if (name == "dark") return Paper::dark;
  if (name == "print") return Paper::print;
  return std::nullopt;
}

namespace draw {

std::string_view paper_class(Paper paper) { return inks(paper).name; }
std::string_view paper_fill(Paper paper) { return inks(paper).paper; }

std::string style_sheet(Paper paper, const std::vector<LinkColor>& colors) {
  const Inks own = inks(paper);
  const std::string scope = "." + std::string(own.name);
  std::string style =
      fmt::format(kStyle, scope, own.ink, own.paper, own.soft, own.fill, own.accent, kLetters);
  // On white paper a light gray is a raster: an outline says the same.
  if (paper == Paper::print)
    style += fmt::format(
        "{0} .behind{{stroke-dasharray:2.2 1.6}}{0} .shade{{stroke:{1};stroke-width:.6}}", scope,
        own.ink);
  std::string patterns;
  for (std::size_t i = 0; i < colors.size(); ++i) {
    std::string fill = colors[i].fill;
    if (paper == Paper::print) {
      patterns += pattern(i);
      fill = i % 4 == 0 ? "#000" : fmt::format("url(#tm-fill-{})", i % 4);
    }
    style += fmt::format("{0} .c{1}{{fill:{2};stroke-width:1.1}}", scope, i, fill);
  }
  return "<style>" + style + "</style>" +
         (patterns.empty() ? patterns : "<defs>" + patterns + "</defs>") + "\n";
}

std::string plot_style(Paper paper) {
  const Inks own = inks(paper);
  const std::string scope = "." + std::string(own.name);
  // {0} scope, {1} ink, {2} paper, {3} soft ink, {4} light fill, {5} accent
  std::string style = fmt::format(
      "{0} .grid{{stroke:{3};stroke-width:.35;stroke-dasharray:1 3}}"
      "{0} .trace{{stroke-width:.9;stroke-linejoin:miter}}{0} .cut{{stroke:{2};stroke-width:2}}"
      "{0} .ink-fill{{fill:{1};stroke:none}}{0} .accent-fill{{fill:{5};stroke:none}}"
      "{0} .accent{{stroke:{5}}}{0} .accent-dot{{fill:{5};stroke:none}}"
      "{0} .pale{{stroke:{3}}}{0} .pale-dot{{fill:{2};stroke:{3};stroke-width:.7}}"
      "{0} .center-line{{stroke-width:.9;stroke-dasharray:11 2.5 1.5 2.5;stroke-linecap:butt}}"
      "{0} .band-ink,{0} .band-accent,{0} .band-pale{{stroke-width:1.6;stroke-linecap:butt}}"
      "{0} .band-ink,{0} .band-pale{{stroke:{3}}}{0} .band-accent{{stroke:{5}}}"
      "{0} .wide{{opacity:.3}}{0} .mean{{stroke-width:1.3}}"
      "{0} .pale-bin{{fill:none;stroke:{3};stroke-width:.8;stroke-dasharray:2.2 1.6}}"
      "{0} .accent-bin{{fill:{5};fill-opacity:.25;stroke:{5};stroke-width:.7}}",
      scope, own.ink, own.paper, own.soft, own.fill, own.accent);
  std::string patterns;
  if (paper == Paper::print) {  // gaps and stops hatched, not outlined
    style += fmt::format(
        "{0} .shade.gap,{0} .shade.stop{{fill:url(#tm-hatch);stroke:none}}"
        "{0} .band-ink,{0} .band-accent,{0} .band-pale{{stroke-width:.7}}"
        "{0} .wide{{stroke-width:.3;opacity:1}}{0} .mean{{stroke-width:1.9}}"
        "{0} .accent-bin{{fill:#fff;fill-opacity:1}}",
        scope);
    patterns =
        "<defs><pattern id=\"tm-hatch\" width=\"5\" height=\"5\" "
        "patternUnits=\"userSpaceOnUse\"><path style=\"stroke:#000;stroke-width:.4;fill:none\" "
        "d=\"M-1 1L1 -1M0 5L5 0M4 6L6 4\"/></pattern></defs>";
  }
  std::string sheet = style_sheet(paper, {});
  sheet.insert(sheet.find("</style>"), style);
  return patterns + sheet;
}

std::string document_head(const Page& page, std::string_view title, std::string_view about,
                          std::string_view kind) {
  return fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"tautmark-drawing {} {}\" role=\"img\" "
      "aria-label=\"{}\" viewBox=\"0 0 {} {}\" width=\"{}\" height=\"{}\"{}>\n"
      "<title>{}</title>\n<desc>{}</desc>\n{}<rect class=\"ground\" width=\"{}\" height=\"{}\"/>\n",
      kind, paper_class(page.paper), escaped(title), number(kSheetWidth), number(page.height),
      page.width_px, number(page.height * page.width_px / kSheetWidth), page.attributes,
      escaped(title), escaped(about), page.style, number(kSheetWidth), number(page.height));
}

std::string document_head(const Sheet& sheet, double height, std::string_view title,
                          std::string_view about, std::string_view kind) {
  const DrawOptions& options = sheet.options;
  const std::string attributes =
      Svg::attribute("data-units-per-mm", sheet.scale / 1000) +
      Svg::attribute("data-origin-x", sheet.origin.x) +
      Svg::attribute("data-origin-y", sheet.origin.y) +
      Svg::attribute("data-mirrored", options.mirrored ? "true" : "false");
  return document_head({options.paper, options.width_px, height, attributes,
                        style_sheet(options.paper, sheet.colors)},
                       title, about, kind);
}

}  // namespace draw
}  // namespace tautmark
