// SPDX-License-Identifier: Apache-2.0
// Guides and arms: the sliding face as a liner of its own, the body behind it, and for an arm the
// way to its pivot. The body lies on the side of the arc's center.
#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "base/text.h"
#include "draw/parts.h"

namespace tautmark::draw {
namespace {

// In pitches, measured from the pin line towards the center.
constexpr double kFace = 0.46, kLiner = 0.34, kBody = 0.95, kBoss = 0.85;
constexpr double kRunOut = 2.2;  // the face goes on beyond the part that the chain touches

struct Band {
  XY center;
  double face = 0, liner = 0, back = 0;  // radii
  double from = 0, to = 0;               // angles on the sheet, from < to
  [[nodiscard]] XY at(double angle, double radius) const {
    return center + clock_direction(angle) * radius;
  }
  [[nodiscard]] double middle() const { return (from + to) / 2; }
};

double clock_of(Point center, Point p) {
  return std::atan2((p.x - center.x).si(), (p.y - center.y).si());
}

// An arm is longer than what the chain touches: from beside its pivot to behind the plunger's pad.
void reach_pivot_and_pad(const Sheet& sheet, const FigureArc& arc, double& from, double& to) {
  constexpr double kMostReach = 1.2;  // radians; farther off it belongs to another arm
  const double middle = (from + to) / 2;
  const auto reach = [&](Point p, double margin) {
    const double off = std::remainder(clock_of(arc.center, p) - middle, 2 * kPi);
    if (std::abs(off) > kMostReach) return;
    from = std::min(from, middle + off - margin);
    to = std::max(to, middle + off + margin);
  };
  // The liner ends before the boss.
  reach(*arc.pivot, -1.2 * kBoss * pitch_units(sheet) / sheet.units(arc.radius));
  for (const FigureTensioner& tensioner : sheet.figure.tensioners) {
    if (!tensioner.pad || !tensioner.pad_radius) continue;
    const double away =
        std::hypot((tensioner.pad->x - arc.center.x).si(), (tensioner.pad->y - arc.center.y).si());
    if (std::abs(away / arc.radius.si() - 1) < 0.25)
      reach(*tensioner.pad, *tensioner.pad_radius / arc.radius);
  }
}

Band band_of(const Sheet& sheet, const FigureArc& arc) {
  const double p = pitch_units(sheet), r = sheet.units(arc.radius);
  const double face = std::max(r - kFace * p, 0.2 * r);
  double span = std::fmod(arc.to.si() - arc.from.si(), 2 * kPi);
  if (span < 0) span += 2 * kPi;
  const double run_out = std::min(kRunOut * p / std::max(r, p), (2 * kPi - span) / 3);
  double from = arc.from.si() - run_out, to = arc.from.si() + span + run_out;
  if (arc.pivot) reach_pivot_and_pad(sheet, arc, from, to);
  if (sheet.options.mirrored) {
    std::swap(from, to);
    from = -from;
    to = -to;
  }
  return {sheet.at(arc.center),
          face,
          std::max(face - kLiner * p, 0.5 * face),
          std::max(face - (kLiner + kBody) * p, 0.2 * face),
          from,
          to};
}

Path sector(const Band& band, double outer, double inner) {
  const bool large = band.to - band.from > kPi;
  const double cap = (outer - inner) / 2;
  return Path()
      .move(band.at(band.from, outer))
      .arc(outer, large, true, band.at(band.to, outer))
      .arc(cap, false, true, band.at(band.to, inner))
      .arc(inner, large, false, band.at(band.from, inner))
      .arc(cap, false, true, band.at(band.from, outer))
      .close();
}

// From the far end along the liner to the near end, around the boss of the pivot, and back on a
// curve that is deepest in the middle.
Path arm_body(const Band& band, XY pivot, double boss, double p) {
  const bool pivot_at_end =
      length(band.at(band.to, band.liner) - pivot) < length(band.at(band.from, band.liner) - pivot);
  const double far = pivot_at_end ? band.from : band.to, near = pivot_at_end ? band.to : band.from;
  const XY near_end = band.at(near, band.liner), far_face = band.at(far, band.liner);
  const XY far_back = band.at(far, band.liner - 0.4 * p);
  const double sense = pivot_at_end ? 1 : -1;  // along the arc towards the pivot
  // The boss is left and entered where its radius stands across the line to the arm.
  const XY to_pivot = unit(pivot - near_end);
  const XY across = right_of(to_pivot) * (-sense * boss);
  const XY away = length(pivot - near_end) > 0.1 ? across : clock_direction(near) * boss;
  const XY deep = band.at(band.middle(), band.liner - 1.9 * p);
  return Path()
      .move(far_face)
      .arc(band.liner, band.to - band.from > kPi, sense > 0, near_end)
      .line(pivot + away)
      .arc(boss, true, sense > 0, pivot - away)
      .quad(deep, far_back)
      .close();
}

void write_arm(Sheet& sheet, const FigureArc& arc, const Band& band) {
  Svg& svg = sheet.svg;
  const double p = pitch_units(sheet), boss = kBoss * p;
  const XY pivot = sheet.at(*arc.pivot);
  svg.path("medium paper", arm_body(band, pivot, boss, p));
  svg.circle("medium paper", pivot, boss);
  svg.circle("thin", pivot, 0.45 * boss);
  svg.line("center", pivot - XY{1.8 * boss, 0}, pivot + XY{1.8 * boss, 0});
  svg.line("center", pivot - XY{0, 1.8 * boss}, pivot + XY{0, 1.8 * boss});
  sheet.labels.keep_clear(pivot, 1.3 * boss);
  // The body between face and back.
  for (const double part : {0.1, 0.22, 0.34, 0.46, 0.58, 0.7, 0.82, 0.94}) {
    const XY face = band.at(band.from + part * (band.to - band.from), band.face);
    const XY ends =
        band.at(band.from, band.liner) * (1 - part) + band.at(band.to, band.liner) * part;
    sheet.labels.keep_clear_line(face, ends + (ends - face) * 0.3, 0.8 * p);
  }
}

void write_arc(Sheet& sheet, const FigureArc& arc) {
  Svg& svg = sheet.svg;
  const Band band = band_of(sheet, arc);
  svg.open("g", arc.pivot ? "arm" : "guide", Svg::attribute("data-guide", arc.name));
  if (!arc.touched) {
    svg.path("hidden", sector(band, band.face, band.back));
  } else {
    if (arc.pivot)
      write_arm(sheet, arc, band);
    else
      svg.path("medium paper", sector(band, band.liner, band.back));
    svg.path("thick light", sector(band, band.face, band.liner));
  }
  svg.close("g");
  const double thick = band.face - band.back, step = 0.6 * thick / std::max(band.face, 1.0);
  for (double angle = band.from; angle < band.to + step; angle += std::max(step, 0.02))
    sheet.labels.keep_clear(band.at(angle, (band.face + band.back) / 2), 0.55 * thick);
}

}  // namespace

void draw_arcs(Sheet& sheet) {
  for (const FigureArc& arc : sheet.figure.arcs) write_arc(sheet, arc);
}

void name_arcs(Sheet& sheet) {
  for (const FigureArc& arc : sheet.figure.arcs) {
    const Band band = band_of(sheet, arc);
    Label label{.lines = wrapped(arc.name, 14), .size = 11.5};
    if (!arc.touched) label.lines.emplace_back("not touched");
    if (arc.worn)
      label.lines.push_back("groove " + number(std::round(in_mm(*arc.worn) * 100) / 100) + " mm");
    // Behind the body, beside any part of it, before anywhere with a long leader.
    constexpr std::size_t kNear = 96;
    const auto placed = [&](double part, bool near, Labels::Demand demand) {
      const double angle = band.from + part * (band.to - band.from);
      const XY back = band.at(angle, band.back);
      label.points_at = band.at(angle, (band.liner + band.back) / 2);
      const auto places = places_around(back, 2, clock_direction(angle) * -1, label);
      const std::span<const Place> all(places);
      return sheet.labels.place(sheet.words, label, near ? all.first(kNear) : all, demand);
    };
    const auto anywhere = [&](bool near, Labels::Demand demand) {
      constexpr std::array kParts{0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92};
      return std::any_of(kParts.begin(), kParts.end(),
                         [&](double part) { return placed(part, near, demand); });
    };
    if (anywhere(true, Labels::Demand::clear) || anywhere(false, Labels::Demand::clear) ||
        anywhere(false, Labels::Demand::readable))
      continue;
    sheet.unplaced.push_back(joined(label.lines, " "));
  }
}

}  // namespace tautmark::draw
