// SPDX-License-Identifier: Apache-2.0
// A number that carries its derivative by one variable: exact derivatives of a formula written
// once (forward accumulation). Rules: sum, product, quotient, chain rule.
#pragma once

#include <cmath>

namespace tautmark {

struct Dual {
  double value = 0;
  double slope = 0;

  friend Dual operator+(Dual a, Dual b) { return {a.value + b.value, a.slope + b.slope}; }
  friend Dual operator-(Dual a, Dual b) { return {a.value - b.value, a.slope - b.slope}; }
  friend Dual operator-(Dual a) { return {-a.value, -a.slope}; }
  friend Dual operator*(Dual a, Dual b) {
    return {a.value * b.value, a.slope * b.value + a.value * b.slope};
  }
  friend Dual operator/(Dual a, Dual b) {
    const double ratio = a.value / b.value;
    return {ratio, (a.slope - ratio * b.slope) / b.value};
  }
  friend Dual operator+(Dual a, double b) { return {a.value + b, a.slope}; }
  friend Dual operator-(Dual a, double b) { return {a.value - b, a.slope}; }
  friend Dual operator-(double a, Dual b) { return {a - b.value, -b.slope}; }
  friend Dual operator*(Dual a, double b) { return {a.value * b, a.slope * b}; }
  friend Dual operator*(double a, Dual b) { return b * a; }
  friend Dual operator/(Dual a, double b) { return {a.value / b, a.slope / b}; }
  friend Dual operator/(double a, Dual b) { return Dual{a, 0} / b; }
};

inline Dual sqrt(Dual a) {
  const double root = std::sqrt(a.value);
  return {root, a.slope / (2 * root)};
}
inline Dual sin(Dual a) { return {std::sin(a.value), a.slope * std::cos(a.value)}; }
inline Dual cos(Dual a) { return {std::cos(a.value), -a.slope * std::sin(a.value)}; }
inline Dual asin(Dual a) {
  return {std::asin(a.value), a.slope / std::sqrt(1 - a.value * a.value)};
}
inline Dual atan2(Dual y, Dual x) {
  return {std::atan2(y.value, x.value),
          (x.value * y.slope - y.value * x.slope) / (x.value * x.value + y.value * y.value)};
}

}  // namespace tautmark
