// SPDX-License-Identifier: Apache-2.0
// Files of named arrays (MATLAB, HDF5): which arrays are signals, which is the time, and what the
// sample rate is.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <vector>

#include "recording/column_words.h"
#include "recording/formats/formats.h"
#include "recording/samples.h"

namespace tautmark {

struct NamedArray {
  std::string name;
  std::int64_t rows = 0;
  std::size_t width = 1;  // channels beside each other
  // Rows [first, first + count) into `out`, column c at out + c * count; false: damaged.
  std::function<bool(std::int64_t first, std::int64_t count, double* out)> read;
};

struct ArrayFile {
  std::string format;
  std::vector<NamedArray> arrays;
  std::map<ColumnRole, double> scalars;  // rate 1/s, interval s, start s
};

// Signals are all arrays of the greatest number of rows. Their time is an array of that length
// named as a time, or follows from a rate or an interval stated in the file, or from the options.
Parsed<SignalTrains> trains_of_arrays(const RecordingFile& file, const ArrayFile& arrays,
                                      const RecordingOptions& options);

}  // namespace tautmark
