// SPDX-License-Identifier: Apache-2.0
// For the .cc files of this module: a refusal in one line, and the question every model asks first.
#pragma once

#include <fmt/format.h>

#include <cmath>
#include <initializer_list>
#include <string>
#include <utility>

#include "base/diagnostic.h"

namespace tautmark::measure {

inline tl::unexpected<Refusal> refused(std::string why) {
  return tl::unexpected<Refusal>(Refusal{std::move(why)});
}

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
