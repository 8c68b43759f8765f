// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <numeric>

#include "oil/identify.h"

namespace tautmark::oil {

Interval interval_of(std::span<const double> values, std::span<const double> weights) {
  std::vector<std::size_t> order(values.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return values[a] < values[b]; });
  const double sum = std::accumulate(weights.begin(), weights.end(), 0.0);
  const auto at = [&](double share) {
    double below = 0, last_middle = 0, last_value = values[order.front()];
    for (const std::size_t i : order) {
      const double middle = below + weights[i] / sum / 2;
      if (middle >= share) {
        const double along =
            middle > last_middle ? (share - last_middle) / (middle - last_middle) : 1;
        return last_value + along * (values[i] - last_value);
      }
      below += weights[i] / sum;
      last_middle = middle;
      last_value = values[i];
    }
    return last_value;
  };
  return {at(0.025), at(0.5), at(0.975)};
}

Interval interval_of(const Posterior& of, std::size_t unknown) {
  std::vector<double> values;
  for (std::size_t i = 0; i < of.weights.size(); ++i) values.push_back(of.draw(i)[unknown]);
  return interval_of(values, of.weights);
}

}  // namespace tautmark::oil
