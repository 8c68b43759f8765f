// SPDX-License-Identifier: Apache-2.0
// A taut loop around circles in a given order: the formulas of path.h, for one kind of number.
//
//   u = (d S + (d.y, -d.x) q) / |d|²      direction of the strand, S and q as in path.h
//   wrap = atan2(side u0 x u1, u0 . u1), below zero one turn more
//
// `side` +1: the circle lies left of travel (the loop turns counterclockwise on it), -1: right.
// Source: geometry.md 2.4. The sum of side * wrap is +-2 pi for a simple loop, 0 for a crossed one.
#pragma once

#include <cmath>
#include <cstddef>
#include <numbers>
#include <optional>
#include <span>

#include "geometry/dual.h"

namespace tautmark {

template <class T>
struct Circle {
  T x{}, y{}, r{};
  int side = 1;
  T pitches_per_radian{};  // what a radian of wrap counts
};

template <class T>
struct LoopPart {
  T wrap{};      // on the circle
  T ux{}, uy{};  // direction of the strand that leaves it
  T strand{};    // its length
};

inline double value_of(double v) { return v; }
inline double value_of(Dual v) { return v.value; }

// Why two circles have no common tangent: how far their centers are apart and would have to be.
struct NoTangent {
  std::size_t from = 0, to = 0;  // circles
  double apart = 0, needed = 0;
};

// Fills one part per entry of `order` (indices of `circles`, at least two).
template <class T>
std::optional<NoTangent> lay_loop(std::span<const Circle<T>> circles,
                                  std::span<const std::size_t> order,
                                  std::span<LoopPart<T>> parts) {
  using std::atan2;
  using std::sqrt;
  const std::size_t n = order.size();
  for (std::size_t k = 0; k < n; ++k) {
    const std::size_t from = order[k];
    const std::size_t to = order[k + 1 < n ? k + 1 : 0];
    const Circle<T>& a = circles[from];
    const Circle<T>& b = circles[to];
    const T dx = b.x - a.x;
    const T dy = b.y - a.y;
    const T q = b.r * double(b.side) - a.r * double(a.side);
    const T apart = dx * dx + dy * dy;
    const T square = apart - q * q;
    if (!(value_of(square) > 0)) {
      return NoTangent{from, to, std::sqrt(value_of(apart)), std::abs(value_of(q))};
    }
    const T strand = sqrt(square);
    parts[k].strand = strand;
    parts[k].ux = (dx * strand + dy * q) / apart;
    parts[k].uy = (dy * strand - dx * q) / apart;
  }
  for (std::size_t k = 0; k < n; ++k) {
    const LoopPart<T>& in = parts[k > 0 ? k - 1 : n - 1];
    LoopPart<T>& out = parts[k];
    const double side = circles[order[k]].side;
    const T across = (in.ux * out.uy - in.uy * out.ux) * side;
    out.wrap = atan2(across, in.ux * out.ux + in.uy * out.uy);
    if (value_of(out.wrap) < 0) out.wrap = out.wrap + 2 * std::numbers::pi;
  }
  return std::nullopt;
}

// Where the strand leaves or meets a circle, as seen from its center.
template <class T>
struct Offset {
  T x{}, y{};
};
template <class T>
Offset<T> contact_offset(const Circle<T>& circle, const T& ux, const T& uy) {
  const T reach = circle.r * double(circle.side);
  return {reach * uy, -(reach * ux)};
}

}  // namespace tautmark
