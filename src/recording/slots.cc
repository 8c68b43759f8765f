// SPDX-License-Identifier: Apache-2.0
#include "recording/slots.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace tautmark {
namespace {

constexpr double kStall = 8;          // local medians
constexpr double kRelearn = 20;       // slots
constexpr double kLongestStep = 1.5;  // slots; more is a gap
constexpr std::size_t kShortestPart = 4;
constexpr double kNever = std::numeric_limits<double>::infinity();

// One value of a sorted window less, another more.
void replace_sorted(std::vector<double>& sorted, double gone, double come) {
  auto i = static_cast<std::size_t>(std::lower_bound(sorted.begin(), sorted.end(), gone) -
                                    sorted.begin());
  for (; i + 1 < sorted.size() && sorted[i + 1] < come; ++i) sorted[i] = sorted[i + 1];
  for (; i > 0 && sorted[i - 1] > come; --i) sorted[i] = sorted[i - 1];
  sorted[i] = come;
}

// Whether a look at the least and greatest intervals proves that every edge is accepted: short ones
// within 2 to 1, which alone are remembered, and gaps clearly above them.
bool accepts_all(std::span<const double> times, const SlotFilter& filter, double first_slot) {
  double shortest = kNever, longest = 0, longest_step = 0, shortest_gap = kNever;
  for (std::size_t i = 1; i < times.size(); ++i)
    shortest = std::min(shortest, times[i] - times[i - 1]);
  if (!(shortest > 0)) return false;
  for (std::size_t i = 1; i < times.size(); ++i) {
    const double interval = times[i] - times[i - 1];
    longest = std::max(longest, interval);
    if (interval <= 2 * shortest)
      longest_step = std::max(longest_step, interval);
    else
      shortest_gap = std::min(shortest_gap, interval);
  }
  if (first_slot > longest_step || filter.fraction * longest_step > shortest) return false;
  return shortest_gap == kNever ||
         (filter.memory > 3 && shortest_gap > kLongestStep * longest_step &&
          longest <= kRelearn * shortest);
}

}  // namespace

