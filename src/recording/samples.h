// SPDX-License-Identifier: Apache-2.0
// What a reader of samples hands to the edge finders: blocks of rows, one array per channel.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "recording/read.h"
#include "recording/trains.h"

namespace tautmark {

// A value that is no number (over range, unknown, absent) is NaN.
struct SampleBlock {
  std::int64_t first_row = 0;
  std::size_t rows = 0;
  const double* times = nullptr;  // s; null: start + row * step of the source
  std::vector<const double*> channels;
};

// `look` visits enough of the recording, spread over it, to know its levels; `whole` visits every
// row in order.
enum class Extent { look, whole };
using SampleVisit = std::function<tl::expected<void, Diagnostics>(const SampleBlock&)>;

struct SampleSource {
  std::string format;
  std::vector<std::string> names;     // one per channel
  double start = 0;                   // s, of row 0, where blocks carry no times
  double step = 0;                    // s; 0: blocks carry times
  bool rows_only_at_changes = false;  // a long time between rows is no gap
  std::function<tl::expected<void, Diagnostics>(Extent, const SampleVisit&)> scan;
  std::function<TextPlace(std::int64_t row)> place;  // of a row, for messages
  std::vector<std::string> notes;                    // appended to while reading
};

// Finds what kind of signal every channel carries, and its edges.
Parsed<SignalTrains> trains_of(SampleSource& source);

// One error about the file as a whole, or about a place in it.
Diagnostics recording_error(const std::string& file, std::string message);
Diagnostics recording_error(TextPlace place, std::string message);

}  // namespace tautmark
