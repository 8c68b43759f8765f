// SPDX-License-Identifier: Apache-2.0
// Small writers of made recordings; what they write says that it is invented.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "recording/trains.h"

namespace tautmark {

inline constexpr const char* kInventedStatement = "synthesised, invented, not a real engine";

// One row per change, times to the nanosecond; the first row at 0 and the last at the end repeat
// the state. Channels without an edge are low.
std::string event_csv(const SignalTrains& trains, const std::string& title);
// Value change dump (IEEE 1364-2005, clause 18) of one wire per channel, ticks of 1 ns.
std::string vcd_text(const SignalTrains& trains, const std::string& title);

struct SampledChannels {
  double sample_rate = 0;  // Hz
  std::vector<std::string> names;
  std::vector<std::vector<double>> volts;  // [channel][sample], all of one length
};
std::string sampled_csv(const SampledChannels& samples, const std::string& title);
// 16 bits, ± full_scale. Refused: a voltage beyond it, a rate that is not whole.
Result<std::string> wav_bytes(const SampledChannels& samples, double full_scale,
                              const std::string& title);

}  // namespace tautmark
