// SPDX-License-Identifier: Apache-2.0
// For the .cc files of this module: the question every model asks first.
#pragma once

#include <cmath>
#include <initializer_list>

namespace tautmark::measure {

template <class Container>
bool all_finite(const Container& values) {
  for (const double value : values) {
    if (!std::isfinite(value)) return false;
  }
  return true;
}
inline bool all_finite(std::initializer_list<double> values) {
  return all_finite<std::initializer_list<double>>(values);
}

}  // namespace tautmark::measure
