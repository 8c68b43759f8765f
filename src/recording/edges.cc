// SPDX-License-Identifier: Apache-2.0
#include "recording/edges.h"

#include <algorithm>
#include <cmath>

#include "base/wide.h"

namespace tautmark {
namespace {

constexpr double kLowThreshold = 0.35, kHighThreshold = 0.65;  // of the swing
constexpr double kLevelTime = 0.2;                             // s, of following drift
constexpr double kLeastSwing = 0.5;       // of the surveyed swing: drift never closes the levels
constexpr double kArm = 0.35;             // of the tracked peak
constexpr double kConfirm = 0.10;         // of the tracked peak, on the far side of the baseline,
constexpr double kConfirmNoise = 4;       // and standard deviations
constexpr double kBaselineTime = 0.3183;  // s: 1 / (2 pi 0.5 Hz)
constexpr double kFirstDecay = 0.05;      // s, while the tooth period is not known
constexpr double kDecayPeriods = 4;       // local tooth periods
constexpr double kLongestDecay = 1;       // s

constexpr std::size_t kSteady = 64;  // samples that are looked at together

// Whether all kSteady values lie in [low, high]; what is no number does not.
TAUTMARK_WIDE bool all_within(const double* values, double low, double high) {
  std::int64_t inside = 0;
  for (std::size_t i = 0; i < kSteady; ++i)
    inside +=
        static_cast<std::int64_t>(values[i] >= low) & static_cast<std::int64_t>(values[i] <= high);
  return inside == kSteady;
}

double sum_of_steady(const double* values) {
  std::array<double, 8> lanes{};
  for (std::size_t i = 0; i < kSteady; i += lanes.size())
    for (std::size_t k = 0; k < lanes.size(); ++k) lanes[k] += values[i + k];
  double sum = 0;
  for (const double lane : lanes) sum += lane;
  return sum;
}

}  // namespace

class EdgeFinder::Samples {
 public:
  Samples(const SampleBlock& block, std::size_t column, std::size_t from, std::size_t to,
          const SampleSource& source)
      : begin(block.channels[column] + from),
        count(to - from),
        times_(block.times == nullptr ? nullptr : block.times + from),
        start_(source.start),
        step_(source.step),
        first_row_(block.first_row + static_cast<std::int64_t>(from)) {}

  [[nodiscard]] double time(std::size_t i) const {
    return times_ != nullptr
               ? times_[i]
               : start_ + static_cast<double>(first_row_ + static_cast<std::int64_t>(i)) * step_;
  }

  const double* begin;
  std::size_t count;

