// SPDX-License-Identifier: Apache-2.0
#include "draw/segments.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

#include "draw/parts.h"

namespace tautmark::draw {
namespace {

// Links of the row whose next one is not marked: of neighboring marked links the one that leads in
// running direction, to which counts go.
std::vector<std::size_t> leading_links(const FigureChain& chain) {
  const std::size_t n = chain.pins.size();
  std::set<std::size_t> marked;
  for (const FigureLinkMark& mark : chain.marked) marked.insert(mark.link % n);
  std::vector<std::size_t> leading;
  for (const std::size_t link : marked)
    if (!marked.contains((link + 1) % n)) leading.push_back(link);
  return leading;
}

std::size_t span_of(const FigureStrand& strand, std::size_t n) {
  return (strand.last_pin % n + n - strand.first_pin % n) % n;
}

// From mark to mark. The strands in between give it name and count while the marks stand on
// sprockets; once the chain was turned on, its marks no longer part the strands.
Segment between_marks(const FigureChain& chain, std::size_t from, std::size_t to, bool on_wheels) {
  const std::size_t n = chain.pins.size();
  Segment segment{"from mark to mark", (from + 1) % n, (to + n - from - 1) % n + 1, {}, true};
  std::vector<const FigureStrand*> inside;
  for (const FigureStrand& strand : chain.strands) {
    const std::size_t middle = strand.first_pin + span_of(strand, n) / 2;
    if ((middle + n - segment.first) % n < segment.length) inside.push_back(&strand);
  }
  if (!on_wheels || inside.empty()) return segment;
  std::sort(inside.begin(), inside.end(), [&](auto* a, auto* b) {
    return (a->first_pin + n - segment.first + 1) % n < (b->first_pin + n - segment.first + 1) % n;
  });
  segment.name.clear();
  for (const FigureStrand* strand : inside)
    segment.name += (segment.name.empty() ? "" : ", ") + strand->name;
  segment.name += ": " + inside.front()->from + " to " + inside.back()->to;
  if (inside.size() == 1) segment.count = inside.front()->count;
  return segment;
}

}  // namespace

std::vector<std::size_t> wheels_under(const Figure& figure, const FigureChain& chain) {
  constexpr double kNear = 0.2;  // pitches off the pitch circle
  const std::size_t n = chain.pins.size();
  std::vector<std::size_t> on(n, figure.wheels.size());
  for (std::size_t w = 0; w < figure.wheels.size(); ++w) {
    const FigureWheel& wheel = figure.wheels[w];
    if (wheel.teeth == 0) continue;
    const double tolerance = kNear * chain_pitch_at(figure, wheel).si();
    const auto is_on = [&](std::size_t i) {
      const Point& pin = chain.pins[i % n];
      const double r = std::hypot((pin.x - wheel.center.x).si(), (pin.y - wheel.center.y).si());
      return std::abs(r - wheel.pitch_radius.si()) < tolerance;
    };
    for (std::size_t i = 0; i < n; ++i)
      if (is_on(i) && is_on(i + 1)) on[i] = w;
  }
  return on;
}

std::vector<Segment> segments_of(const FigureChain& chain, const std::vector<std::size_t>& on,
                                 std::size_t no_wheel) {
  const std::size_t n = chain.pins.size();
  auto marks = leading_links(chain);
  std::vector<Segment> segments;
  if (!marks.empty()) {
    // Beginning with the mark before the first strand, which leaves the crankshaft.
    if (!chain.strands.empty()) {
      const FigureStrand& first = chain.strands.front();
      const std::size_t middle = first.first_pin + span_of(first, n) / 2;
      std::sort(marks.begin(), marks.end(), [&](std::size_t a, std::size_t b) {
        return (a + 2 * n - middle % n) % n < (b + 2 * n - middle % n) % n;
      });
      std::rotate(marks.begin(), marks.end() - 1, marks.end());
    }
    for (std::size_t i = 0; i < marks.size(); ++i) {
      const std::size_t from = marks[i], to = marks[(i + 1) % marks.size()];
      segments.push_back(
          between_marks(chain, from, to, on[from] != no_wheel && on[to] != no_wheel));
    }
    return segments;
  }
  // Without marks: the free strands, and what lies on the sprockets between them.
  for (std::size_t i = 0; i < chain.strands.size(); ++i) {
    const FigureStrand& strand = chain.strands[i];
    const FigureStrand& next = chain.strands[(i + 1) % chain.strands.size()];
    const std::size_t end = strand.last_pin % n, gap = (next.first_pin % n + n - end) % n;
    segments.push_back({strand.name + ": " + strand.from + " to " + strand.to, strand.first_pin % n,
                        span_of(strand, n), strand.count, false});
    if (gap > 0) segments.push_back({"at " + strand.to, end, gap, {}, false});
  }
  const std::size_t drawn =
      std::accumulate(segments.begin(), segments.end(), std::size_t{0},
                      [](std::size_t sum, const Segment& s) { return sum + s.length; });
  if (drawn != n) return {{"whole chain", 0, n, {}, false}};
  return segments;
}

}  // namespace tautmark::draw
