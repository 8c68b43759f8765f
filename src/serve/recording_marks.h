// SPDX-License-Identifier: Apache-2.0
// Every decoded edge of a recording in the order of time, in a file from which any stretch is read
// without decoding anew. Not for use outside src/serve.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "recording/decode.h"

namespace tautmark {

struct DecodedMark {
  double time_s = 0;
  double angle_deg = 0;  // crank, in [0, cycle)
  int channel = 0;
  int place = -1;  // of the crank: tooth of the turn, from 0; of a cam: its place; -1: fits nowhere
};

struct DecodedMarks {
  double from = 0, to = 0;           // s
  std::int64_t found = 0;            // in the stretch
  std::vector<DecodedMark> marks{};  // all of them, or none when there are more than were asked for
};

// Null: it was written whole.
std::optional<std::string> write_marks(const Decoded& decoded, const std::string& path);
Result<DecodedMarks> read_marks(const std::string& path, double from, double to, int most);

}  // namespace tautmark
