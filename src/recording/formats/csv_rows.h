// SPDX-License-Identifier: Apache-2.0
// Whole lines of text to columns of numbers.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "recording/formats/csv_layout.h"

namespace tautmark {

struct CsvFault {
  std::int64_t line = 0;  // from 0, in the piece of text
  int column = 1;         // characters, from 1
  std::string message, line_text;
};

struct CsvRows {
  std::size_t rows = 0, capacity = 0;
  std::int64_t lines = 0;
  std::vector<double> values;  // column c of `rows` numbers begins at c * capacity
  bool cut_off = false;        // the last line of the file ends within a row, which is left out
  std::optional<CsvFault> fault;

  [[nodiscard]] const double* column(std::size_t c) const { return values.data() + c * capacity; }
};

// `is_last`: the end of the text is the end of the file. Over-range marks become NaN, except in
// the column of time, where they are a fault.
CsvRows csv_rows(std::string_view text, const CsvLayout& layout, bool is_last);

}  // namespace tautmark
