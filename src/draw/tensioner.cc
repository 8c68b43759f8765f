// SPDX-License-Identifier: Apache-2.0
// The tensioner: body with its hidden bore, plunger at its extension, end of stroke dashed, and the
// extension as a dimension.
#include <algorithm>

#include "base/quantity_text.h"
#include "draw/parts.h"

namespace tautmark::draw {
namespace {

// In pitches.
constexpr double kBodyHalf = 1.25, kPlungerHalf = 0.62, kLeastLength = 3.4, kEar = 0.8;
constexpr double kDimensionAt = 1.9;  // beside the axis

std::string stroke_words(const FigureTensioner& tensioner) {
  const auto text = [](Length l) {
    std::string words = number_text(in_mm(l), 1);
    if (words.ends_with(".0")) words.resize(words.size() - 2);
    return words;
  };
  if (tensioner.extension && tensioner.stroke)
    return number_text(in_mm(*tensioner.extension), 1) + " of " + text(*tensioner.stroke) + " mm";
  if (tensioner.extension) return number_text(in_mm(*tensioner.extension), 1) + " mm";
  return "stroke " + text(*tensioner.stroke) + " mm";
}

struct Frame {  // along the travel, across it
  XY base, along, across;
  [[nodiscard]] XY at(double x, double y) const { return base + along * x + across * y; }
  [[nodiscard]] Path rect(double x1, double x2, double half) const {
    return Path()
        .move(at(x1, -half))
        .line(at(x2, -half))
        .line(at(x2, half))
        .line(at(x1, half))
        .close();
  }
};

void arrow(Svg& svg, XY tip, XY heading) {
  const XY back = tip - heading * 7, across = right_of(heading) * 2;
  svg.path("thin ink", Path().move(tip).line(back + across).line(back - across).close());
}

// Both faces, and arrows from inside or, where it is short, from outside.
void dimension(Sheet& sheet, const Frame& f, const FigureTensioner& tensioner, double p) {
  Svg& svg = sheet.svg;
  const double end = sheet.units(*tensioner.extension);
  // On the side away from the crankshaft there is more room.
  const double side = dot(f.across, f.base - sheet.origin) > 0 ? 1 : -1;
  const double y = side * kDimensionAt * p;
  svg.open("g", "dimension");
  svg.line("thin", f.at(0, side * (kBodyHalf + 0.15) * p), f.at(0, y + side * 4));
  svg.line("thin", f.at(end, side * (kPlungerHalf + 0.15) * p), f.at(end, y + side * 4));
  constexpr double kRoom = 20, kTail = 16;
  if (end > kRoom) {
    svg.line("thin", f.at(0, y), f.at(end, y));
    arrow(svg, f.at(0, y), f.along * -1);
    arrow(svg, f.at(end, y), f.along);
  } else {
    svg.line("thin", f.at(-kTail, y), f.at(end + kTail, y));
    arrow(svg, f.at(0, y), f.along);
    arrow(svg, f.at(end, y), f.along * -1);
  }
  svg.close("g");
  const double tail = end > kRoom ? 0 : kTail;
  sheet.labels.keep_clear_line(f.at(-tail, y), f.at(end + tail, y), 3);
}

void write_tensioner(Sheet& sheet, const FigureTensioner& tensioner, double p) {
  Svg& svg = sheet.svg;
  const XY along = sheet.direction(tensioner.points);
  const Frame f{sheet.at(tensioner.base), along, right_of(along)};
  const double end = sheet.units(tensioner.extension.value_or(Length{}));
  const double stroke = sheet.units(tensioner.stroke.value_or(Length{}));
  const double body = std::max(kLeastLength * p, stroke + 1.2 * p);
  svg.open("g", "tensioner",
           Svg::attribute("data-tensioner", tensioner.name) +
               (tensioner.stroke ? Svg::attribute("data-stroke", in_mm(*tensioner.stroke)) : ""));
  if (tensioner.pad && tensioner.pad_radius) {
    const XY pad = sheet.at(*tensioner.pad);
    const double r = sheet.units(*tensioner.pad_radius);
    svg.circle("medium paper", pad, r);
    sheet.labels.keep_clear(pad, r);
  }
  if (stroke > end) svg.path("hidden", f.rect(0, stroke, kPlungerHalf * p));
  svg.path("medium paper", f.rect(-0.6 * body, end, kPlungerHalf * p));
  // Body over the plunger's tail, two ears with their bolts, the bore dashed.
  for (const double sign : {-1.0, 1.0}) {
    const XY ear = f.at(-0.62 * body, sign * (kBodyHalf + 0.55 * kEar) * p);
    svg.circle("medium paper", ear, kEar * p);
    svg.circle("thin", ear, 0.4 * kEar * p);
    sheet.labels.keep_clear(ear, kEar * p + 1);
  }
  svg.path("thick light", f.rect(-body, 0, kBodyHalf * p));
  for (const double sign : {-1.0, 1.0})
    svg.line("hidden", f.at(0, sign * kPlungerHalf * p),
             f.at(-0.75 * body, sign * kPlungerHalf * p));
  svg.line("hidden", f.at(-0.75 * body, -kPlungerHalf * p), f.at(-0.75 * body, kPlungerHalf * p));
  svg.line("center", f.at(-body - p, 0), f.at(std::max(stroke, end) + 1.4 * p, 0));
  if (tensioner.extension) dimension(sheet, f, tensioner, p);
  svg.close("g");
  sheet.labels.keep_clear_line(f.at(-body + kBodyHalf * p, 0), f.at(0, 0), kBodyHalf * p);
  sheet.labels.keep_clear_line(f.at(0, 0), f.at(std::max(end, stroke), 0), kPlungerHalf * p);
}

}  // namespace

void draw_tensioners(Sheet& sheet) {
  for (const FigureTensioner& tensioner : sheet.figure.tensioners)
    write_tensioner(sheet, tensioner, pitch_units(sheet));
}

void name_tensioners(Sheet& sheet) {
  const double p = pitch_units(sheet);
  for (const FigureTensioner& tensioner : sheet.figure.tensioners) {
    const XY along = sheet.direction(tensioner.points);
    const XY base = sheet.at(tensioner.base);
    Label label{.lines = wrapped(tensioner.name, 16), .size = 11.5};
    if (tensioner.extension || tensioner.stroke) label.lines.push_back(stroke_words(tensioner));
    const XY across = right_of(along);
    const double side = dot(across, base - sheet.origin) > 0 ? 1 : -1;
    label.points_at = base - along * (0.5 * kLeastLength * p) + across * (side * kBodyHalf * p);
    auto places = places_around(base + across * (side * kDimensionAt * p), 4, across * side, label);
    const auto far = places_around(*label.points_at, 2.2 * p, across * side, label);
    places.insert(places.end(), far.begin(), far.end());
    sheet.place(label, places);
  }
}

}  // namespace tautmark::draw