 private:
  const double* times_;
  double start_, step_;
  std::int64_t first_row_;
};

EdgeFinder::EdgeFinder(const ChannelLevels& levels, double step)
    : levels_(levels),
      step_(step),
      low_(levels.low),
      high_(levels.high),
      baseline_(levels.baseline),
      decay_time_(kFirstDecay) {}

void EdgeFinder::restart() {
  started_ = false;
  armed_high_ = armed_low_ = false;
}

void EdgeFinder::emit(SignalTrain& train, double time, int polarity, double slope) {
  if (!train.edges.empty()) time = std::max(time, train.edges.back().time);
  train.edges.push_back({time, static_cast<std::int8_t>(polarity)});
  if (slope != 0) {
    slope_sum_ += 1 / (slope * slope);
    ++slope_count_;
  }
}

double EdgeFinder::time_uncertainty(double clock) const {
  if (levels_.two_values) return (step_ > 0 ? step_ : clock) / std::sqrt(12.0);
  if (slope_count_ == 0) return 0;
  return levels_.noise * std::sqrt(slope_sum_ / static_cast<double>(slope_count_));
}

void EdgeFinder::feed(const SampleBlock& block, std::size_t column, std::size_t from,
                      std::size_t to, const SampleSource& source, SignalTrain& train) {
  const Samples samples(block, column, from, to, source);
  switch (levels_.kind) {
    case SignalKind::logic:
      return logic(samples, train);
    case SignalKind::hall:
      return hall(samples, train);
    case SignalKind::inductive:
      return inductive(samples, train);
    case SignalKind::dead:
      return dead(samples, train);
  }
}

void EdgeFinder::dead(const Samples& samples, SignalTrain& train) {
  const double least = std::max(levels_.foreseen_low, -kLargestSample);
  const double most = std::min(levels_.foreseen_high, kLargestSample);
  std::size_t look = 0;
  for (std::size_t i = 0; i < samples.count; ++i) {
    for (; i >= look && i + kSteady <= samples.count; i += kSteady) {
      if (all_within(samples.begin + i, least, most)) continue;
      look = i + kSteady;
      break;
    }
    if (i == samples.count) break;
    const double value = samples.begin[i];
    if (!is_sample(value))
      ++train.unknown_samples;
    else if (value < levels_.foreseen_low || value > levels_.foreseen_high)
      unforeseen_ = true;
  }
}

void EdgeFinder::logic(const Samples& samples, SignalTrain& train) {
  double last = last_value_;
  for (std::size_t i = 0; i < samples.count; ++i) {
    const double value = samples.begin[i];
    if (value == last && started_) continue;
    if (!is_sample(value)) {
      ++train.unknown_samples;
      continue;
    }
    if (value != levels_.low && value != levels_.high) unforeseen_ = true;
    if (started_ && !unforeseen_) {
      const double now = samples.time(i);
      const double before = i > 0 ? samples.time(i - 1) : last_time_;
      emit(train, step_ > 0 ? before + (now - before) / 2 : now, value > last ? 1 : -1, 0);
    }
    last = value;
    started_ = true;
  }
  last_value_ = last;
  if (samples.count > 0) last_time_ = samples.time(samples.count - 1);
}

void EdgeFinder::hall(const Samples& samples, SignalTrain& train) {
  const double least = kLeastSwing * (levels_.high - levels_.low);
  const double follow = std::min(1.0, step_ / kLevelTime), keep = 1 - follow;
  // Copies of members: the compiler cannot know that the samples are not these.
  double low = low_, high = high_, last = last_value_;
  bool is_high = is_high_, unforeseen = unforeseen_;
  const double keep_steady = std::pow(keep, kSteady);
  const double least_value = std::max(levels_.foreseen_low, -kLargestSample);
  const double most_value = std::min(levels_.foreseen_high, kLargestSample);
  std::size_t look = 0;  // where the next samples are looked at together
  for (std::size_t i = 0; i < samples.count; ++i) {
    // No edge and no crossing where all samples stay beyond the threshold of the state; the level
    // follows their mean.
    for (; started_ && i >= look && i + kSteady <= samples.count; i += kSteady) {
      const double* const block = samples.begin + i;
      const double bound = low + (is_high ? kHighThreshold : kLowThreshold) * (high - low);
      const bool steady = is_high ? last > bound && all_within(block, bound, most_value)
                                  : last < bound && all_within(block, least_value, bound);
      if (!steady) {
        look = i + kSteady;
        break;
      }
      double& level = is_high ? high : low;
      level = keep_steady * level + (1 - keep_steady) / kSteady * sum_of_steady(block);
      last = block[kSteady - 1];
      if (high - low < least) {
        low = levels_.low;
        high = levels_.high;
      }
    }
    if (i == samples.count) break;
    const double value = samples.begin[i];
    if (!is_sample(value)) {
      ++train.unknown_samples;
      continue;
    }
    unforeseen |= value < levels_.foreseen_low || value > levels_.foreseen_high;
    const double swing = high - low, middle = low + swing / 2;
    if (!started_) {
      is_high = value > middle;
      started_ = true;
    } else if ((value >= middle) != (last >= middle)) {
      const double before = i > 0 ? samples.time(i - 1) : last_time_;
      const double slope = (value - last) / (samples.time(i) - before);
      Crossing& crossing = value > last ? up_ : down_;
      crossing.time = before + (middle - last) / slope;
      crossing.slope = slope;
    }
    last = value;
    const double from_low = value - low;
    if (from_low > kHighThreshold * swing) {
      if (!is_high) emit(train, up_.time, 1, up_.slope);
      is_high = true;
      high = keep * high + follow * value;
    } else if (from_low < kLowThreshold * swing) {
      if (is_high) emit(train, down_.time, -1, down_.slope);
      is_high = false;
      low = keep * low + follow * value;
    }
    if (high - low < least) {
      low = levels_.low;
      high = levels_.high;
    }
  }
  low_ = low;
  high_ = high;
  last_value_ = last;
  is_high_ = is_high;
  unforeseen_ = unforeseen;
  if (samples.count > 0) last_time_ = samples.time(samples.count - 1);
}

// Median interval of the last falling edges, robust against a gap of the wheel.
void EdgeFinder::follow_period(double time) {
  falls_[static_cast<std::size_t>(fall_count_++) % falls_.size()] = time;
  if (fall_count_ < static_cast<std::int64_t>(falls_.size())) return;
  std::array<double, 5> times = falls_;
  std::sort(times.begin(), times.end());
  std::array<double, 4> intervals{};
  for (std::size_t i = 0; i < intervals.size(); ++i) intervals[i] = times[i + 1] - times[i];
  std::sort(intervals.begin(), intervals.end());
  decay_time_ = std::min(kDecayPeriods * intervals[2], kLongestDecay);
}

void EdgeFinder::inductive(const Samples& samples, SignalTrain& train) {
  const double follow = std::min(1.0, step_ / kBaselineTime), keep = 1 - follow;
  double decay = std::exp(-step_ / decay_time_);
  // Copies of members: the compiler cannot know that the samples are not these.
  double baseline = baseline_, peak = peak_, last = last_value_;
  bool unforeseen = unforeseen_;
  for (std::size_t i = 0; i < samples.count; ++i) {
    const double value = samples.begin[i];
    if (!is_sample(value)) {
      ++train.unknown_samples;
      continue;
    }
    unforeseen |= value < levels_.foreseen_low || value > levels_.foreseen_high;
    baseline = keep * baseline + follow * value;
    const double x = value - baseline;
    peak = std::max(std::max(std::abs(x), levels_.least_peak), peak * decay);
    if ((x >= 0) != (last >= 0) && started_) {
      const double now = samples.time(i);
      const double before = i > 0 ? samples.time(i - 1) : last_time_;
      const double slope = (x - last) / (now - before);
      // Member by member: under UBSan g++ 12 loses the values of a braced list assigned to a
      // conditional.
      Crossing& crossing = x >= 0 ? up_ : down_;
      crossing.time = before - last / slope;
      crossing.slope = slope;
    }
    started_ = true;
    last = x;
    if (std::abs(x) < kConfirm * peak) continue;
    const bool confirms = std::abs(x) > kConfirmNoise * levels_.noise;
    if (armed_high_ && x < 0 && confirms) {
      emit(train, down_.time, -1, down_.slope);
      follow_period(down_.time);
      decay = std::exp(-step_ / std::max(decay_time_, step_));
      armed_high_ = false;
    } else if (armed_low_ && x > 0 && confirms) {
      emit(train, up_.time, 1, up_.slope);
      armed_low_ = false;
    }
    if (x > kArm * peak) armed_high_ = true;
    if (x < -kArm * peak) armed_low_ = true;
  }
  baseline_ = baseline;
  peak_ = peak;
  last_value_ = last;
  unforeseen_ = unforeseen;
  if (samples.count > 0) last_time_ = samples.time(samples.count - 1);
}

}  // namespace tautmark
