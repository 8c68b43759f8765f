// SPDX-License-Identifier: Apache-2.0
// What is left of a recording once its samples have been read: for every channel its edges. All
// readers end here, all decoding begins here.
//
// Times are seconds on the file's own clock, never resampled, not decreasing within a channel.
// Polarity is that of the recorded voltage: +1 low to high, -1 high to low. Channels count from 1
// in file order, the time column excluded.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace tautmark {

struct SignalEdge {
  double time = 0;           // s
  std::int8_t polarity = 0;  // +1, -1
};

enum class SignalKind { logic, hall, inductive, dead };

struct SignalTrain {
  int channel = 0;
  std::string name;  // of the file's header; empty: none
  SignalKind kind = SignalKind::logic;
  std::vector<SignalEdge> edges;
  double time_uncertainty = 0;       // s, standard, of one edge: sampling and noise
  std::int64_t glitches = 0;         // short pulses dropped, two edges each
  std::int64_t unknown_samples = 0;  // not a number, x or z in a logic dump, over range
};

struct SignalTrains {
  std::vector<SignalTrain> channels;
  double first_time = 0, last_time = 0;  // s, of the recording
  std::int64_t samples = 0;              // rows or samples per channel read
  std::string format;                    // "CSV, one row per change"
  std::vector<std::string> notes;        // gaps in time, time running backwards, truncated file
};

// Null: no such channel.
inline const SignalTrain* train_of(const SignalTrains& trains, int channel) {
  for (const SignalTrain& train : trains.channels)
    if (train.channel == channel) return &train;
  return nullptr;
}

}  // namespace tautmark
