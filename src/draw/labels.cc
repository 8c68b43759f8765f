// SPDX-License-Identifier: Apache-2.0
#include "draw/labels.h"

#include <algorithm>
#include <array>

#include "base/text.h"

namespace tautmark::draw {
namespace {

constexpr double kLineHeight = 1.2;  // sizes
constexpr double kAir = 2;           // units around a text
constexpr double kLeaderFrom = 22;   // a nearer text needs no leader

// Half of what the box covers on an axis.
double reach(const Box& box, XY axis) {
  return box.half_width * std::abs(dot(box.along, axis)) +
         box.half_height * std::abs(dot(right_of(box.along), axis));
}

double squared_distance(const Box& box, XY point) {
  const XY to = point - box.center;
  const double x = std::max(std::abs(dot(to, box.along)) - box.half_width, 0.0);
  const double y = std::max(std::abs(dot(to, right_of(box.along))) - box.half_height, 0.0);
  return x * x + y * y;
}

}  // namespace

// Separating axes of two rectangles.
bool overlap(const Box& a, const Box& b) {
  const XY between = b.center - a.center;
  const double near = a.half_width + a.half_height + b.half_width + b.half_height;
  if (dot(between, between) > near * near) return false;
  for (const XY axis : {a.along, right_of(a.along), b.along, right_of(b.along)})
    if (std::abs(dot(between, axis)) >= reach(a, axis) + reach(b, axis)) return false;
  return true;
}

XY half_size(const Label& label) {
  double widest = 0;
  for (const std::string& line : label.lines)
    widest = std::max(widest, text_width(line, label.bold));
  return {widest * label.size / 2 + kAir,
          static_cast<double>(label.lines.size()) * kLineHeight * label.size / 2 + kAir};
}

void Labels::keep_clear_line(XY from, XY to, double radius) {
  const int steps = 1 + static_cast<int>(length(to - from) / std::max(radius, 2.0));
  for (int i = 0; i <= steps; ++i)
    keep_clear(from + (to - from) * (static_cast<double>(i) / steps), radius);
}

bool Labels::is_free(const Box& box) const {
  return std::none_of(boxes_.begin(), boxes_.end(),
                      [&](const Box& other) { return overlap(box, other); });
}

bool Labels::is_inside(const Box& box) const {
  const double x = reach(box, {1, 0}), y = reach(box, {0, 1});
  return box.center.x - x >= from_.x && box.center.x + x <= to_.x && box.center.y - y >= from_.y &&
         box.center.y + y <= to_.y;
}

// What lies outside of the grid falls into its edge cells.
Labels::Cells Labels::cells(XY from, XY to) {
  const auto cell = [](double at, int count) {
    return static_cast<int>(std::clamp(at / kCell, 0.0, count - 1.0));
  };
  return {cell(from.x, kColumns), cell(to.x, kColumns), cell(from.y, kRows), cell(to.y, kRows)};
}

void Labels::keep_clear(XY center, double radius) {
  const XY r{radius, radius};
  const Cells near = cells(center - r, center + r);
  for (int row = near.top; row <= near.bottom; ++row)
    for (int column = near.left; column <= near.right; ++column)
      grid_[static_cast<std::size_t>(row * kColumns + column)].push_back({center, radius});
}

template <class Visit>
void Labels::visit_covered(const Box& box, Visit visit) const {
  const XY r{reach(box, {1, 0}), reach(box, {0, 1})};
  const Cells near = cells(box.center - r, box.center + r);
  for (int row = near.top; row <= near.bottom; ++row)
    for (int column = near.left; column <= near.right; ++column)
      for (const Disc& disc : grid_[static_cast<std::size_t>(row * kColumns + column)])
        if (squared_distance(box, disc.center) < disc.radius * disc.radius && !visit()) return;
}

bool Labels::is_clear(const Box& box) const {
  bool clear = true;
  visit_covered(box, [&] { return clear = false; });
  return clear;
}

bool Labels::leader_is_free(XY from, XY to) const {
  const XY between = to - from;
  const Box leader{(from + to) * 0.5, length(between) / 2, 1, unit(between)};
  return is_free(leader);
}

int Labels::covered(const Box& box) const {
  int count = 0;
  visit_covered(box, [&] {
    ++count;
    return true;
  });
  return count;
}

bool Labels::place(Svg& svg, const Label& label, std::span<const Place> places, Demand demand) {
  const XY half = half_size(label);
  const Place* second_best = nullptr;
  int least = 0;
  for (const Place& place : places) {
    const Box box{place.center, half.x, half.y, place.along};
    if (!is_inside(box) || !is_free(box)) continue;
    const bool clear = is_clear(box);
    if (!clear && demand == Demand::clear) continue;
    if (label.points_at && !leader_is_free(place.center, *label.points_at)) continue;
    if (clear) {
      write(svg, label, place);
      return true;
    }
    const int covers = covered(box);
    if (second_best != nullptr && covers >= least) continue;
    second_best = &place;
    least = covers;
  }
  if (second_best == nullptr) return false;
  write(svg, label, *second_best);
  return true;
}

void Labels::write(Svg& svg, const Label& label, const Place& place) {
  const XY half = half_size(label);
  const Box box{place.center, half.x, half.y, place.along};
  if (label.points_at && squared_distance(box, *label.points_at) > kLeaderFrom * kLeaderFrom) {
    const XY target = *label.points_at;
    const XY start{std::clamp(target.x, place.center.x - half.x, place.center.x + half.x),
                   std::clamp(target.y, place.center.y - half.y, place.center.y + half.y)};
    svg.path("thin leader", Path().move(start).line(target));
    svg.circle("dot", target, 1.3);
    take({(start + target) * 0.5, length(target - start) / 2, 1, unit(target - start)});
  }
  const auto count = static_cast<double>(label.lines.size());
  const XY down = right_of(place.along);
  const double degrees = in_degrees(std::atan2(place.along.y, place.along.x));
  std::string classes = label.bold ? "t b" : "t";
  if (!label.classes.empty()) classes += " " + label.classes;
  for (std::size_t i = 0; i < label.lines.size(); ++i) {
    const double row = (static_cast<double>(i) - (count - 1) / 2) * kLineHeight * label.size;
    svg.text(classes, place.center + down * row, label.size, Anchor::middle, label.lines[i],
             degrees);
  }
  take(box);
}

std::vector<Place> places_around(XY center, double radius, XY first, const Label& label) {
  constexpr std::array kDistances{5.0,  11.0, 18.0,  27.0,  38.0, 51.0,
                                  66.0, 84.0, 106.0, 132.0, 162.0};
  constexpr int kDirections = 24;
  const XY half = half_size(label);
  std::vector<XY> directions;
  for (int i = 0; i < kDirections; ++i) {
    // Alternately to both sides of the first direction.
    const double turn = (i % 2 == 0 ? 1 : -1) * ((i + 1) / 2) * 2 * kPi / kDirections;
    const double c = std::cos(turn), s = std::sin(turn);
    directions.push_back({first.x * c - first.y * s, first.x * s + first.y * c});
  }
  std::vector<Place> places;
  places.reserve(kDistances.size() * kDirections);
  for (const double away : kDistances) {
    for (const XY direction : directions)
      places.push_back(
          {center + direction * (radius + away) + XY{direction.x * half.x, direction.y * half.y}});
  }
  return places;
}

std::vector<std::string> wrapped(std::string_view text, double width, bool bold) {
  std::vector<std::string> lines;
  for (const std::string& word : split(text, ' ')) {
    if (word.empty()) continue;
    if (!lines.empty() && text_width(lines.back() + " " + word, bold) <= width) {
      lines.back() += " " + word;
      continue;
    }
    lines.emplace_back();
    // A word longer than the line is cut, or it would leave the sheet.
    for (std::size_t i = 0; i < word.size();) {
      std::size_t next = i + 1;
      while (next < word.size() && (static_cast<unsigned char>(word[next]) & 0xC0U) == 0x80U)
        ++next;
      const std::string character = word.substr(i, next - i);
      if (!lines.back().empty() && text_width(lines.back() + character, bold) > width)
        lines.emplace_back();
      lines.back() += character;
      i = next;
    }
  }
  return lines;
}

}  // namespace tautmark::draw
