// SPDX-License-Identifier: Apache-2.0
// Distance of two valve heads by their lifts, for maps: computed once on a grid of lifts and taken
// straight between. The distance is smooth in both lifts; a drawing wants no more than 0.05 mm.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

#include "clearance/valve_pair.h"

namespace tautmark::draw {

class HeadTable {
 public:
  HeadTable() = default;
  HeadTable(const clearance::ValvePair& heads, Length most_a, Length most_b)
      : per_a_(kSteps / most_a.si()), per_b_(kSteps / most_b.si()) {
    for (int a = 0; a <= kSteps; ++a)
      for (int b = 0; b <= kSteps; ++b)
        values_.push_back(clearance::head_distance(heads.a, most_a * (1.0 * a / kSteps), heads.b,
                                                   most_b * (1.0 * b / kSteps))
                              .si());
  }
  // Lifts in m, 0 to the highest; m.
  [[nodiscard]] double at(double lift_a, double lift_b) const {
    const double a = std::clamp(lift_a * per_a_, 0.0, kSteps - 1e-9);
    const double b = std::clamp(lift_b * per_b_, 0.0, kSteps - 1e-9);
    const auto row = static_cast<std::size_t>(a), column = static_cast<std::size_t>(b);
    const double down = a - static_cast<double>(row), along = b - static_cast<double>(column);
    const auto value = [&](std::size_t i, std::size_t j) { return values_[i * (kSteps + 1) + j]; };
    return (1 - down) * ((1 - along) * value(row, column) + along * value(row, column + 1)) +
           down * ((1 - along) * value(row + 1, column) + along * value(row + 1, column + 1));
  }

 private:
  static constexpr int kSteps = 32;
  double per_a_ = 0, per_b_ = 0;
  std::vector<double> values_{};
};

}  // namespace tautmark::draw
