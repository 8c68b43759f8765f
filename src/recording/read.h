// SPDX-License-Identifier: Apache-2.0
// From a file to the edges of its channels. The format is found by content, never by name: comma
// separated values in their variants, value change dumps, sound files, MATLAB files of level 5,
// HDF5, zipped logic sessions.
//
// The file is memory mapped or read piece by piece: memory grows with the edges, not with the file.
// Errors name the file, and the line where there are lines. What is odd but can be read stands in
// `notes`. Hostile files are refused at the caps below.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "base/diagnostic.h"
#include "recording/trains.h"

namespace tautmark {

inline constexpr std::size_t kMostChannels = 64;
inline constexpr std::size_t kLongestRecordingLine = 64 * 1024;      // bytes
inline constexpr std::int64_t kMostSamples = std::int64_t{1} << 40;  // per channel
inline constexpr std::int64_t kMostZipRatio = 1000;                  // unpacked to packed
inline constexpr std::size_t kMostEdges = std::size_t{1} << 28;      // per recording: 4 GiB

struct RecordingOptions {
  std::optional<double> sample_rate;  // 1/s; for files that have neither time nor rate
  // The file is nothing but samples of so many logic channels: one bit each, the first in the
  // least significant, as many bytes a sample as that needs, the least significant first.
  std::optional<int> packed_logic_channels;
  int threads = 0;  // 0: as many as the machine has; no result depends on it
};

Parsed<SignalTrains> read_recording(const std::string& path, const RecordingOptions& options = {});
// The same for bytes in memory; `name` stands in messages.
Parsed<SignalTrains> read_recording_bytes(const std::string& name, std::string_view bytes,
                                          const RecordingOptions& options = {});

}  // namespace tautmark
