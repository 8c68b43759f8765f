// SPDX-License-Identifier: Apache-2.0
// What a channel carries, found from its values alone: two levels (logic or hall sensor), a wave
// about a baseline (inductive sensor), or nothing. Values are in the file's own unit: every
// threshold is relative, so scale and offset of the recorder do not matter.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

#include "recording/trains.h"

namespace tautmark {

// Larger values are over-range marks of some recorder, not volts; so is what is no number.
inline constexpr double kLargestSample = 1e30;
inline bool is_sample(double value) { return value <= kLargestSample && value >= -kLargestSample; }

// Counts values in bins whose common width doubles whenever a value lies outside: no pass over the
// data to find its range first.
class LevelHistogram {
 public:
  void add(double value) {
    if (!(value >= begin_ && value < end_)) make_room(value);
    ++bins_[std::min(kBins - 1, static_cast<std::size_t>((value - begin_) * per_width_))];
    ++count_;
  }
  [[nodiscard]] double quantile(double share) const;  // 0 when empty
  [[nodiscard]] double share_between(double low, double high) const;
  // Splits the values into two groups so that the variance between the groups is greatest (Otsu,
  // IEEE Trans. Syst. Man Cybern. 9(1), 62-66, 1979).
  [[nodiscard]] double two_group_split() const;
  [[nodiscard]] std::int64_t count() const { return count_; }

 private:
  static constexpr std::size_t kBins = 4096;
  void make_room(double value);
  void grow(bool upward);
  [[nodiscard]] double bin_begin(std::size_t i) const;

  std::vector<std::int64_t> bins_;
  double begin_ = 0, end_ = 0;        // of all bins
  double width_ = 0, per_width_ = 0;  // of every bin, and its inverse
  std::int64_t count_ = 0;
};

struct ChannelLevels {
  SignalKind kind = SignalKind::dead;
  double low = 0, high = 0;  // the two levels of logic and hall
  double baseline = 0;    // inductive: mean, since the flux at the end is the flux at the beginning
  double least_peak = 0;  // inductive: smaller waves are noise
  double noise = 0;       // standard deviation of one sample, rounding included
  double smallest = 0, largest = 0;
  bool two_values = false;  // logic: exactly `low` and `high` occur; dead: only `low`
  // Values that the survey did not foresee: what the whole recording is looked at again for.
  double foreseen_low = -std::numeric_limits<double>::infinity();
  double foreseen_high = std::numeric_limits<double>::infinity();
};

class ChannelSurvey {
 public:
  void begin_block() { run_ = 0; }  // the next value does not follow the last one in time
  void add(const double* values, std::size_t count);
  // `complete`: every value was seen, so nothing can be unforeseen.
  [[nodiscard]] ChannelLevels levels(bool complete) const;

 private:
  [[nodiscard]] double noise() const;

  LevelHistogram values_, roughness_;  // roughness: size of the fourth differences
  std::array<double, 4> last_{};
  double sum_ = 0;
  int run_ = 0;  // values in a row, up to 4
  std::array<double, 2> distinct_{};
  int distinct_count_ = 0;  // 3: more than two
  double smallest_ = std::numeric_limits<double>::infinity();
  double largest_ = -std::numeric_limits<double>::infinity();
  double quantum_ = std::numeric_limits<double>::infinity();  // smallest change of value
};

}  // namespace tautmark
