// SPDX-License-Identifier: Apache-2.0
// Flows over pressure differences with their slopes, as oil/network.h describes them. Each is 0 at
// 0 and never falls: that makes the answer of a network the only one. `smoothing` is Δp_c squared.
#pragma once

#include <cmath>

#include "oil/network.h"

namespace tautmark::oil {

struct Smooth {
  double value, slope;
};

// 0 to 1 with no slope at either end.
inline Smooth opened(double u) {
  if (u <= 0) return {0, 0};
  if (u >= 1) return {1, 0};
  return {u * u * (3 - 2 * u), 6 * u * (1 - u)};
}

// 0 below 0, u from 1 on, and never falls between.
inline Smooth ramp(double u) {
  if (u <= 0) return {0, 0};
  if (u >= 1) return {u, 1};
  return {u * u * (2 - u), u * (4 - 3 * u)};
}

inline Smooth root_law(double size, double dp, double smoothing) {
  const double squares = dp * dp + smoothing;
  const double root = std::sqrt(std::sqrt(squares));
  return {size * dp / root, size * (0.5 * dp * dp + smoothing) / (squares * root)};
}

inline Smooth checked_law(double size, double opens, double dp, double smoothing) {
  const Smooth hole = root_law(size, dp, smoothing);
  const Smooth open = opened((dp - opens) / kValveTravel);
  const double share = kShutLeak + (1 - kShutLeak) * open.value;
  return {hole.value * share,
          hole.slope * share + hole.value * (1 - kShutLeak) * open.slope / kValveTravel};
}

inline Smooth relief_law(double size, double opens, double dp) {
  const Smooth open = ramp((dp - opens) / kValveTravel);
  return {size * (open.value * kValveTravel + kShutLeak * dp), size * (open.slope + kShutLeak)};
}

}  // namespace tautmark::oil
