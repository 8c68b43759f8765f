// SPDX-License-Identifier: Apache-2.0
// Points of the sheet: x to the right, y down, in units of the sheet (800 to its width).
#pragma once

#include <cmath>
#include <numbers>

namespace tautmark::draw {

struct XY {
  double x = 0, y = 0;
  friend constexpr XY operator+(XY a, XY b) { return {a.x + b.x, a.y + b.y}; }
  friend constexpr XY operator-(XY a, XY b) { return {a.x - b.x, a.y - b.y}; }
  friend constexpr XY operator*(XY a, double f) { return {a.x * f, a.y * f}; }
  friend constexpr XY operator*(double f, XY a) { return {a.x * f, a.y * f}; }
};

inline constexpr double kPi = std::numbers::pi;

inline double dot(XY a, XY b) { return a.x * b.x + a.y * b.y; }
inline double length(XY a) { return std::hypot(a.x, a.y); }
inline XY unit(XY a) {
  const double l = length(a);
  return l > 0 ? a * (1 / l) : XY{1, 0};
}
inline XY right_of(XY a) { return {-a.y, a.x}; }  // a quarter turn clockwise on the sheet
inline XY clock_direction(double radians) { return {std::sin(radians), -std::cos(radians)}; }
inline double in_degrees(double radians) { return radians * 180 / kPi; }

}  // namespace tautmark::draw
