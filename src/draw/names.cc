// SPDX-License-Identifier: Apache-2.0
// What is written on the drawing, most needed first: whoever comes later takes what place is left.
#include <algorithm>
#include <cmath>
#include <map>

#include "draw/parts.h"

namespace tautmark::draw {
namespace {

constexpr double kRotationFrom = 2.5;  // pitches outside the crankshaft's pitch circle

double pitch_units(const Sheet& sheet, const FigureWheel& wheel) {
  return sheet.units(chain_pitch_at(sheet.figure, wheel));
}

// Upright reading: never upside down, vertical texts from below.
XY reading_direction(XY along) {
  constexpr double kVertical = 1e-6;
  const bool turn = along.x < -kVertical || (along.x <= kVertical && along.y > 0);
  return turn ? along * -1 : along;
}

}  // namespace

void draw_rotation(Sheet& sheet) {
  if (sheet.figure.wheels.empty()) return;
  const FigureWheel& crank = sheet.figure.wheels.front();
  const XY center = sheet.at(crank.center);
  const double pitch = pitch_units(sheet, crank);
  const double radius = sheet.units(crank.pitch_radius) + kRotationFrom * pitch;
  const bool clockwise = sheet.figure.clockwise != sheet.options.mirrored;
  constexpr double kHalf = 34 * kPi / 180;
  const double sense = clockwise ? 1 : -1;
  const auto at = [&](double angle) { return center + clock_direction(angle) * radius; };
  const double from = kPi - sense * kHalf, to = kPi + sense * kHalf;
  Svg& svg = sheet.svg;
  svg.open("g", "rotation", Svg::attribute("data-clockwise", clockwise ? "true" : "false"));
  svg.path("thick", Path().move(at(from)).arc(radius, false, clockwise, at(to)));
  const XY heading = right_of(clock_direction(to)) * sense, across = right_of(heading) * 4.2;
  svg.path("thick ink", Path()
                            .move(at(to) + heading * 9)
                            .line(at(to) - heading * 3 + across)
                            .line(at(to) - heading * 3 - across)
                            .close());
  svg.close("g");
  for (double angle = kPi - kHalf - 0.1; angle < kPi + kHalf + 0.1; angle += 5 / radius)
    sheet.labels.keep_clear(at(angle), 5);
}

void name_rotation(Sheet& sheet) {
  if (sheet.figure.wheels.empty()) return;
  const FigureWheel& crank = sheet.figure.wheels.front();
  const XY center = sheet.at(crank.center);
  const double radius = sheet.units(crank.pitch_radius) + kRotationFrom * pitch_units(sheet, crank);
  const Label label{.lines = {"running direction"}, .size = 11.5};
  sheet.place(label, places_around(center, radius + 3, {0, 1}, label));
}

void name_banks(Sheet& sheet) {
  for (const auto& [bank, words] : sheet.figure.banks) {
    XY sum;
    int count = 0;
    double top = HUGE_VAL;
    for (const FigureWheel& wheel : sheet.figure.wheels) {
      if (wheel.bank != bank || wheel.kind == WheelKind::crank) continue;
      const XY center = sheet.at(wheel.center);
      sum = sum + center;
      top = std::min(top, center.y - sheet.units(wheel.pitch_radius));
      ++count;
    }
    if (count == 0) {
      sheet.unplaced.push_back(words);
      continue;
    }
    const Label label{.lines = wrapped(words, 17, true), .size = 13.5, .bold = true};
    const XY above{sum.x / count, top - 26};
    sheet.place(label, places_around(above, 0, {0, -1}, label));
  }
}

void name_wheels(Sheet& sheet) {
  for (const FigureWheel& wheel : sheet.figure.wheels) {
    const XY center = sheet.at(wheel.center);
    const double pitch = pitch_units(sheet, wheel), r = sheet.units(wheel.pitch_radius);
    Label label{.lines = wrapped(wheel.label.empty() ? wheel.name : wheel.label, 16), .size = 12};
    if (wheel.teeth > 0) label.lines.push_back(std::to_string(wheel.teeth) + " teeth");
    const XY half = half_size(label);
    // Inside, between hub and marks, when all corners find room there.
    const double hub = 0.28 * r, rim = r - (wheel.mark ? 1.5 : 0.9) * pitch;
    bool is_inside = false;
    for (const double sign : {1.0, -1.0}) {
      const double y = hub + half.y;
      const Box box{center + XY{0, sign * y}, half.x, half.y};
      if (is_inside || std::hypot(half.x, y + half.y) > rim || !sheet.labels.is_free(box)) continue;
      const Place place{box.center};
      is_inside = sheet.labels.place(sheet.words, label, {&place, 1});
    }
    if (is_inside) continue;
    const XY out = length(center - sheet.origin) > 1 ? unit(center - sheet.origin) : XY{1, 0};
    label.points_at = center;
    Label without_leader = label;
    without_leader.points_at.reset();
    auto near = places_around(center, r + 0.5 * pitch, out, label);
    near.resize(48);
    std::erase_if(near, [&](const Place& place) {
      const Box box{place.center, half.x, half.y};
      return !sheet.labels.is_inside(box) || !sheet.labels.is_free(box) ||
             !sheet.labels.is_clear(box);
    });
    if (!near.empty()) {
      sheet.place(without_leader, near);
      continue;
    }
    sheet.place(label, places_around(center, r + 0.5 * pitch, out, label));
  }
}

void name_strands(Sheet& sheet) {
  for (const FigureChain& chain : sheet.figure.chains) {
    const std::size_t n = chain.pins.size();
    if (n == 0) continue;
    const double q = link_length(sheet, chain);
    const double outward = is_inside_right_of_travel(sheet, chain) ? -1 : 1;
    for (const FigureStrand& strand : chain.strands) {
      std::string words = strand.name;
      if (strand.count)
        words += ", " + std::to_string(*strand.count) + (chain.belt ? " teeth" : " links");
      const Label label{.lines = wrapped(words, 16), .size = 12};
      const XY half = half_size(label);
      const std::size_t span = (strand.last_pin % n + n - strand.first_pin % n) % n;
      std::vector<Place> places;
      for (const double away : {4.0, 9.0, 16.0, 26.0, 40.0, 60.0, 85.0, 115.0})
        for (const double side : {outward, -outward})
          for (const double part :
               {0.5, 0.45, 0.55, 0.4, 0.6, 0.33, 0.67, 0.25, 0.75, 0.15, 0.85}) {
            const auto at =
                strand.first_pin + static_cast<std::size_t>(part * static_cast<double>(span));
            const auto pin = [&](std::size_t i) { return sheet.at(chain.pins[i % n]); };
            const XY along = unit(pin(at + 2) - pin(at + n - 1));
            const XY middle = (pin(at) + pin(at + 1)) * 0.5;
            places.push_back({middle + right_of(along) * (side * (0.62 * q + away + half.y)),
                              reading_direction(along)});
          }
      sheet.place(label, places);
    }
  }
}

void name_errors(Sheet& sheet) {
  for (const FigureWheel& wheel : sheet.figure.wheels) {
    if (!wheel.error) continue;
    const XY center = sheet.at(wheel.center);
    const double pitch = pitch_units(sheet, wheel);
    const double r = sheet.units(wheel.pitch_radius);
    const Label label{
        .lines = wrapped(*wheel.error, 15, true), .size = 13, .bold = true, .classes = "error"};
    const XY toward =
        wheel.mark_should_be ? sheet.direction(*wheel.mark_should_be) : unit(center - sheet.origin);
    sheet.place(label, places_around(center, r + 2.7 * pitch, toward, label));
  }
}

void number_links(Sheet& sheet) {
  for (const FigureChain& chain : sheet.figure.chains) {
    const std::size_t n = chain.pins.size();
    const double q = link_length(sheet, chain);
    const double inward = is_inside_right_of_travel(sheet, chain) ? 1 : -1;
    std::vector<bool> wanted(n, false);
    for (std::size_t i = 9; i < n; i += 10) wanted[i] = true;
    for (const FigureLinkMark& mark : chain.marked) wanted[mark.link % n] = true;
    for (std::size_t i = 0; i < n; ++i) {
      if (!wanted[i]) continue;
      const XY a = sheet.at(chain.pins[i]), b = sheet.at(chain.pins[(i + 1) % n]);
      const Label label{.lines = {std::to_string(i + 1)}, .size = 10, .classes = "soft"};
      const XY half = half_size(label), normal = right_of(unit(b - a));
      // Beside the chain where nothing else is; a marked link's number also over the drawing.
      const bool is_marked = i % 10 != 9;
      bool done = false;
      for (const bool clear : {true, false})
        for (const double side : {-inward, inward}) {
          const XY out = normal * side;
          const double reach = std::abs(out.x) * half.x + std::abs(out.y) * half.y;
          const Place place{(a + b) * 0.5 + out * (0.64 * q + reach)};
          const Box box{place.center, half.x - 1, half.y - 2};
          if (done || (!clear && !is_marked) || (clear && !sheet.labels.is_clear(box))) continue;
          done = sheet.labels.place(sheet.words, label, {&place, 1});
        }
    }
  }
}

}  // namespace tautmark::draw