double lower_median(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>((values.size() - 1) / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

std::vector<double> running_median(std::span<const double> values, std::size_t reach,
                                   bool with_itself) {
  std::vector<double> result(values.size()), window;  // sorted
  const auto place = [&](double value) {
    return std::lower_bound(window.begin(), window.end(), value);
  };
  const std::size_t whole = values.size();
  for (std::size_t j = 0; j < std::min(whole, reach); ++j)
    window.insert(place(values[j]), values[j]);
  for (std::size_t i = 0; i < whole; ++i) {
    const bool grows = i + reach < whole;
    if (i > reach && grows)
      replace_sorted(window, values[i - reach - 1], values[i + reach]);
    else if (i > reach)
      window.erase(place(values[i - reach - 1]));
    else if (grows)
      window.insert(place(values[i + reach]), values[i + reach]);
    if (with_itself) {
      result[i] = window[(window.size() - 1) / 2];
    } else if (window.size() == 1) {
      result[i] = values[i];
    } else {
      const auto own = static_cast<std::size_t>(place(values[i]) - window.begin());
      const std::size_t middle = (window.size() - 2) / 2;
      result[i] = window[middle < own ? middle : middle + 1];
    }
  }
  return result;
}

std::vector<double> times_of(const SignalTrain& train, int polarity) {
  std::vector<double> times;
  times.reserve(train.edges.size() / 2 + 1);
  for (const SignalEdge& edge : train.edges)
    if (edge.polarity == polarity) times.push_back(edge.time);
  return times;
}

std::vector<double> intervals_of(std::span<const double> times) {
  std::vector<double> result;
  result.reserve(times.size());
  for (std::size_t i = 1; i < times.size(); ++i) result.push_back(times[i] - times[i - 1]);
  return result;
}

std::vector<double> accepted_edges(std::span<const double> times, const SlotFilter& filter) {
  std::vector<double> accepted;
  accepted.reserve(times.size());
  if (times.empty()) return accepted;
  const auto learn = [&](std::size_t from) {
    const std::size_t last = std::min(times.size(), from + filter.memory + 2);
    return lower_median(intervals_of(times.subspan(from, last - from)));
  };
  double slot = learn(0);
  if (accepts_all(times, filter, slot)) {
    accepted.assign(times.begin(), times.end());
    return accepted;
  }
  std::vector<double> steps, sorted;  // the same
  std::size_t oldest = 0;             // of the steps, once there are as many as are remembered
  accepted.push_back(times[0]);
  for (std::size_t i = 1; i < times.size(); ++i) {
    const double interval = times[i] - accepted.back();
    if (!(interval > 0) || interval < filter.fraction * slot) continue;
    accepted.push_back(times[i]);
    if (interval > kRelearn * slot) {
      slot = learn(i);
      steps.clear();
      sorted.clear();
      oldest = 0;
      continue;
    }
    if (filter.memory > 3 && interval > kLongestStep * slot) continue;
    if (steps.size() < filter.memory) {
      steps.push_back(interval);
      sorted.insert(std::lower_bound(sorted.begin(), sorted.end(), interval), interval);
    } else {
      replace_sorted(sorted, std::exchange(steps[oldest], interval), interval);
      oldest = (oldest + 1) % filter.memory;
    }
    if (steps.size() >= std::min<std::size_t>(3, filter.memory))
      slot = sorted[(sorted.size() - 1) / 2];
  }
  return accepted;
}

std::vector<Part> parts_between_stalls(std::span<const double> times) {
  const std::vector<double> intervals = intervals_of(times);
  std::vector<Part> parts;
  const auto [least, most] = std::minmax_element(intervals.begin(), intervals.end());
  if (!intervals.empty() && *most <= kStall * *least) {  // no median is below the least
    if (times.size() >= kShortestPart) parts.push_back({0, times.size()});
    return parts;
  }
  const std::vector<double> local = running_median(intervals, 8, true);
  std::size_t begin = 0;
  for (std::size_t i = 0; i <= intervals.size(); ++i) {
    if (i < intervals.size() && intervals[i] <= kStall * local[i]) continue;
    if (i + 1 - begin >= kShortestPart) parts.push_back({begin, i + 1});
    begin = i + 1;
  }
  return parts;
}

std::vector<int> whole_slots(std::span<const double> intervals, std::size_t reach) {
  // A wide look first, a near one after it. More rounds let a few extra edges convince their
  // neighbors that a slot is half as long.
  std::vector<int> slots(intervals.size(), 1);
  std::vector<double> base = running_median(intervals, 9, true);
  for (int round = 0;; ++round) {
    for (std::size_t i = 0; i < intervals.size(); ++i) {
      const double ratio = base[i] > 0 ? intervals[i] / base[i] : 1;
      slots[i] = static_cast<int>(std::clamp(std::round(ratio), 1.0, 1000.0));
    }
    if (round == 1) break;
    std::vector<double> unit(intervals.size());
    for (std::size_t i = 0; i < unit.size(); ++i) unit[i] = intervals[i] / slots[i];
    base = running_median(unit, reach, false);
  }
  return slots;
}

double self_dissimilarity(std::span<const double> intervals, std::size_t lag) {
  if (intervals.size() < lag + 3) return std::numeric_limits<double>::infinity();
  std::vector<double> differences;
  for (std::size_t i = 0; i + lag + 1 < intervals.size(); ++i) {
    const double here = intervals[i + 1] / intervals[i];
    const double there = intervals[i + lag + 1] / intervals[i + lag];
    if (here > 0 && there > 0) differences.push_back(std::abs(std::log(there / here)));
  }
  if (differences.empty()) return std::numeric_limits<double>::infinity();
  return lower_median(std::move(differences));
}

}  // namespace tautmark
