// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

#include "draw/parts.h"

namespace tautmark::draw {
namespace {

constexpr double kFarthest = 100;  // metres from the crankshaft; beyond it no engine
constexpr int kMostTeeth = 1000;
constexpr std::size_t kMostLinks = 5000;

template <class Q>
bool is_sane(Q q) {
  return std::abs(q.si()) < kFarthest;  // false for NaN
}
template <class T>
bool is_sane(const std::optional<T>& q) {
  return !q || is_sane(*q);
}
bool is_sane(Point p) { return is_sane(p.x) && is_sane(p.y); }
bool is_sane(const std::optional<Point>& p) { return !p || is_sane(*p); }
bool is_size(Length l) { return l.si() > 0 && is_sane(l); }

bool can_draw(const FigureWheel& w) {
  return is_sane(w.center) && is_size(w.pitch_radius) && is_sane(w.tooth_zero) &&
         is_sane(w.casting_mark) && is_sane(w.mark_should_be) && w.teeth >= 0 && w.teeth != 1 &&
         w.teeth != 2 && w.teeth <= kMostTeeth &&
         (!w.mark || std::abs(w.mark->tooth) < 2 * kMostTeeth);
}
bool can_draw(const FigureArc& a) {
  return is_sane(a.center) && is_size(a.radius) && is_sane(a.from) && is_sane(a.to) &&
         is_sane(a.pivot) && is_sane(a.worn);
}
bool can_draw(const FigureTensioner& t) {
  return is_sane(t.base) && is_sane(t.points) && is_sane(t.extension) && is_sane(t.stroke) &&
         is_sane(t.pad) && is_sane(t.pad_radius);
}
bool can_draw(const FigureChain& c) {
  return c.pins.size() >= 3 && c.pins.size() <= kMostLinks && is_sane(c.pitch) &&
         c.pins[0] != c.pins[1] &&
         std::all_of(c.pins.begin(), c.pins.end(), [](Point p) { return is_sane(p); });
}

template <class Part>
void sift(std::vector<Part>& parts, std::vector<std::string>& notes) {
  std::erase_if(parts, [&](const Part& part) {
    if (can_draw(part)) return false;
    notes.push_back("not drawn, its place or size is not known: " + part.name);
    return true;
  });
}

}  // namespace

Figure sifted(const Figure& figure) {
  Figure out = figure;
  sift(out.wheels, out.notes);
  sift(out.arcs, out.notes);
  sift(out.tensioners, out.notes);
  sift(out.chains, out.notes);
  return out;
}

}  // namespace tautmark::draw
