// SPDX-License-Identifier: Apache-2.0
// One reader per file format; read.cc chooses among them by content.
#pragma once

#include <functional>
#include <string>
#include <string_view>

#include "recording/read.h"
#include "recording/samples.h"

namespace tautmark {

// Takes the samples of one channel instead of its edges. Of logic files only that channel's column
// is filled in, row by row where it changes, and the last row.
struct ChannelTap {
  int channel = 0;  // as in SignalTrains
  std::function<tl::expected<void, Diagnostics>(const SampleSource& source, std::size_t column)>
      take;
};

struct RecordingFile {
  std::string name;        // for messages
  std::string_view bytes;  // mapped or in memory
  std::string path;        // empty: in memory only
  const ChannelTap* tap = nullptr;
};

// The way out of every reader of samples: edges, or the tapped channel and no trains. Channels of
// the source count from `first_channel` on.
Parsed<SignalTrains> trains_or_tap(const RecordingFile& file, SampleSource& source,
                                   int first_channel = 1);

Parsed<SignalTrains> read_csv(const RecordingFile& file, const RecordingOptions& options);
Parsed<SignalTrains> read_vcd(const RecordingFile& file);
Parsed<SignalTrains> read_sound(const RecordingFile& file);  // WAV, RF64, W64
Parsed<SignalTrains> read_mat(const RecordingFile& file, const RecordingOptions& options);
Parsed<SignalTrains> read_hdf5(const RecordingFile& file, const RecordingOptions& options);
Parsed<SignalTrains> read_logic_session(const RecordingFile& file);
Parsed<SignalTrains> read_packed_logic(const RecordingFile& file, const RecordingOptions& options);
// By content.
Parsed<SignalTrains> read_any(const RecordingFile& file, const RecordingOptions& options);

}  // namespace tautmark
