// SPDX-License-Identifier: Apache-2.0
// One reader per file format; read.cc chooses among them by content.
#pragma once

#include <string>
#include <string_view>

#include "recording/read.h"

namespace tautmark {

struct RecordingFile {
  std::string name;        // for messages
  std::string_view bytes;  // mapped or in memory
  std::string path;        // empty: in memory only
};

Parsed<SignalTrains> read_csv(const RecordingFile& file, const RecordingOptions& options);
Parsed<SignalTrains> read_vcd(const RecordingFile& file);
Parsed<SignalTrains> read_sound(const RecordingFile& file);  // WAV, RF64, W64
Parsed<SignalTrains> read_mat(const RecordingFile& file, const RecordingOptions& options);
Parsed<SignalTrains> read_hdf5(const RecordingFile& file, const RecordingOptions& options);
Parsed<SignalTrains> read_logic_session(const RecordingFile& file);
Parsed<SignalTrains> read_packed_logic(const RecordingFile& file, const RecordingOptions& options);

}  // namespace tautmark
