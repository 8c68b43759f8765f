// SPDX-License-Identifier: Apache-2.0
// A value that came with how well it is known. An uncertainty that nobody stated is refused, not
// taken as none: most inputs of these models are estimates, and a result that hides that reads like
// a measurement. What is worked out combines independent inputs: root of the sum of squares.
#pragma once

#include <cmath>
#include <limits>

namespace tautmark::oil {

template <class Q>
struct Estimated {
  Q value{};
  double U = std::numeric_limits<double>::quiet_NaN();  // relative, 95 %; 0: known exactly
};

inline bool is_stated(double U) { return U >= 0 && std::isfinite(U); }
template <class Q>
bool is_stated(const Estimated<Q>& it) {
  return is_stated(it.U) && std::isfinite(it.value.si());
}
inline bool is_stated(const Estimated<double>& it) {
  return is_stated(it.U) && std::isfinite(it.value);
}
inline bool is_positive(double v) { return v > 0 && std::isfinite(v); }
inline bool is_not_negative(double v) { return v >= 0 && std::isfinite(v); }

}  // namespace tautmark::oil
