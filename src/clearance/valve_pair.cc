// SPDX-License-Identifier: Apache-2.0
#include "clearance/valve_pair.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>
#include <vector>

namespace tautmark::clearance {
namespace {

using Vec = std::array<double, 3>;

double dot(const Vec& a, const Vec& b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }
Vec plus(const Vec& a, const Vec& b, double f) {
  return {a[0] + f * b[0], a[1] + f * b[1], a[2] + f * b[2]};
}
Vec cross(const Vec& a, const Vec& b) {
  return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}

struct Body {
  Vec face, axis;
  double radius, thickness;

  Vec farthest(const Vec& way) const {
    const double along = dot(way, axis);
    const Vec point = along > 0 ? plus(face, axis, thickness) : face;
    const Vec across = plus(way, axis, -along);
    const double length = std::sqrt(dot(across, across));
    // Straight along the axis what is left is rounding, and points out of the disc.
    if (length <= 1e-11 * std::abs(along)) return point;
    return plus(point, across, radius / length);
  }
};

Body body(const ValveHead& head, double lift) {
  const double lean = head.lean.si();
  const Vec axis{std::sin(lean), 0, std::cos(lean)};
  return {.face = plus({head.x.si(), head.y.si(), head.z.si()}, axis, -lift),
          .axis = axis,
          .radius = head.radius.si(),
          .thickness = head.thickness.si()};
}

// At most four points of the difference of the two bodies; fewer once the nearest point is found.
struct Simplex {
  std::array<Vec, 4> points{};
  int size = 0;
};

// The point of a segment, triangle or tetrahedron (the subset `mask`) nearest to the origin by the
// normal equations; false when it lies outside of the subset.
bool nearest_inside(const Simplex& s, unsigned mask, Vec& nearest) {
  int index[4] = {}, n = 0;
  for (int i = 0; i < s.size; ++i)
    if (mask >> i & 1U) index[n++] = i;
  const Vec& base = s.points[static_cast<std::size_t>(index[0])];
  Vec edge[3];
  for (int i = 1; i < n; ++i)
    edge[i - 1] = plus(s.points[static_cast<std::size_t>(index[i])], base, -1);
  double share[3] = {0, 0, 0};
  if (n == 2) {
    const double length = dot(edge[0], edge[0]);
    if (!(length > 0)) return false;
    share[0] = -dot(base, edge[0]) / length;
  } else if (n == 3) {
    const double aa = dot(edge[0], edge[0]), ab = dot(edge[0], edge[1]), bb = dot(edge[1], edge[1]);
    const double ra = -dot(base, edge[0]), rb = -dot(base, edge[1]), det = aa * bb - ab * ab;
    if (!(det > 1e-14 * aa * bb)) return false;
    share[0] = (ra * bb - rb * ab) / det;
    share[1] = (rb * aa - ra * ab) / det;
  } else if (n == 4) {
    const double det = dot(edge[0], cross(edge[1], edge[2]));
    if (det == 0) return false;
    for (int i = 0; i < 3; ++i)
      share[i] = -dot(base, cross(edge[(i + 1) % 3], edge[(i + 2) % 3])) / det;
  }
  if (share[0] < 0 || share[1] < 0 || share[2] < 0 || share[0] + share[1] + share[2] > 1)
    return false;
  nearest = base;
  for (int i = 1; i < n; ++i) nearest = plus(nearest, edge[i - 1], share[i - 1]);
  return true;
}

// Nearest point of the whole simplex, which is then reduced to the corners it needs.
Vec nearest_to_origin(Simplex& s) {
  Vec best{};
  unsigned kept = 0;
  double least = std::numeric_limits<double>::infinity();
  for (unsigned mask = 1; mask < 1U << s.size; ++mask) {
    Vec found;
    if (!nearest_inside(s, mask, found) || !(dot(found, found) < least)) continue;
    least = dot(found, found);
    best = found;
    kept = mask;
  }
  int n = 0;
  for (int i = 0; i < s.size; ++i)
    if (kept >> i & 1U)
      s.points[static_cast<std::size_t>(n++)] = s.points[static_cast<std::size_t>(i)];
  s.size = n;
  return best;
}

constexpr double kBoundsApart = 1e-9;  // m
constexpr int kMostSteps = 400;

double distance(const Body& a, const Body& b) {
  Vec v = plus(a.face, b.face, -1);
  Simplex simplex;
  double lower = 0;
  for (int step = 0; step < kMostSteps; ++step) {
    const double length = std::sqrt(dot(v, v));
    if (length <= kBoundsApart) return 0;
    const Vec back{-v[0], -v[1], -v[2]};
    const Vec w = plus(a.farthest(back), b.farthest(v), -1);
    lower = std::max(lower, dot(v, w) / length);
    if (length - lower <= kBoundsApart) return lower;
    simplex.points[static_cast<std::size_t>(simplex.size++)] = w;
    v = nearest_to_origin(simplex);
    if (simplex.size == 4) return 0;  // the origin is inside: the bodies are in one another
  }
  return lower;
}

}  // namespace

Length head_distance(const ValveHead& a, Length lift_a, const ValveHead& b, Length lift_b) {
  return Length::from_si(distance(body(a, lift_a.si()), body(b, lift_b.si())));
}

PairGap least_head_distance(const ValvePair& pair, const LiftCurve& lift_a, CrankAngle early_a,
                            const LiftCurve& lift_b, CrankAngle early_b,
                            const std::optional<PairGap>& so_far) {
  struct Place {
    double la, lb, distance;
  };
  const auto at = [&](double angle) {
    const CrankAngle theta = crank_deg(angle);
    Place p{lift(lift_a, theta + early_a).si(), lift(lift_b, theta + early_b).si(), 0};
    p.distance = head_distance(pair.a, Length::from_si(p.la), pair.b, Length::from_si(p.lb)).si();
    return p;
  };
  constexpr double kWithin = 1e-6;  // m
  PairGap found{.least = Length::from_si(std::numeric_limits<double>::infinity())};
  if (so_far) found = {so_far->least + Length::from_si(kWithin), so_far->at};
  const auto take = [&found](const Place& p, double angle) {
    if (p.distance < found.least.si()) found = {Length::from_si(p.distance), crank_deg(angle)};
  };
  // Between two places the distance is at least their mean less half of what the heads move; a
  // third on top for lifts that rise and fall within the step.
  struct Span {
    double from, to;
    Place before, after;
  };
  constexpr double kFinest = 1.0 / 256;
  constexpr double kFar = 1e-5;  // m
  std::vector<Span> open;
  std::vector<std::pair<double, double>> lifts;
  std::size_t widest = 0;
  for (int degree = 0; degree <= 720; ++degree) {
    const CrankAngle theta = crank_deg(degree);
    lifts.emplace_back(lift(lift_a, theta + early_a).si(), lift(lift_b, theta + early_b).si());
    const auto both = [&lifts](std::size_t i) { return lifts[i].first + lifts[i].second; };
    if (both(lifts.size() - 1) > both(widest)) widest = lifts.size() - 1;
  }
  take(at(static_cast<double>(widest)), static_cast<double>(widest));
  // No head has moved far enough since it was looked at to come nearer than what was found.
  Place seen = at(0);
  take(seen, 0);
  const auto moved_since = [&](std::size_t i) {
    return std::abs(lifts[i].first - seen.la) + std::abs(lifts[i].second - seen.lb);
  };
  for (std::size_t i = 1; i < lifts.size(); ++i) {
    const double step = std::abs(lifts[i].first - lifts[i - 1].first) +
                        std::abs(lifts[i].second - lifts[i - 1].second);
    const double moved = std::max(moved_since(i - 1), moved_since(i)) + step;
    if (seen.distance - moved > found.least.si() + kFar) continue;
    const double degree = static_cast<double>(i);
    const Place before = at(degree - 1);
    seen = at(degree);
    take(before, degree - 1);
    take(seen, degree);
    open.push_back({degree - 1, degree, before, seen});
  }
  while (!open.empty()) {
    const Span span = open.back();
    open.pop_back();
    const double moved =
        std::abs(span.before.la - span.after.la) + std::abs(span.before.lb - span.after.lb);
    const double bound = (span.before.distance + span.after.distance) / 2 - moved * 2 / 3;
    if (bound > found.least.si() - kWithin || span.to - span.from < kFinest) continue;
    const double middle = (span.from + span.to) / 2;
    const Place between = at(middle);
    take(between, middle);
    open.push_back({span.from, middle, span.before, between});
    open.push_back({middle, span.to, between, span.after});
  }
  found.least = Length::from_si(std::max(0.0, found.least.si() - kWithin));
  return found;
}

}  // namespace tautmark::clearance
