// SPDX-License-Identifier: Apache-2.0
// What every fuzz target of a reader of recordings asks.
#pragma once

#include <algorithm>
#include <cstdint>
#include <limits>
#include <optional>
#include <string_view>
#include <vector>

#include "fuzz_check.h"
#include "recording/read.h"

namespace tautmark::fuzz {

inline void check_text(const std::string& text) {
  require(!first_invalid_utf8(text), "a text that is no text", text);
  require(text.find('\x1b') == std::string::npos, "a text that a terminal obeys", text);
}

inline void check_trains(const SignalTrains& trains) {
  require(!trains.channels.empty() && trains.channels.size() <= kMostChannels, "channels");
  require(trains.samples > 0, "no samples");
  require(trains.first_time <= trains.last_time + 1e-9 || trains.samples > 0, "time");
  check_text(trains.format);
  for (const std::string& note : trains.notes) check_text(note);
  int channel = 0;
  for (const SignalTrain& train : trains.channels) {
    require(train.channel == ++channel, "channels that do not count up");
    check_text(train.name);
    require(train.kind != SignalKind::dead || train.edges.empty(), "edges of a dead channel");
    require(train.time_uncertainty >= 0, "no uncertainty");
    double last = -std::numeric_limits<double>::infinity();
    for (const SignalEdge& edge : train.edges) {
      require(edge.time >= last, "edges that run backwards");
      require(edge.polarity == 1 || edge.polarity == -1, "no polarity");
      last = edge.time;
    }
  }
}

inline bool same_edges(const SignalTrains& a, const SignalTrains& b) {
  const auto same = [](const SignalTrain& one, const SignalTrain& other) {
    return std::equal(one.edges.begin(), one.edges.end(), other.edges.begin(), other.edges.end(),
                      [](const SignalEdge& x, const SignalEdge& y) {
                        return x.time == y.time && x.polarity == y.polarity;
                      });
  };
  return std::equal(a.channels.begin(), a.channels.end(), b.channels.begin(), b.channels.end(),
                    same) &&
         a.samples == b.samples && a.notes == b.notes;
}

// Without a rate, with one, and with several threads: the last two give the same.
inline int check_recording(const std::uint8_t* data, std::size_t size) {
  const std::string_view bytes(reinterpret_cast<const char*>(data), size);
  RecordingOptions options;
  std::optional<SignalTrains> one_thread;
  for (const int threads : {0, 1, 2}) {
    options.threads = threads == 0 ? 1 : threads;
    if (threads > 0) options.sample_rate = 10000;
    const auto trains = read_recording_bytes("input", bytes, options);
    require(threads < 2 || trains.has_value() == one_thread.has_value(), "threads decide");
    if (threads == 2 && trains) require(same_edges(*trains, *one_thread), "threads differ");
    if (trains) {
      check_trains(*trains);
      if (threads == 1) one_thread = *trains;
      continue;
    }
    require(has_errors(trains.error()), "rejected without an error");
    check_text(diagnostics_text(trains.error()));
  }
  return 0;
}

// Libraries ask for as much memory as a hostile file claims to need, and take no for an answer: the
// targets of such readers let them ask.
inline void allow_greedy_requests(int* count, char*** arguments) {
  static char limit[] = "-malloc_limit_mb=1000000000";
  static std::vector<char*> all(*arguments, *arguments + *count);
  all.push_back(limit);
  *count = static_cast<int>(all.size());
  all.push_back(nullptr);
  *arguments = all.data();
}

}  // namespace tautmark::fuzz
