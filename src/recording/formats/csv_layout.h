// SPDX-License-Identifier: Apache-2.0
// How a text file of samples is written: found by looking at its beginning, never by locale.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "recording/read.h"

namespace tautmark {

enum class TextCoding { utf8, utf16_little, utf16_big };

struct CsvLayout {
  TextCoding coding = TextCoding::utf8;
  std::size_t mark_bytes = 0;  // byte order mark
  char separator = ',';        // ' ': any blanks
  char decimal = '.';
  int header_lines = 0;     // before the first row of numbers
  std::size_t columns = 0;  // of every row
  bool trailing_separator = false;
  std::optional<std::size_t> time_column;
  bool has_index = false;             // time_column counts samples
  double time_unit = 1;               // s
  std::optional<double> sample_rate;  // 1/s, stated in the header
  std::vector<std::string> names;     // of all columns; empty: none
  std::vector<std::string> notes;
};

TextCoding text_coding(std::string_view bytes, std::size_t& mark_bytes);
// UTF-16 to UTF-8; an odd last byte and unpaired surrogates become U+FFFD.
std::string utf8_of_utf16(std::string_view bytes, bool is_big);

bool is_comment(std::string_view line, bool in_header);
// Over range, no reading: "∞", "-inf", "NaN", "OL", "---" and the like, and nothing at all.
bool is_over_range_mark(std::string_view field);
// The fields of a line, trimmed and without quotes.
std::vector<std::string_view> csv_fields(std::string_view line, char separator);

// `head`: the beginning of the file as UTF-8, whole lines.
Parsed<CsvLayout> csv_layout(const std::string& file, std::string_view head);

}  // namespace tautmark
