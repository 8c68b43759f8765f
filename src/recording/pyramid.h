// SPDX-License-Identifier: Apache-2.0
// The samples of one channel in a file from which any stretch of time can be shown at any width
// without reading the rest: the samples, and above them the least and greatest of every 16, of
// every 256, and so on (docs/formats/wave.md). Made once, in one pass over the recording, with
// memory that does not grow with it; then queried.
//
// Values are float, the nearest to the recorded number. A value that is no number counts for
// nothing. Times are those of the recording, in s; one that runs back by up to one step, which the
// readers forgive, is taken as the time before it.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "recording/mapped_file.h"
#include "recording/read.h"

namespace tautmark {

// Reads channel `channel` (from 1, as in SignalTrains) of a recording and writes `pyramid`, whole
// or not at all; not when `goes_on`, asked now and then, says no.
tl::expected<void, Diagnostics> write_pyramid(const std::string& recording, int channel,
                                              const RecordingOptions& options,
                                              const std::string& pyramid,
                                              const std::function<bool()>& goes_on = {});

struct WaveBin {
  float low = 0, high = 0;  // NaN: no sample in it
};

// Bin i holds the samples with edge(i) <= time < edge(i + 1), edge(i) = from + (to - from) i /
// bins; the last holds `to` as well. Where a value holds until it changes (dumps, logic samples),
// the one that holds at the edge counts too, from the first time of the recording to its last.
struct Wave {
  bool has_samples = false;  // each by itself, since there are no more of them than bins
  bool holds = false;        // a value holds until the next one
  double from = 0, to = 0;   // s
  double first_time = 0, last_time = 0;  // s, of the recording
  std::int64_t samples = 0;              // of the channel, or changes where values hold
  std::vector<WaveBin> bins;
  std::vector<double> times;  // with values: the samples from `from` to `to`, both included; where
  std::vector<float> values;  // values hold, before them the one that holds at `from`, at that time
};

inline constexpr int kMostWaveBins = 16384;

class Pyramid {
 public:
  // Refused when it is no such file, of another version or cut off: it can be made anew.
  static Result<Pyramid> open(const std::string& path);

  [[nodiscard]] double first_time() const { return first_time_; }
  [[nodiscard]] double last_time() const { return last_time_; }
  [[nodiscard]] std::int64_t samples() const { return samples_; }
  [[nodiscard]] bool holds() const { return holds_; }

  // Refused for times that are not finite or not in order, and for bins outside 1 to kMostWaveBins.
  [[nodiscard]] Result<Wave> wave(double from, double to, int bins) const;

 private:
  [[nodiscard]] double time(std::int64_t i) const;
  [[nodiscard]] float value(std::int64_t i) const;
  [[nodiscard]] std::int64_t first_not_before(double time) const;
  [[nodiscard]] std::int64_t first_after(double time) const;
  [[nodiscard]] WaveBin extremes(std::int64_t begin, std::int64_t end) const;
  [[nodiscard]] WaveBin block(std::size_t level, std::int64_t i) const;
  [[nodiscard]] WaveBin bin_of(double begin, double end, std::int64_t first,
                               std::int64_t last) const;
  void add_samples(Wave& wave, std::int64_t first, std::int64_t last) const;

  MappedFile file_;
  bool has_times_ = false, holds_ = false;
  std::int64_t samples_ = 0;
  double start_ = 0, step_ = 0, first_time_ = 0, last_time_ = 0;
  std::vector<const char*> levels_;  // of extremes, from level 1
};

}  // namespace tautmark
