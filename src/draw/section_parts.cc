// SPDX-License-Identifier: Apache-2.0
#include "draw/section_parts.h"

#include <algorithm>
#include <cmath>

#include "base/quantity_text.h"

namespace tautmark::draw {
namespace {

constexpr double kUnknownHalf = 12;     // mm, of a head without a diameter
constexpr double kStemShare = 0.18;     // of the head, a symbol
constexpr double kStemLong = 40;        // mm above the face
constexpr double kSkirt = 26;           // mm of piston under its lowest floor
constexpr double kWall = 6;             // mm of block beside the bore
constexpr double kUnknownThick = 0.05;  // of the head

// The piston under a valve: ends of the floor, inner and outer, and the tops of its walls.
struct Floor {
  XY inner{}, outer{}, inner_top{}, outer_top{};
};

Floor floor_of(const SectionValve& valve) {
  const ValveFrame frame = frame_of(valve);
  if (valve.flat_crown) {
    const XY touched = frame.face + half_head(valve) * frame.outward - valve.gap * frame.stem;
    const XY other{frame.face.x - half_head(valve) * frame.outward.x, touched.y};
    return {other, touched, other, touched};
  }
  const XY middle =
      frame.face - valve.gap * frame.stem + valve.pocket_beside.value_or(0) * frame.outward;
  const double half = valve.pocket_diameter ? *valve.pocket_diameter / 2 : half_head(valve);
  const XY wall = valve.pocket_diameter ? valve.wall_height.value_or(0) * frame.stem : XY{};
  Floor floor{middle - half * frame.outward, middle + half * frame.outward};
  floor.inner_top = floor.inner + wall;
  floor.outer_top = floor.outer + wall;
  return floor;
}

double lowest_floor(const ClearanceSection& section) {
  double low = HUGE_VAL;
  const auto lower = [&](const SectionValve& valve) {
    const Floor floor = floor_of(valve);
    low = std::min({low, floor.inner.y, floor.outer.y});
  };
  lower(section.valve);
  if (section.other) lower(*section.other);
  return low;
}

std::string part(const SectionView& view, std::string_view name) {
  return Svg::attribute(view.is_detail ? "data-detail" : "data-part", name);
}

void write_valve(Svg& svg, const SectionValve& valve, const SectionView& view) {
  const ValveFrame frame = frame_of(valve);
  const double half = half_head(valve), stem = kStemShare * half;
  const double thick = valve.head_thickness.value_or(2 * half * kUnknownThick);
  const XY out = frame.outward, up = frame.stem, face = frame.face;
  const auto at = [&](double aside, double along) {
    return view.at(face + aside * out + along * up);
  };
  const double neck = thick + 0.62 * half, cone = thick + 0.12 * half;
  Path body;
  body.move(at(-half, 0)).line(at(half, 0)).line(at(half, thick));
  body.line(at(0.86 * half, cone))
      .cubic(at(0.4 * half, cone + 0.05 * half), at(stem, thick + 0.3 * half), at(stem, neck));
  body.line(at(stem, kStemLong)).line(at(-stem, kStemLong)).line(at(-stem, neck));
  body.cubic(at(-stem, thick + 0.3 * half), at(-0.4 * half, cone + 0.05 * half),
             at(-0.86 * half, cone));
  body.line(at(-half, thick)).close();
  svg.path(valve.head_diameter ? "thin metal" : "hidden metal", body);
  svg.path(valve.head_diameter ? "thick" : "hidden", Path().move(at(-half, 0)).line(at(half, 0)),
           part(view, "face-" + valve.name));
  svg.line("center", at(0, -9), at(0, kStemLong + 5));
}

// Where the head sits when it is shut: two pieces of the seat, a symbol.
void write_seat(Svg& svg, const SectionValve& valve, const SectionView& view) {
  if (!valve.head_diameter) return;
  const ValveFrame frame = frame_of(valve);
  const double half = half_head(valve);
  const double thick = valve.head_thickness.value_or(2 * half * kUnknownThick);
  for (const double side : {1.0, -1.0}) {
    const auto at = [&](double aside, double along) {
      return view.at(frame.shut + side * aside * frame.outward + along * frame.stem);
    };
    svg.path("thin cutaway block", Path()
                                       .move(at(half, thick))
                                       .line(at(half + 2.4, thick))
                                       .line(at(half + 2.4, thick + 4.5))
                                       .line(at(0.86 * half, thick + 4.5))
                                       .line(at(0.86 * half, thick + 0.12 * half))
                                       .close());
  }
}

void write_floor(Svg& svg, const SectionValve& valve, const Floor& floor, const SectionView& view) {
  const std::string data = part(view, (valve.flat_crown ? "crown-" : "floor-") + valve.name);
  svg.path("thick", Path().move(view.at(floor.inner)).line(view.at(floor.outer)), data);
  for (const auto& [foot, top] :
       {std::pair{floor.inner, floor.inner_top}, {floor.outer, floor.outer_top}})
    if (length(top - foot) > 0) svg.line("thick", view.at(foot), view.at(top));
}

// Floors as they are; what lies between and beside them is not in the definition: dashed.
void write_piston(Svg& svg, const ClearanceSection& section, const SectionView& view) {
  std::vector<std::pair<const SectionValve*, Floor>> floors{
      {&section.valve, floor_of(section.valve)}};
  if (section.other) floors.emplace_back(&*section.other, floor_of(*section.other));
  const bool is_flat = section.valve.flat_crown;
  const double half = section.bore ? *section.bore / 2 : half_head(section.valve) + 9;
  const double middle = section.bore ? 0 : section.valve.across;
  const double bottom = lowest_floor(section) - kSkirt;
  const auto left_of = [](const Floor& f) {
    return f.inner.x < f.outer.x ? std::pair{f.inner, f.inner_top}
                                 : std::pair{f.outer, f.outer_top};
  };
  const auto right_end = [](const Floor& f) {
    return f.inner.x < f.outer.x ? std::pair{f.outer, f.outer_top}
                                 : std::pair{f.inner, f.inner_top};
  };
  std::sort(floors.begin(), floors.end(), [&](const auto& a, const auto& b) {
    return left_of(a.second).first.x < left_of(b.second).first.x;
  });
  std::vector<XY> outline;
  std::vector<std::pair<XY, XY>> between;
  const XY left{middle - half, is_flat ? floor_of(section.valve).outer.y
                                       : left_of(floors.front().second).second.y};
  XY last = left;
  outline.push_back(left);
  for (const auto& [valve, floor] : floors) {
    if (is_flat && valve != &section.valve) continue;  // one crown for both
    const auto [foot, top] = left_of(floor);
    const auto [end, end_top] = right_end(floor);
    between.emplace_back(last, top);
    for (const XY point : {top, foot, end, end_top}) outline.push_back(point);
    last = end_top;
  }
  const XY right{middle + half, last.y};
  between.emplace_back(last, right);
  outline.push_back(right);
  Path body;
  body.move(view.at({middle - half, bottom}));
  for (const XY point : outline) body.line(view.at(point));
  body.line(view.at({middle + half, bottom}));
  body.quad(view.at({middle + half / 2, bottom - 4}), view.at({middle, bottom}));
  body.quad(view.at({middle - half / 2, bottom + 4}), view.at({middle - half, bottom})).close();
  svg.path("bare cutaway", body);
  for (const auto& [from, to] : between)
    svg.line(is_flat ? "thick" : "hidden", view.at(from), view.at(to));
  for (const auto& [valve, floor] : floors)
    if (!is_flat || valve == &section.valve) write_floor(svg, *valve, floor, view);
  if (view.is_detail) return;
  constexpr double kFirstRing = 6, kRingStep = 4.2, kRingDeep = 3.4, kRingHigh = 1.4;
  const double crown = std::min(left.y, right.y);
  for (const double side : {-1.0, 1.0}) {
    const double x = middle + side * half;
    svg.line("medium", view.at({x, side < 0 ? left.y : right.y}), view.at({x, bottom}));
    for (int ring = 0; ring < 3; ++ring) {
      const double y = crown - kFirstRing - kRingStep * ring;
      const double from = side < 0 ? x : x - kRingDeep;
      svg.rect("thin paper", view.at({from, y}), kRingDeep * view.scale, kRingHigh * view.scale);
    }
  }
}

void write_bore(Svg& svg, const ClearanceSection& section, const SectionView& view) {
  if (!section.bore || view.is_detail) return;
  const double half = *section.bore / 2;
  const double bottom = lowest_floor(section) - kSkirt - 3;
  for (const double side : {-1.0, 1.0}) {
    const double inner = side * half, outer = side * (half + kWall);
    Path wall;
    wall.move(view.at({inner, 0})).line(view.at({outer, 0})).line(view.at({outer, bottom}));
    wall.line(view.at({inner, bottom})).close();
    svg.path("bare cutaway block", wall);
    svg.path(
        "thick",
        Path().move(view.at({outer, 0})).line(view.at({inner, 0})).line(view.at({inner, bottom})));
  }
  svg.line("center", view.at({0, kStemLong + 8}), view.at({0, bottom}));
}

}  // namespace

ValveFrame frame_of(const SectionValve& valve) {
  const double lean = valve.lean * kPi / 180;
  ValveFrame frame;
  frame.stem = {std::sin(lean), std::cos(lean)};
  const double side = lean < 0 ? -1 : 1;
  frame.outward = {side * std::cos(lean), -side * std::sin(lean)};
  frame.shut = {valve.across, valve.above};
  frame.face = frame.shut - valve.lift * frame.stem;
  return frame;
}

double half_head(const SectionValve& valve) {
  return valve.head_diameter ? *valve.head_diameter / 2 : kUnknownHalf;
}

std::pair<double, double> height_span(const ClearanceSection& section) {
  const double top = frame_of(section.valve).shut.y + kStemLong + 4;
  return {lowest_floor(section) - kSkirt - 7, top};
}

void write_parts(Svg& svg, const ClearanceSection& section, const SectionView& view) {
  write_bore(svg, section, view);
  write_piston(svg, section, view);
  if (section.other) {
    write_seat(svg, *section.other, view);
    write_valve(svg, *section.other, view);
  }
  write_seat(svg, section.valve, view);
  write_valve(svg, section.valve, view);
  if (!section.is_contact) return;
  // What is in one another.
  const ValveFrame frame = frame_of(section.valve);
  const double half = half_head(section.valve);
  const XY inner = frame.face - half * frame.outward, outer = frame.face + half * frame.outward;
  const XY deep = section.valve.gap * frame.stem;
  Path overlap;
  overlap.move(view.at(inner)).line(view.at(outer)).line(view.at(outer - deep));
  if (!section.valve.flat_crown) overlap.line(view.at(inner - deep));
  if (section.valve.flat_crown) {
    const double slope = std::tan(std::abs(section.valve.lean) * kPi / 180);
    const double along = slope > 0 ? std::min(-section.valve.gap / slope, 2 * half) : 2 * half;
    overlap = {};
    overlap.move(view.at(outer)).line(view.at(outer - deep));
    overlap.line(view.at(outer - along * frame.outward));
  }
  svg.path("contact", overlap.close());
  svg.line("thick", view.at(inner), view.at(outer));
}

void write_names(Svg& svg, const ClearanceSection& section, const SectionView& view) {
  constexpr double kSize = 12, kUp = 12;
  const auto name = [&](const SectionValve& valve) {
    const ValveFrame frame = frame_of(valve);
    const XY top = view.at(frame.face + (kStemLong + 3) * frame.stem);
    const double side = frame.stem.x < 0 ? -1 : 1;
    const Anchor anchor = side < 0 ? Anchor::end : Anchor::start;
    svg.text("t b", top + XY{side * 20, kUp}, kSize, anchor, valve.name);
    svg.text("t", top + XY{side * 20, kUp + 15}, kSmall, anchor,
             "lift " + number_text(valve.lift, 2) + " mm");
  };
  name(section.valve);
  if (section.other) name(*section.other);
  if (section.bore)
    svg.text("t soft", view.at({0, lowest_floor(section) - kSkirt + 5}), kSmall, Anchor::middle,
             "bore " + number_text(*section.bore, 1) + " mm");
}

void write_crank(Svg& svg, const SectionCrank& crank, const std::string& words, XY top,
                 double height) {
  constexpr double kWords = 22, kPistonHigh = 26, kPistonHalf = 20;
  const double room = height - kWords - kPistonHigh;
  const double scale = room / (crank.rod + 2 * crank.half_throw);
  const double angle = crank.throw_angle * kPi / 180;
  const XY center{top.x - 56, top.y + height - crank.half_throw * scale - 4};
  const XY pin = center + crank.half_throw * scale * clock_direction(angle);
  const double sideways = (crank.half_throw * std::sin(angle) + crank.pin_offset) * scale;
  const XY wrist{
      center.x - crank.pin_offset * scale,
      pin.y - std::sqrt(std::max(std::pow(crank.rod * scale, 2) - sideways * sideways, 0.0))};
  svg.open("g", "crank-drive");
  svg.line("center", {center.x, top.y}, {center.x, center.y + crank.half_throw * scale + 4});
  svg.path("hidden", Path().circle(center, crank.half_throw * scale));
  svg.rect("thin metal", wrist - XY{kPistonHalf, kPistonHigh * 0.6}, 2 * kPistonHalf, kPistonHigh);
  for (const double side : {-1.0, 1.0})
    svg.line("thick", {center.x + side * kPistonHalf, top.y + 2},
             {center.x + side * kPistonHalf, wrist.y + 2 * crank.half_throw * scale});
  svg.line("casing", wrist, pin);
  svg.line("thick", wrist, pin);
  svg.line("thick", center, pin);
  for (const XY at : {wrist, pin, center}) {
    svg.circle("thin paper", at, 3.4);
    svg.circle("dot", at, 1.2);
  }
  svg.close("g");
  constexpr double kSize = 12, kLine = 16, kRoom = 118;
  double y = top.y + height * 0.38;
  for (const std::string& line : wrapped(words, kRoom / kSize, true)) {
    svg.text("t b", {top.x - 2, y}, kSize, Anchor::start, line);
    y += kLine;
  }
}

}  // namespace tautmark::draw
