// SPDX-License-Identifier: Apache-2.0
// What is written on the drawing, most needed first: whoever comes later takes what place is left.
#include <algorithm>
#include <cmath>
#include <span>

#include "base/text.h"
#include "draw/parts.h"

namespace tautmark::draw {
namespace {

constexpr double kRotationFrom = 2.5;  // pitches outside the crankshaft's pitch circle

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

namespace {

// Sprockets on one shaft: one name, the teeth of each.
struct Shaft {
  const FigureWheel* widest = nullptr;
  std::vector<const FigureWheel*> wheels{};
};
std::vector<Shaft> shafts_of(const Sheet& sheet) {
  constexpr double kSameCenter = 1;  // units of the sheet
  std::vector<Shaft> shafts;
  for (const FigureWheel& wheel : sheet.figure.wheels) {
    const XY center = sheet.at(wheel.center);
    const auto found = std::find_if(shafts.begin(), shafts.end(), [&](const Shaft& shaft) {
      return length(sheet.at(shaft.widest->center) - center) < kSameCenter;
    });
    if (found == shafts.end()) {
      shafts.push_back({&wheel, {&wheel}});
      continue;
    }
    found->wheels.push_back(&wheel);
    if (found->widest->pitch_radius < wheel.pitch_radius) found->widest = &wheel;
  }
  return shafts;
}

Label shaft_label(const Shaft& shaft) {
  std::vector<std::string> names;
  std::vector<int> teeth;
  for (const FigureWheel* wheel : shaft.wheels) {
    const std::string& name = wheel->label.empty() ? wheel->name : wheel->label;
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
    if (wheel->teeth > 0) teeth.push_back(wheel->teeth);
  }
  Label label{.lines = wrapped(joined(names, ", "), 16), .size = 12};
  std::string words;
  if (teeth.size() == 2 && teeth[0] == teeth[1])
    words = "2 × " + std::to_string(teeth[0]);
  else
    for (const int count : teeth) words += (words.empty() ? "" : " and ") + std::to_string(count);
  if (!words.empty()) label.lines.push_back(words + " teeth");
  return label;
}

// Between hub and marks, when the whole text finds room there.
bool placed_inside(Sheet& sheet, const Shaft& shaft, const Label& label) {
  if (shaft.wheels.size() > 1) return false;
  const FigureWheel& wheel = *shaft.widest;
  const XY center = sheet.at(wheel.center), half = half_size(label);
  const double pitch = pitch_units(sheet, wheel), r = sheet.units(wheel.pitch_radius);
  const double hub = 0.28 * r, rim = r - (wheel.mark ? 1.5 : 0.9) * pitch;
  const double y = hub + half.y;
  if (wheel.phaser || std::hypot(half.x, y + half.y) > rim) return false;
  for (const double sign : {1.0, -1.0}) {
    const Place place{center + XY{0, sign * y}};
    if (sheet.labels.place(sheet.words, label, {&place, 1})) return true;
  }
  return false;
}

}  // namespace

void name_wheels(Sheet& sheet) {
  for (const Shaft& shaft : shafts_of(sheet)) {
    Label label = shaft_label(shaft);
    if (placed_inside(sheet, shaft, label)) continue;
    const XY center = sheet.at(shaft.widest->center), from_crank = center - sheet.origin;
    const XY out = length(from_crank) > 1 ? unit(from_crank) : XY{1, 0};
    const double r =
        sheet.units(shaft.widest->pitch_radius) + 0.5 * pitch_units(sheet, *shaft.widest);
    const auto places = places_around(center, r, out, label);
    constexpr std::size_t kNear = 72;  // no leader needed
    if (sheet.labels.place(sheet.words, label, std::span(places).first(kNear),
                           Labels::Demand::clear))
      continue;
    label.points_at = center;
    sheet.place(label, places);
  }
}

namespace {

// Beside the strand and along it, nearest first, outside of the loop before inside.
std::vector<Place> places_along(const Sheet& sheet, const FigureChain& chain,
                                const FigureStrand& strand, const Label& label) {
  const std::size_t n = chain.pins.size();
  const double q = link_length(sheet, chain), half_height = half_size(label).y;
  const double outward = is_inside_right_of_travel(sheet, chain) ? -1 : 1;
  const auto span = static_cast<double>((strand.last_pin % n + n - strand.first_pin % n) % n);
  const auto pin = [&](std::size_t i) { return sheet.at(chain.pins[i % n]); };
  std::vector<Place> places;
  for (const double away : {4.0, 9.0, 16.0, 26.0, 40.0, 60.0, 85.0})
    for (const double side : {outward, -outward})
      for (const double part :
           {0.5, 0.44, 0.56, 0.38, 0.62, 0.31, 0.69, 0.24, 0.76, 0.17, 0.83, 0.1, 0.9}) {
        const auto at = strand.first_pin + static_cast<std::size_t>(part * span);
        const XY along = unit(pin(at + 2) - pin(at + n - 1));
        const XY middle = (pin(at) + pin(at + 1)) * 0.5;
        places.push_back({middle + right_of(along) * (side * (0.62 * q + away + half_height)),
                          reading_direction(along)});
      }
  return places;
}

}  // namespace

void name_strands(Sheet& sheet) {
  for (const FigureChain& chain : sheet.figure.chains) {
    for (const FigureStrand& strand : chain.strands) {
      const std::string count =
          strand.count && counts_hold(sheet.figure)
              ? std::to_string(*strand.count) + (chain.belt ? " teeth" : " links")
              : "";
      const std::string words = strand.name + (count.empty() ? "" : ", " + count);
      const Label one{.lines = wrapped(words, 16), .size = 12};
      Label two{.lines = wrapped(strand.name, 10), .size = 12};
      if (!count.empty()) two.lines.push_back(count);
      const auto places = places_along(sheet, chain, strand, one);
      if (sheet.labels.place(sheet.words, one, places, Labels::Demand::clear)) continue;
      if (sheet.labels.place(sheet.words, two, places_along(sheet, chain, strand, two),
                             Labels::Demand::clear))
        continue;
      sheet.place(one, places);
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
