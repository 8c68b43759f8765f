// SPDX-License-Identifier: Apache-2.0
// Edges of packed logic samples: one sample is `unit` bytes, least significant byte first, one bit
// per channel. Stretches without any change are passed at memory speed.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "recording/samples.h"
#include "recording/trains.h"

namespace tautmark {

class LogicScan {
 public:
  // `unit` 1 to 8 bytes; channel c of `trains` is bit c. `step`: s between samples. The time of an
  // edge is half way between the two samples.
  LogicScan(std::size_t unit, double step, std::vector<SignalTrain>& trains);

  void feed(std::string_view bytes);  // any cut: a sample may continue in the next piece
  [[nodiscard]] std::int64_t samples() const { return samples_; }
  [[nodiscard]] bool ends_within_sample() const { return !rest_.empty(); }
  [[nodiscard]] std::size_t edges() const { return edges_; }

 private:
  void take(const char* sample);
  void whole_samples(const char* begin, const char* end);

  std::size_t unit_;
  double step_;
  std::vector<SignalTrain>* trains_;
  std::uint64_t mask_;
  std::uint64_t last_ = 0;
  std::int64_t samples_ = 0;
  std::size_t edges_ = 0;
  std::string rest_;
};

// The samples of one channel as rows where it changes, the first and the last row included.
class BitRows {
 public:
  BitRows(std::size_t unit, std::size_t bit, double step) : unit_(unit), bit_(bit), step_(step) {}

  tl::expected<void, Diagnostics> feed(std::string_view bytes, const SampleVisit& visit);
  tl::expected<void, Diagnostics> finish(const SampleVisit& visit);

 private:
  tl::expected<void, Diagnostics> give(const SampleVisit& visit);
  void take(const char* sample);

  std::size_t unit_, bit_;
  double step_;
  std::int64_t samples_ = 0, rows_ = 0;
  double last_ = -1;
  std::vector<double> times_, values_;
  std::string rest_;
};
SampleSource bit_source(std::string format, std::size_t channels);

// Trains for a LogicScan, and what is left to do when all bytes are through: channels without an
// edge are dead, glitches are dropped.
std::vector<SignalTrain> logic_trains(std::size_t channels, double step);
void finish_logic_trains(std::vector<SignalTrain>& trains);

}  // namespace tautmark
