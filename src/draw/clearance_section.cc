// SPDX-License-Identifier: Apache-2.0
#include "draw/clearance_section.h"

#include <algorithm>
#include <cmath>

#include "base/quantity_text.h"
#include "draw/clearance_style.h"
#include "draw/section_parts.h"

namespace tautmark {
namespace {

using draw::Anchor;
using draw::Path;
using draw::SectionView;
using draw::Svg;
using draw::XY;

constexpr double kMainLeft = 40, kMainRight = 486, kMainHeight = 440;
constexpr double kDetailRadius = 104;
constexpr XY kDetail{654, 130};  // of its middle, under the top
constexpr std::string_view kCaution =
    "A computed drawing of rigid parts at rest. It allows no turning and shows nothing of bent "
    "valves, debris or other parts. The engine maker's data come first.";

// What is looked at closely: the middle between the head's outer rim and what lies under it.
XY near_point(const SectionValve& valve) {
  const draw::ValveFrame frame = draw::frame_of(valve);
  const XY rim = frame.face + (0.72 * draw::half_head(valve)) * frame.outward;
  const XY end = frame.face + draw::half_head(valve) * frame.outward;
  return (valve.flat_crown ? end : rim) - (std::max(valve.gap, 0.0) / 2) * frame.stem;
}

SectionView main_view(const ClearanceSection& section, double top) {
  const double half = section.bore ? *section.bore / 2 + 7 : draw::half_head(section.valve) + 16;
  const double middle = section.bore ? 0 : section.valve.across;
  const auto [low, high] = draw::height_span(section);
  SectionView view;
  view.scale = std::min((kMainRight - kMainLeft) / (2 * half), kMainHeight / (high - low));
  view.origin = {(kMainLeft + kMainRight) / 2 - middle * view.scale,
                 top + (kMainHeight + (high + low) * view.scale) / 2};
  return view;
}

// Whole numbers, so that the reader can think of it: the gap then is as wide as a finger.
double detail_factor(double gap, double scale) {
  constexpr double kWanted = 56;
  const double factor = kWanted / (std::max(std::abs(gap), 0.3) * scale);
  for (const double whole : {10.0, 8.0, 5.0, 4.0})
    if (factor >= whole) return whole;
  return 3;
}

// Arrows from outside on the two sides of the gap, with its words.
void write_dimension(Svg& svg, const ClearanceSection& section, const SectionView& view) {
  const SectionValve& valve = section.valve;
  const draw::ValveFrame frame = draw::frame_of(valve);
  const double off = valve.flat_crown ? draw::half_head(valve) : 0.72 * draw::half_head(valve);
  const XY head = view.at(frame.face + off * frame.outward);
  const XY piston = view.at(frame.face + off * frame.outward - valve.gap * frame.stem);
  const XY along = view.direction(frame.stem);
  constexpr double kTail = 26, kLong = 8, kHalf = 3;
  const double sign = section.is_contact ? -1 : 1;
  for (const auto& [tip, out] : {std::pair{head, sign * along}, {piston, -sign * along}}) {
    svg.line("accent medium", tip, tip + kTail * out);
    const XY back = tip + kLong * out, aside = kHalf * draw::right_of(out);
    svg.path("way head", Path().move(tip).line(back + aside).line(back - aside).close());
  }
  svg.line("accent thin", head, piston);
}

void write_detail(Svg& svg, const ClearanceSection& section, const SectionView& main, double factor,
                  XY center) {
  SectionView view{.scale = main.scale * factor, .is_detail = true};
  const XY near = near_point(section.valve);
  view.origin = center - XY{near.x * view.scale, -near.y * view.scale};
  const std::string id =
      "tm-near-" + draw::number(std::round(center.x)) + "-" + draw::number(std::round(center.y));
  svg.raw("<clipPath id=\"" + id + "\">");
  svg.circle("", center, kDetailRadius);
  svg.raw("</clipPath>");
  svg.circle("plate", center, kDetailRadius);
  svg.open("g", "detail", Svg::attribute("clip-path", "url(#" + id + ")"));
  draw::write_parts(svg, section, view);
  write_dimension(svg, section, view);
  svg.close("g");
  svg.path("thick", Path().circle(center, kDetailRadius));
  constexpr double kWordsSize = 15;
  svg.text(section.is_contact ? "t b error" : "t b", center + XY{0, kDetailRadius + 18}, kWordsSize,
           Anchor::middle, section.gap_words);
  svg.text("t soft", center + XY{0, kDetailRadius + 35}, draw::kSmall, Anchor::middle,
           "A, " + draw::number(factor) + " times larger");
  const XY spot = main.at(near);
  const double radius = std::max(kDetailRadius / factor, 12.0);
  const double side = section.valve.lean < 0 ? -1 : 1;
  svg.path("casing", Path().circle(spot, radius));
  svg.path("thick", Path().circle(spot, radius));
  svg.text("t b", spot + XY{side * (radius + 10), radius * 0.75}, kWordsSize, Anchor::middle, "A");
}

draw::FrameTexts frame_texts(const ClearanceSection& section, double scale) {
  return {.title = section.title,
          .rows = section.facts,
          .notes = section.notes,
          .caution = std::string(kCaution),
          .invented = section.invented,
          .scale_bar = true,
          .units_per_mm = scale};
}

std::string described(const ClearanceSection& section) {
  std::string words = section.headline + " " + section.gap_words + ", " + section.crank_words + ".";
  for (const auto& [caption, text] : section.facts) words += " " + caption + ": " + text + ".";
  for (const std::string& note : section.notes) words += " " + note;
  return words;
}

}  // namespace

std::string clearance_section_svg(const ClearanceSection& section, const PlotOptions& options) {
  constexpr double kOver = 26, kNotKnownLine = 15, kNotesBelow = 12, kCrankTop = 290;
  const double top = draw::kFrame + 8 + (section.invented ? draw::kBannerHeight : 0);
  Svg svg;
  svg.text("t b", {draw::kInside, top + 12}, 13.5, Anchor::start, section.headline);
  double y = top + kOver;
  if (!section.not_known.empty()) {
    std::string all;
    for (const std::string& one : section.not_known) all += (all.empty() ? "" : "; ") + one;
    constexpr double kSize = 11.5;
    for (const std::string& line : draw::wrapped(
             "NOT KNOWN without: " + all, (draw::kPlotRight - draw::kInside) / kSize, true)) {
      svg.text("t b", {draw::kInside, y + kNotKnownLine / 2}, kSize, Anchor::start, line);
      y += kNotKnownLine;
    }
    y += 4;
  }
  const SectionView view = main_view(section, y);
  const double factor = detail_factor(section.valve.gap, view.scale);
  svg.open("g", "clearance-section");
  draw::write_parts(svg, section, view);
  draw::write_names(svg, section, view);
  write_detail(svg, section, view, factor, XY{kDetail.x, y + kDetail.y - 8});
  if (section.crank)
    draw::write_crank(svg, *section.crank, section.crank_words, {kDetail.x, y + kCrankTop},
                      kMainHeight - kCrankTop);
  svg.close("g");
  const double below = y + kMainHeight + 6;
  svg.open("g", "plain sheet-frame");
  const double height =
      draw::write_frame(svg, frame_texts(section, view.scale), below, below + kNotesBelow);
  svg.close("g");
  const std::string place = Svg::attribute("data-units-per-mm", view.scale) +
                            Svg::attribute("data-detail-scale", view.scale * factor);
  return draw::document_head(
             {options.paper, options.width_px, height, place, draw::clearance_style(options.paper)},
             section.title + ", valve and piston", described(section), "clearance") +
         svg.markup() + "</svg>\n";
}

}  // namespace tautmark
