// SPDX-License-Identifier: Apache-2.0
// The path against computations that share nothing with it: the convex hull of circles drawn as
// polygons (Boost.Geometry) where everything lies inside the loop, and for guides outside a taut
// string around polygons whose common tangents are found by looking at every corner.
#include <gtest/gtest.h>

#include <algorithm>
#include <boost/geometry/algorithms/append.hpp>
#include <boost/geometry/algorithms/convex_hull.hpp>
#include <boost/geometry/geometries/multi_point.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>
#include <boost/geometry/strategies/strategies.hpp>
#include <cmath>
#include <numbers>
#include <vector>

#include "geometry/path.h"
#include "geometry/test_drives.h"

namespace tautmark {
namespace {

namespace bg = boost::geometry;
using Corner = bg::model::d2::point_xy<double>;

constexpr double kPi = std::numbers::pi;
constexpr int kCorners = 20'000;
// The polygon's perimeter is short by (pi / corners)² / 6 and its tangents by less.
constexpr double kSame = 1e-4;  // mm

struct Disk {
  double x = 0, y = 0, r = 0;
};

Disk disk_of(const PathInputs& in, const Path& path, std::size_t element) {
  const PathElement& e = in.elements[element];
  const Point c = e.kind == ElementKind::arm ? path.arm_center : e.center;
  const double r = e.kind == ElementKind::sprocket ? in_mm(in.pitch) / (2 * std::sin(kPi / e.teeth))
                                                   : in_mm(e.radius);
  return {in_mm(c.x), in_mm(c.y), r};
}

std::vector<Corner> polygon_of(const Disk& d, int corners = kCorners) {
  std::vector<Corner> all;
  for (int i = 0; i < corners; ++i) {
    const double a = 2 * kPi * i / corners;
    all.emplace_back(d.x + d.r * std::cos(a), d.y + d.r * std::sin(a));
  }
  return all;
}

double apart(const Corner& a, const Corner& b) { return std::hypot(a.x() - b.x(), a.y() - b.y()); }

double hull_length(const std::vector<Disk>& disks) {
  bg::model::multi_point<Corner> points;
  for (const Disk& d : disks) {
    for (const Corner& c : polygon_of(d)) bg::append(points, c);
  }
  bg::model::polygon<Corner> hull;
  bg::convex_hull(points, hull);
  double length = 0;
  for (std::size_t i = 1; i < hull.outer().size(); ++i) {
    length += apart(hull.outer()[i - 1], hull.outer()[i]);
  }
  return length;
}

TEST(PathAgainstHull, AllElementsInside) {
  const auto expect_hull = [](const PathInputs& in) {
    const auto path = solve_path(in);
    ASSERT_TRUE(path) << path.error().why;
    std::vector<Disk> disks;
    for (std::size_t i = 0; i < in.elements.size(); ++i) disks.push_back(disk_of(in, *path, i));
    EXPECT_NEAR(in_mm(path->length), hull_length(disks), kSame);
  };
  expect_hull(two_cams());
  PathInputs four = two_cams();
  four.elements.push_back(guide("inner", 58, 120, 30, false));  // bows the driving strand out
  expect_hull(four);
  four.elements.back().center = point_mm(5, 120);  // not touched
  expect_hull(four);
  four.elements.insert(four.elements.begin() + 1, sprocket("pump", -70, 90, 23));
  expect_hull(four);
  four.turn = 1;  // counterclockwise: the same hull, the elements met in the other order
  std::reverse(four.elements.begin() + 1, four.elements.end());
  expect_hull(four);
}

// ---- taut string around polygons ---------------------------------------------------------------

double across(const Corner& o, const Corner& a, const Corner& b) {
  return (a.x() - o.x()) * (b.y() - o.y()) - (a.y() - o.y()) * (b.x() - o.x());
}

// The corner such that, seen from `from` along the string, all others lie on the polygon's side
// (+1 left). `ahead`: the polygon is run towards; else away from.
std::size_t touching(const Corner& from, const std::vector<Corner>& polygon, int side, bool ahead) {
  std::size_t best = 0;
  for (std::size_t i = 1; i < polygon.size(); ++i) {
    const double turn = across(from, polygon[best], polygon[i]) * side * (ahead ? 1 : -1);
    if (turn < 0) best = i;
  }
  return best;
}

struct Bridge {
  std::size_t leaves = 0, arrives = 0;  // corners
};

Bridge bridge(const std::vector<Corner>& a, int side_a, const std::vector<Corner>& b, int side_b) {
  Bridge t;
  for (int i = 0; i < 100; ++i) {
    const Bridge last = t;
    t.leaves = touching(b[t.arrives], a, side_a, false);
    t.arrives = touching(a[t.leaves], b, side_b, true);
    if (t.leaves == last.leaves && t.arrives == last.arrives) return t;
  }
  ADD_FAILURE() << "no common tangent found";
  return t;
}

struct Around {
  Disk disk;
  int side = 0;
};

double string_length(const std::vector<Around>& loop) {
  const std::size_t n = loop.size();
  std::vector<std::vector<Corner>> polygons;
  for (const Around& each : loop) polygons.push_back(polygon_of(each.disk));
  std::vector<Bridge> bridges;
  double length = 0;
  for (std::size_t k = 0; k < n; ++k) {
    const std::size_t next = (k + 1) % n;
    bridges.push_back(bridge(polygons[k], loop[k].side, polygons[next], loop[next].side));
    length += apart(polygons[k][bridges[k].leaves], polygons[next][bridges[k].arrives]);
  }
  for (std::size_t k = 0; k < n; ++k) {
    const std::size_t corners = polygons[k].size();
    std::size_t at = bridges[(k + n - 1) % n].arrives;
    while (at != bridges[k].leaves) {
      const std::size_t to = (at + (loop[k].side > 0 ? 1 : corners - 1)) % corners;
      length += apart(polygons[k][at], polygons[k][to]);
      at = to;
    }
  }
  return length;
}

void expect_string(const PathInputs& in, const std::vector<std::size_t>& touched) {
  const auto path = solve_path(in);
  ASSERT_TRUE(path) << path.error().why;
  std::vector<Around> loop;
  for (const std::size_t i : touched) {
    loop.push_back({disk_of(in, *path, i), in.elements[i].outside ? -in.turn : in.turn});
  }
  EXPECT_NEAR(in_mm(path->length), string_length(loop), kSame);
}

TEST(PathAgainstString, GuidesAndSprocketsOutside) {
  expect_string(worked_bank(), {0, 1, 2, 3});
  expect_string(worked_bank(-30), {0, 1, 2, 3});
  PathInputs in = two_cams();
  in.elements.insert(in.elements.begin() + 1, guide("left", -170, 150, 103));
  in.elements.push_back(guide("right", 170, 150, 104));
  expect_string(in, {0, 1, 2, 3, 4});
  in.elements.insert(in.elements.begin() + 3, sprocket("balance shaft", 0, 366, 15));
  in.elements[3].outside = true;  // its rim hangs into the strand between the cams
  expect_string(in, {0, 1, 2, 3, 4, 5});
  in.elements.back().center = point_mm(400, 160);  // clears the strand
  expect_string(in, {0, 1, 2, 3, 4});
}

// ---- trade.md ----------------------------------------------------------------------------------

// Source: trade.md 6.A: crank 21 teeth, cam 42 teeth, 8 mm, 366.5 mm: free span 365.53 mm, straight
// path 123.37 links; 6.B: crank 19, cams 38 at (-62, 362) and (62, 362): spans 366.48, 366.48 and
// 124.00 mm, path 1096.34 mm = 137.04 links.
TEST(PathOfTheTrade, StraightPathsOfBothFamilies) {
  PathInputs vessgarth;
  vessgarth.pitch = mm(8);
  vessgarth.links = 124;
  vessgarth.elements = {sprocket("crank", 0, 0, 21), sprocket("cam", 0, 366.5, 42)};
  const auto one = solve_path(vessgarth);
  ASSERT_TRUE(one) << one.error().why;
  EXPECT_NEAR(in_mm(one->strands[0].length), 365.53, 5e-3);
  EXPECT_NEAR(one->pitches, 123.37, 5e-3);
  EXPECT_NEAR(one->spare * 8, 5.05, 1e-2);

  PathInputs quellmere;
  quellmere.pitch = mm(8);
  quellmere.links = 138;
  quellmere.elements = {sprocket("crank", 0, 0, 19), sprocket("intake", -62, 362, 38),
                        sprocket("exhaust", 62, 362, 38)};
  const auto two = solve_path(quellmere);
  ASSERT_TRUE(two) << two.error().why;
  EXPECT_NEAR(in_mm(two->strands[0].length), 366.48, 5e-3);
  EXPECT_NEAR(in_mm(two->strands[1].length), 124.00, 5e-3);
  EXPECT_NEAR(in_mm(two->strands[2].length), 366.48, 5e-3);
  EXPECT_NEAR(two->pitches, 137.04, 5e-3);
  EXPECT_NEAR(two->pitches * 8, 1096.34, 1e-2);
  EXPECT_NEAR(two->spare * 8, 7.66, 1e-2);
}

}  // namespace
}  // namespace tautmark
