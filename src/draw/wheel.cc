// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>
#include <vector>

#include "draw/parts.h"

namespace tautmark::draw {
namespace {

constexpr double kMarkDepth = 0.95;    // pitches from the pitch circle to the middle of a mark
constexpr double kPointerFrom = 0.62;  // pitches outside the pitch circle: clear of the chain
constexpr double kErrorFrom = 2.1;     // the arc of the error dimension

// In the wheel's own frame, tooth 0 up.
double mark_angle(const Sheet& sheet, const FigureWheel& wheel) {
  return sheet.side() * wheel.mark->tooth * 2 * kPi / std::max(wheel.teeth, 1);
}

void write_mark(Sheet& sheet, const FigureWheel& wheel, double radius, double pitch) {
  Svg& svg = sheet.svg;
  const double angle = mark_angle(sheet, wheel);
  const XY out = clock_direction(angle);
  const double size = std::max(0.2 * pitch, 2.0);
  const XY at = out * (radius - kMarkDepth * pitch);
  const std::string& sign = wheel.mark->sign;
  svg.open("g", "mark", Svg::attribute("data-tooth", wheel.mark->tooth));
  if (sign.empty() || sign == "dot") {
    svg.circle("ink", at, size);
  } else if (sign.size() <= 2) {
    // Upright whatever the wheel's angle: a turned 6 would be a 9.
    svg.text("t b", at - out * (0.25 * pitch), std::max(1.15 * pitch, 11.0), Anchor::middle, sign,
             -in_degrees(angle + sheet.turned(wheel.tooth_zero)));
  } else {
    svg.path("thick", Path()
                          .move(out * (radius - 0.45 * pitch))
                          .line(out * (radius - (kMarkDepth + 0.45) * pitch)));
  }
  svg.close("g");
}

void write_phaser(Svg& svg, double radius) {
  constexpr int kBolts = 4;
  svg.circle("medium light", {}, 0.66 * radius);
  for (int i = 0; i < kBolts; ++i)
    svg.circle("thin paper", clock_direction((2 * i + 1) * kPi / kBolts) * (0.55 * radius),
               0.05 * radius);
}

void write_hub(Svg& svg, const FigureWheel& wheel, double radius) {
  const double hub = 0.26 * radius;
  svg.circle("medium paper", {}, hub);
  if (wheel.kind == WheelKind::idler || wheel.kind == WheelKind::pulley) {
    svg.circle("thin", {}, 0.5 * hub);
    return;
  }
  Path hexagon;  // the bolt's head
  for (int i = 0; i < 6; ++i) {
    const XY corner = clock_direction(i * kPi / 3) * (0.62 * hub);
    if (i == 0)
      hexagon.move(corner);
    else
      hexagon.line(corner);
  }
  svg.path("thin", hexagon.close());
}

// A group at the wheel's center and in it one that turns with tooth 0.
void open_turning(Sheet& sheet, const FigureWheel& wheel, std::string_view classes) {
  const XY center = sheet.at(wheel.center);
  const std::string turn = "rotate(" + number(in_degrees(sheet.turned(wheel.tooth_zero))) + ")";
  sheet.svg.open("g", classes,
                 Svg::attribute("data-wheel", wheel.name) +
                     Svg::attribute("data-teeth", static_cast<double>(wheel.teeth)) +
                     Svg::attribute("transform", "translate(" + number(center.x) + " " +
                                                     number(center.y) + ")"));
  sheet.svg.open("g", "turns", Svg::attribute("transform", turn));
}

void close_turning(Sheet& sheet) {
  sheet.svg.close("g");
  sheet.svg.close("g");
}

void write_wheel(Sheet& sheet, const FigureWheel& wheel) {
  Svg& svg = sheet.svg;
  const double radius = sheet.units(wheel.pitch_radius), pitch = pitch_units(sheet, wheel);
  open_turning(sheet, wheel, "wheel");
  if (wheel.teeth > 0 && pitch > 0) {
    const bool belt = is_belt_wheel(sheet.figure, wheel);
    svg.path("thick paper", belt ? belt_pulley_outline(wheel.teeth, radius, pitch)
                                 : sprocket_outline(wheel.teeth, radius, pitch));
    const double rim = radius - 1.75 * pitch;
    if (rim > 0.45 * radius) svg.circle("thin", {}, rim);
  } else {
    svg.circle("thick paper", {}, radius);
    svg.circle("thin", {}, 0.86 * radius);
  }
  if (wheel.phaser) write_phaser(svg, radius);
  write_hub(svg, wheel, radius);
  close_turning(sheet);
  sheet.labels.keep_clear(sheet.at(wheel.center), radius + 0.45 * pitch);
}

void write_wheel_mark(Sheet& sheet, const FigureWheel& wheel) {
  const double radius = sheet.units(wheel.pitch_radius), pitch = pitch_units(sheet, wheel);
  open_turning(sheet, wheel, "wheel-mark");
  write_mark(sheet, wheel, radius, pitch);
  close_turning(sheet);
  const double angle = mark_angle(sheet, wheel) + sheet.turned(wheel.tooth_zero);
  const double half = 0.7 * std::max(pitch, 8.0);
  sheet.labels.take(
      {sheet.at(wheel.center) + clock_direction(angle) * (radius - kMarkDepth * pitch), half,
       half});
}

// A triangle on the casting whose point stands at the chain.
void write_pointer(Sheet& sheet, const FigureWheel& wheel) {
  const XY center = sheet.at(wheel.center), out = sheet.direction(*wheel.casting_mark);
  const double pitch = pitch_units(sheet, wheel);
  const double near = sheet.units(wheel.pitch_radius) + kPointerFrom * pitch;
  const double size = std::max(0.95 * pitch, 9.0);
  const XY tip = center + out * near, foot = center + out * (near + size);
  const XY across = right_of(out) * (0.36 * size);
  sheet.svg.path("medium ink pointer",
                 Path().move(tip).line(foot + across).line(foot - across).close(),
                 Svg::attribute("data-wheel", wheel.name));
  sheet.svg.line("thick", foot + across * 1.9, foot - across * 1.9);
  sheet.labels.take({(tip + foot) * 0.5, 0.7 * size, 0.55 * size, out});
}

void arrow_head(Svg& svg, std::string_view classes, XY tip, XY heading) {
  constexpr double kLength = 8, kHalf = 2.4;
  const XY back = tip - unit(heading) * kLength, across = right_of(unit(heading)) * kHalf;
  svg.path(classes, Path().move(tip).line(back + across).line(back - across).close());
}

// From where the mark should stand to where it stands. A short arc gets its arrows from outside.
void write_error(Sheet& sheet, const FigureWheel& wheel) {
  const double should = sheet.turned(*wheel.mark_should_be);
  const double delta =
      std::remainder(sheet.turned(wheel.tooth_zero) + mark_angle(sheet, wheel) - should, 2 * kPi);
  const double is_at = should + delta;
  const XY center = sheet.at(wheel.center);
  const double pitch = pitch_units(sheet, wheel), r = sheet.units(wheel.pitch_radius);
  const double arc = r + kErrorFrom * pitch;
  const auto at = [&](double angle, double radius) {
    return center + clock_direction(angle) * radius;
  };
  Svg& svg = sheet.svg;
  svg.open("g", "error-dimension", Svg::attribute("data-wheel", wheel.name));
  for (const double angle : {is_at, should})
    svg.line(angle == is_at ? "error thin" : "error thin hidden", at(angle, r - 1.2 * pitch),
             at(angle, arc + 0.5 * pitch));
  const double sense = delta >= 0 ? 1 : -1;
  const auto tangent = [&](double angle) { return right_of(clock_direction(angle)) * sense; };
  constexpr double kRoomForArrows = 22, kTail = 20;
  const double tail = kTail / arc * sense;
  if (std::abs(delta) * arc > kRoomForArrows) {
    svg.path(
        "error",
        Path().move(at(should, arc)).arc(arc, std::abs(delta) > kPi, delta > 0, at(is_at, arc)));
    arrow_head(svg, "error head", at(is_at, arc), tangent(is_at));
  } else {
    svg.path("error",
             Path().move(at(should - tail, arc)).arc(arc, false, delta > 0, at(should, arc)));
    svg.path("error",
             Path().move(at(is_at, arc)).arc(arc, false, delta > 0, at(is_at + tail, arc)));
    arrow_head(svg, "error head", at(should, arc), tangent(should));
    arrow_head(svg, "error head", at(is_at, arc), tangent(is_at) * -1);
  }
  svg.close("g");
  const double from = std::min(is_at, should) - std::abs(tail);
  const double to = std::max(is_at, should) + std::abs(tail);
  for (double angle = from; angle < to; angle += 6 / arc)
    sheet.labels.keep_clear(at(angle, arc), 5);
  sheet.labels.keep_clear_line(at(is_at, r), at(is_at, arc + 0.5 * pitch), 3);
}

void draw_center_lines(Sheet& sheet) {
  Svg& svg = sheet.svg;
  std::vector<XY> crossed;
  svg.open("g", "center-lines");
  for (const FigureWheel& wheel : sheet.figure.wheels) {
    const XY center = sheet.at(wheel.center);
    const double r = sheet.units(wheel.pitch_radius);
    const double reach = r + 1.3 * pitch_units(sheet, wheel);
    if (wheel.teeth > 0) svg.path("center", Path().circle(center, r));
    if (std::any_of(crossed.begin(), crossed.end(),
                    [&](XY other) { return length(other - center) < 1; }))
      continue;
    crossed.push_back(center);
    svg.path("center", Path()
                           .move(center - XY{reach, 0})
                           .line(center + XY{reach, 0})
                           .move(center - XY{0, reach})
                           .line(center + XY{0, reach}));
  }
  svg.close("g");
}

}  // namespace

bool is_belt_wheel(const Figure& figure, const FigureWheel& wheel) {
  bool only_belts = true;
  for (const FigureChain& chain : figure.chains) {
    only_belts = only_belts && chain.belt;
    for (const FigureStrand& strand : chain.strands)
      if (strand.from == wheel.name || strand.to == wheel.name) return chain.belt;
  }
  return only_belts;
}

Length chain_pitch_at(const Figure& figure, const FigureWheel& wheel) {
  if (wheel.teeth > 0) return wheel.pitch_radius * (2 * std::sin(kPi / std::max(wheel.teeth, 3)));
  return figure.chains.empty() ? wheel.pitch_radius * 0.2 : figure.chains.front().pitch;
}

double pitch_units(const Sheet& sheet, const FigureWheel& wheel) {
  return sheet.units(chain_pitch_at(sheet.figure, wheel));
}

double pitch_units(const Sheet& sheet) {
  constexpr double kWithoutChain = 10;
  const auto& chains = sheet.figure.chains;
  return chains.empty() ? kWithoutChain : sheet.units(chains.front().pitch);
}

void draw_wheels(Sheet& sheet) {
  // Of sprockets on one shaft the smaller stands in front; no mark is hidden by another sprocket.
  std::vector<const FigureWheel*> wheels;
  for (const FigureWheel& wheel : sheet.figure.wheels) wheels.push_back(&wheel);
  std::stable_sort(wheels.begin(), wheels.end(),
                   [](auto* a, auto* b) { return a->pitch_radius > b->pitch_radius; });
  for (const FigureWheel* wheel : wheels) write_wheel(sheet, *wheel);
  draw_center_lines(sheet);
  for (const FigureWheel* wheel : wheels)
    if (wheel->mark) write_wheel_mark(sheet, *wheel);
}

void draw_casting_pointers(Sheet& sheet) {
  for (const FigureWheel& wheel : sheet.figure.wheels)
    if (wheel.casting_mark) write_pointer(sheet, wheel);
}

void draw_errors(Sheet& sheet) {
  for (const FigureWheel& wheel : sheet.figure.wheels)
    if (wheel.error && wheel.mark && wheel.mark_should_be) write_error(sheet, wheel);
}

}  // namespace tautmark::draw
