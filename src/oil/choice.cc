// SPDX-License-Identifier: Apache-2.0
#include "oil/choice.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "oil/identify.h"

namespace tautmark::oil {
namespace {

template <class Holds>
double share(std::span<const double> weights, const Holds& holds) {
  double sum = 0;
  for (std::size_t i = 0; i < weights.size(); ++i)
    if (holds(i)) sum += weights[i];
  return sum;
}

std::string listed(std::span<const OptionDraws> options, const std::vector<std::size_t>& which) {
  std::string names;
  for (const std::size_t i : which) names += (names.empty() ? "" : "; ") + options[i].name;
  return names;
}

}  // namespace

Choice choose(std::span<const OptionDraws> options, std::span<const double> weights) {
  Choice out;
  if (options.empty()) return out;
  std::vector<double> median;
  for (const OptionDraws& one : options) median.push_back(interval_of(one.head, weights).median);
  out.ranking.resize(options.size());
  std::iota(out.ranking.begin(), out.ranking.end(), std::size_t{0});
  std::stable_sort(out.ranking.begin(), out.ranking.end(),
                   [&](std::size_t a, std::size_t b) { return median[a] > median[b]; });
  if (options.size() < 2) {
    out.said = "one option only: nothing to choose between";
    return out;
  }
  const std::size_t first = out.ranking.front();
  const std::span<const double> top = options[first].head;
  out.can_choose = true;
  for (const std::size_t other : out.ranking) {
    const std::span<const double> head = options[other].head;
    if (other != first && share(weights, [&](std::size_t i) { return top[i] > head[i]; }) >= kSure)
      continue;
    out.rivals.push_back(other);
    if (other != first &&
        (options[other].renews.empty() || options[other].renews != options[first].renews))
      out.can_choose = false;
  }
  if (out.rivals.size() == 1) {
    out.best = first;
    out.said = fmt::format("{} gives the highest pressure at the head", options[first].name);
  } else if (out.can_choose) {
    out.said = fmt::format(
        "either gives the highest pressure at the head, and no gauge can choose between them: {}",
        listed(options, out.rivals));
  } else {
    out.said =
        fmt::format("cannot choose between {}: their ranges overlap", listed(options, out.rivals));
  }
  return out;
}

std::vector<std::string> to_measure_next(const Choice& choice, const std::string& bank) {
  if (choice.rivals.size() < 2) return {};
  if (choice.can_choose)
    return {fmt::format("after either, the pressure at the head port of {}, hot idle", bank)};
  return {fmt::format("the journals and bores of {} again, with a better gauge", bank)};
}

}  // namespace tautmark::oil
