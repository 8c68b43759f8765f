// SPDX-License-Identifier: Apache-2.0
#include "recording/survey.h"

#include <algorithm>
#include <cmath>

namespace tautmark {

void LevelHistogram::grow(bool upward) {
  // Pairs of bins become one; the other half is new room.
  if (upward) {
    for (std::size_t i = 0; i < kBins / 2; ++i) bins_[i] = bins_[2 * i] + bins_[2 * i + 1];
    std::fill(bins_.begin() + kBins / 2, bins_.end(), 0);
  } else {
    for (std::size_t i = kBins / 2; i-- > 0;)
      bins_[kBins / 2 + i] = bins_[2 * i] + bins_[2 * i + 1];
    std::fill(bins_.begin(), bins_.begin() + kBins / 2, 0);
    begin_ -= width_ * static_cast<double>(kBins);
  }
  width_ *= 2;
  per_width_ /= 2;
  end_ = begin_ + width_ * static_cast<double>(kBins);
}

void LevelHistogram::make_room(double value) {
  if (bins_.empty()) {
    bins_.assign(kBins, 0);
    // Fine against anything near the first value; a first value of 0 says nothing of the scale. A
    // power of two: its inverse is exact.
    width_ = std::ldexp(1.0, std::ilogb(std::max(std::abs(value) * 1e-9, 1e-15)));
    per_width_ = 1 / width_;
    begin_ = value - width_ * static_cast<double>(kBins / 2);
    end_ = begin_ + width_ * static_cast<double>(kBins);
  }
  while (value < begin_) grow(false);
  while (value >= end_) grow(true);
}

double LevelHistogram::bin_begin(std::size_t i) const {
  return begin_ + width_ * static_cast<double>(i);
}

double LevelHistogram::quantile(double share) const {
  const double wanted = share * static_cast<double>(count_);
  double below = 0;
  for (std::size_t i = 0; i < bins_.size(); ++i) {
    const auto here = static_cast<double>(bins_[i]);
    if (here > 0 && below + here >= wanted)
      return bin_begin(i) + width_ * std::clamp((wanted - below) / here, 0.0, 1.0);
    below += here;
  }
  return bins_.empty() ? 0 : bin_begin(bins_.size());
}

double LevelHistogram::share_between(double low, double high) const {
  std::int64_t inside = 0;
  for (std::size_t i = 0; i < bins_.size(); ++i) {
    const double middle = bin_begin(i) + width_ / 2;
    if (middle >= low && middle <= high) inside += bins_[i];
  }
  return count_ == 0 ? 0 : static_cast<double>(inside) / static_cast<double>(count_);
}

double LevelHistogram::two_group_split() const {
  double total = 0;
  for (std::size_t i = 0; i < bins_.size(); ++i)
    total += static_cast<double>(bins_[i]) * static_cast<double>(i);
  const auto all = static_cast<double>(count_);
  double below = 0, below_sum = 0, best = -1;
  std::size_t first_best = 0, last_best = 0;
  for (std::size_t i = 0; i + 1 < bins_.size(); ++i) {
    below += static_cast<double>(bins_[i]);
    below_sum += static_cast<double>(bins_[i]) * static_cast<double>(i);
    if (below == 0) continue;
    if (below == all) break;
    const double apart = below_sum / below - (total - below_sum) / (all - below);
    const double between = below * (all - below) * apart * apart;
    if (between > best) {
      best = between;
      first_best = i;
    }
    if (between == best) last_best = i;
  }
  return (bin_begin(first_best + 1) + bin_begin(last_best + 1)) / 2;
}

void ChannelSurvey::add(const double* values, std::size_t count) {
  for (std::size_t i = 0; i < count; ++i) {
    const double value = values[i];
    if (!is_sample(value)) {
      run_ = 0;
      continue;
    }
    values_.add(value);
    sum_ += value;
    smallest_ = std::min(smallest_, value);
    largest_ = std::max(largest_, value);
    if (distinct_count_ < 3) {
      const auto end = distinct_.begin() + distinct_count_;
      if (std::find(distinct_.begin(), end, value) == end) {
        if (distinct_count_ < 2) *end = value;
        ++distinct_count_;
      }
    }
    if (run_ > 0 && value != last_[0]) quantum_ = std::min(quantum_, std::abs(value - last_[0]));
    if (run_ == 4)
      roughness_.add(std::abs(value - 4 * last_[0] + 6 * last_[1] - 4 * last_[2] + last_[3]));
    last_ = {value, last_[0], last_[1], last_[2]};
    run_ = std::min(run_ + 1, 4);
  }
}

// The fourth difference of white noise has the variance 1 + 16 + 36 + 16 + 1 = 70 times that of
// one sample, and a smooth wave almost none; 1.4826 makes the median of sizes a standard deviation.
double ChannelSurvey::noise() const {
  const double rounding = std::isfinite(quantum_) ? quantum_ / std::sqrt(12.0) : 0;
  return std::max(rounding, 1.4826 * roughness_.quantile(0.5) / std::sqrt(70.0));
}

namespace {

// A swing below so many standard deviations of one sample is noise: +-3.3 hold 99.9 %.
constexpr double kDeadSwing = 8;
// A hall channel is between its levels only during its flanks. A sine is 23 % of the time within
// half its median size of its middle (2/pi * asin(0.354)), and flanks of 15 % are slow.
constexpr double kMostBetween = 0.15;
// Ringing beyond a level, as a part of the swing; a wave about a baseline has a whole swing there.
constexpr double kMostBeyond = 0.5;
constexpr double kOutlierShare = 1e-4;
constexpr double kLeastPeakShare = 0.05;   // of the 99th percentile, signals.md section 2
constexpr double kLeastPeakOfMost = 0.02;  // of the greatest: pulses may be rarer than 1 %
constexpr double kLeastPeakNoise = 18;     // standard deviations: arming at 35 % of it is six

bool has_two_levels(const LevelHistogram& values, double low, double high) {
  const double swing = high - low;
  return swing > 0 && values.share_between(low + swing / 4, high - swing / 4) < kMostBetween &&
         low - values.quantile(kOutlierShare) < kMostBeyond * swing &&
         values.quantile(1 - kOutlierShare) - high < kMostBeyond * swing;
}

}  // namespace

ChannelLevels ChannelSurvey::levels(bool complete) const {
  ChannelLevels levels;
  if (values_.count() == 0) {
    levels.two_values = true;
    if (!complete) levels.foreseen_high = -std::numeric_limits<double>::infinity();
    return levels;
  }
  levels.smallest = smallest_;
  levels.largest = largest_;
  if (distinct_count_ <= 2) {
    levels.two_values = true;
    levels.low = smallest_;
    levels.high = largest_;
    if (distinct_count_ == 2) levels.kind = SignalKind::logic;
    if (!complete) levels.foreseen_low = smallest_, levels.foreseen_high = largest_;
    return levels;
  }
  levels.noise = noise();
  const double swing = largest_ - smallest_;
  if (!complete) {
    const double margin = std::max(swing / 2, kDeadSwing * levels.noise);
    levels.foreseen_low = smallest_ - margin;
    levels.foreseen_high = largest_ + margin;
  }
  const double spread = values_.quantile(1 - kOutlierShare) - values_.quantile(kOutlierShare);
  levels.baseline = sum_ / static_cast<double>(values_.count());
  if (spread < kDeadSwing * levels.noise) return levels;
  const double split = values_.two_group_split();
  const double below = values_.share_between(-kLargestSample, split);
  levels.low = values_.quantile(below / 2);
  levels.high = values_.quantile((1 + below) / 2);
  if (has_two_levels(values_, levels.low, levels.high)) {
    levels.kind = SignalKind::hall;
    return levels;
  }
  levels.kind = SignalKind::inductive;
  const double usual = std::max(values_.quantile(0.995) - levels.baseline,
                                levels.baseline - values_.quantile(0.005));
  const double most = std::max(largest_ - levels.baseline, levels.baseline - smallest_);
  levels.least_peak =
      std::max({kLeastPeakShare * usual, kLeastPeakOfMost * most, kLeastPeakNoise * levels.noise});
  return levels;
}

}  // namespace tautmark
