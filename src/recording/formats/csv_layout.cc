// SPDX-License-Identifier: Apache-2.0
#include "recording/formats/csv_layout.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/text.h"
#include "recording/column_words.h"
#include "recording/formats/csv_number.h"
#include "recording/samples.h"

namespace tautmark {
namespace {

constexpr std::size_t kLookLines = 20;  // rows that decide on separator and decimal sign
constexpr std::size_t kFewRows = 3;     // fewer rows of numbers may belong to a header
constexpr std::size_t kMostHeaderLines = 200;

std::vector<std::string_view> lines_of(std::string_view text, std::size_t most) {
  std::vector<std::string_view> lines;
  while (!text.empty() && lines.size() < most) {
    const std::size_t end = text.find('\n');
    std::string_view line = text.substr(0, end);
    if (line.ends_with('\r')) line.remove_suffix(1);
    lines.push_back(line);
    if (end == std::string_view::npos) break;
    text.remove_prefix(end + 1);
  }
  return lines;
}

bool is_number(std::string_view field, char decimal) {
  double value = 0;
  const char* end = field.data() + field.size();
  return !field.empty() && read_decimal(field.data(), end, decimal, value) == end;
}

// A row of numbers: at least one, nothing but numbers and over-range marks.
bool is_row(const std::vector<std::string_view>& fields, char decimal) {
  bool found = false;
  for (const std::string_view field : fields) {
    if (is_number(field, decimal))
      found = true;
    else if (!is_over_range_mark(field))
      return false;
  }
  return found;
}

struct Writing {
  char separator, decimal;
};
// In this order: "1,5;2,5" is two decimal commas, "0,0" two columns, "1,5<tab>2,5" decimal commas;
// the last is for numbers in quotes, "1,5","2,5".
constexpr std::array<Writing, 8> kWritings{{{';', ','},
                                            {';', '.'},
                                            {'\t', ','},
                                            {'\t', '.'},
                                            {',', '.'},
                                            {' ', '.'},
                                            {' ', ','},
                                            {',', ','}}};

// The first line of a run of rows with one number of fields, to the end of what was looked at.
struct Rows {
  std::size_t first = 0, columns = 0, count = 0;
};

Rows rows_in(const std::vector<std::string_view>& lines, const Writing& writing) {
  Rows rows;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (trimmed(lines[i]).empty() || is_comment(lines[i], false)) continue;
    const auto fields = csv_fields(lines[i], writing.separator);
    if (!is_row(fields, writing.decimal)) {
      if (rows.count >= kFewRows) break;
      rows = {};
      continue;
    }
    if (rows.count > 0 && fields.size() != rows.columns) {
      // A row that is cut off, the last of the file, says nothing about the columns.
      if (i + 1 == lines.size() || rows.count >= kFewRows) break;
      rows = {};
    }
    if (rows.count++ == 0) rows.first = i, rows.columns = fields.size();
  }
  return rows;
}

// Seconds, or 1 where the text does not say.
void read_time_column(CsvLayout& layout, std::string_view units_field) {
  if (!layout.time_column || layout.has_index) return;
  std::optional<double> unit = time_unit(units_field);
  if (!unit && !layout.names.empty()) unit = time_unit_of_name(layout.names[*layout.time_column]);
  if (unit)
    layout.time_unit = *unit;
  else
    layout.notes.push_back("the file states no unit of time: seconds");
}

// Without names: a column that only grows is time, or counts samples. One with two values is not.
void guess_time_column(CsvLayout& layout, const std::vector<std::string_view>& lines,
                       const Rows& rows) {
  double last = 0;
  std::size_t count = 0, distinct = 0;
  bool grows = true, counts = true;
  for (std::size_t i = rows.first; i < lines.size(); ++i) {
    if (trimmed(lines[i]).empty() || is_comment(lines[i], false)) continue;
    const auto fields = csv_fields(lines[i], layout.separator);
    double value = 0;
    if (fields.empty() || !is_number(fields[0], layout.decimal)) continue;
    read_decimal(fields[0].data(), fields[0].data() + fields[0].size(), layout.decimal, value);
    if (count > 0 && value < last) grows = false;
    if (value != std::floor(value) || (count > 0 && value != last + 1)) counts = false;
    if (count == 0 || value > last) ++distinct;
    last = value;
    ++count;
  }
  if (layout.columns < 2 || !grows || distinct < 3) return;
  layout.time_column = 0;
  layout.has_index = counts;
}

// "; Samplerate: 1 MHz", "# sample rate = 48000"
void read_comment(CsvLayout& layout, std::string_view line) {
  const std::size_t parting = line.find_first_of(":=");
  if (parting == std::string_view::npos) return;
  std::string_view name = line.substr(0, parting);
  name.remove_prefix(std::min(name.find_first_not_of("#;%/ \t\""), name.size()));
  const std::string_view value = trimmed(line.substr(parting + 1));
  if (column_role(name) == ColumnRole::rate) layout.sample_rate = sample_rate_of(value);
}

// The line of names is the last line before the rows with as many fields, or the one before it
// when the last is a line of units.
void read_header(CsvLayout& layout, const std::vector<std::string_view>& lines, const Rows& rows) {
  std::vector<std::string_view> units, names;
  for (std::size_t i = 0; i < rows.first; ++i) read_comment(layout, lines[i]);
  for (std::size_t i = rows.first; i-- > 0;) {
    if (trimmed(lines[i]).empty() || is_comment(lines[i], true)) continue;
    auto fields = csv_fields(lines[i], layout.separator);
    while (fields.size() > layout.columns && fields.back().empty()) fields.pop_back();
    if (fields.size() != layout.columns) break;
    const bool is_units = std::all_of(fields.begin(), fields.end(), [](std::string_view field) {
      return field.empty() || (field.front() == '(' && field.back() == ')') ||
             (field.front() == '[' && field.back() == ']') || time_unit(field) || field == "V" ||
             field == "mV";
    });
    if (is_units && units.empty() && names.empty()) {
      units = fields;
      continue;
    }
    names = fields;
    break;
  }
  for (const std::string_view name : names) layout.names.push_back(printable(name));
  for (std::size_t c = 0; c < layout.names.size() && !layout.time_column; ++c) {
    const ColumnRole role = column_role(layout.names[c]);
    if (role != ColumnRole::time && role != ColumnRole::index) continue;
    layout.time_column = c;
    layout.has_index = role == ColumnRole::index;
  }
  if (layout.names.empty()) guess_time_column(layout, lines, rows);
  // A column of units says so without a word for time: "(ms)" over the first column.
  if (!layout.time_column && !units.empty() && time_unit(units[0])) layout.time_column = 0;
  read_time_column(layout, layout.time_column && !units.empty() ? units[*layout.time_column] : "");
}

}  // namespace

bool is_comment(std::string_view line, bool in_header) {
  line = trimmed(line);
  return line.starts_with('#') || line.starts_with('%') || line.starts_with("//") ||
         (in_header && line.starts_with(';'));
}

bool is_over_range_mark(std::string_view field) {
  static constexpr std::array<std::string_view, 14> kMarks{
      "",    "inf", "infinity", "nan",        "∞",         "ol",   "o.l.",
      "o.l", "ovl", "over",     "over range", "overrange", "clip", "n/a"};
  if (field.size() > 16) return false;
  if (field.size() > 1 && field.find_first_not_of("-*") == std::string_view::npos) return true;
  if (field.starts_with('-') || field.starts_with('+')) field.remove_prefix(1);
  const std::string word = lower_ascii(field);
  return std::find(kMarks.begin(), kMarks.end(), word) != kMarks.end();
}

std::vector<std::string_view> csv_fields(std::string_view line, char separator) {
  std::vector<std::string_view> fields;
  const auto bare = [](std::string_view field) {
    field = trimmed(field);
    if (field.size() >= 2 && field.front() == '"' && field.back() == '"')
      field = trimmed(field.substr(1, field.size() - 2));
    return field;
  };
  if (separator == ' ') {
    line = trimmed(line);
    while (!line.empty()) {
      const std::size_t end = std::min(line.find_first_of(" \t"), line.size());
      fields.push_back(bare(line.substr(0, end)));
      line = trimmed(line.substr(end));
    }
    return fields;
  }
  bool quoted = false;
  std::size_t begin = 0;
  for (std::size_t i = 0; i <= line.size(); ++i) {
    if (i < line.size() && line[i] == '"') quoted = !quoted;
    if (i < line.size() && (line[i] != separator || quoted)) continue;
    fields.push_back(bare(line.substr(begin, i - begin)));
    begin = i + 1;
  }
  return fields;
}

TextCoding text_coding(std::string_view bytes, std::size_t& mark_bytes) {
  mark_bytes = 0;
  if (bytes.starts_with("\xEF\xBB\xBF")) mark_bytes = 3;
  if (bytes.starts_with("\xFF\xFE")) return mark_bytes = 2, TextCoding::utf16_little;
  if (bytes.starts_with("\xFE\xFF")) return mark_bytes = 2, TextCoding::utf16_big;
  // Without a mark: text of digits has a zero in every other byte.
  if (bytes.size() >= 4 && bytes[0] != 0 && bytes[1] == 0 && bytes[2] != 0 && bytes[3] == 0)
    return TextCoding::utf16_little;
  if (bytes.size() >= 4 && bytes[0] == 0 && bytes[1] != 0 && bytes[2] == 0 && bytes[3] != 0)
    return TextCoding::utf16_big;
  return TextCoding::utf8;
}

std::string utf8_of_utf16(std::string_view bytes, bool is_big) {
  constexpr unsigned kReplacement = 0xFFFD;
  std::string text;
  text.reserve(bytes.size() / 2);
  const auto unit = [&](std::size_t i) -> unsigned {
    const auto first = static_cast<unsigned char>(bytes[i]);
    const auto second = static_cast<unsigned char>(bytes[i + 1]);
    return is_big ? first << 8U | second : second << 8U | first;
  };
  for (std::size_t i = 0; i + 1 < bytes.size(); i += 2) {
    unsigned code = unit(i);
    if (code >= 0xD800 && code < 0xE000) {
      const bool is_pair =
          code < 0xDC00 && i + 3 < bytes.size() && unit(i + 2) >= 0xDC00 && unit(i + 2) < 0xE000;
      if (is_pair)
        code = 0x10000 + ((code - 0xD800) << 10U) + (unit(i + 2) - 0xDC00);
      else
        code = kReplacement;
      if (is_pair) i += 2;
    }
    const auto put = [&](unsigned byte) { text.push_back(static_cast<char>(byte)); };
    if (code < 0x80) {
      put(code);
    } else if (code < 0x800) {
      put(0xC0 | code >> 6U), put(0x80 | (code & 0x3F));
    } else if (code < 0x10000) {
      put(0xE0 | code >> 12U), put(0x80 | (code >> 6U & 0x3F)), put(0x80 | (code & 0x3F));
    } else {
      put(0xF0 | code >> 18U), put(0x80 | (code >> 12U & 0x3F));
      put(0x80 | (code >> 6U & 0x3F)), put(0x80 | (code & 0x3F));
    }
  }
  return text;
}

Parsed<CsvLayout> csv_layout(const std::string& file, std::string_view head) {
  const auto lines = lines_of(head, kMostHeaderLines + kLookLines);
  CsvLayout layout;
  Rows best;
  for (const Writing& writing : kWritings) {
    const Rows rows = rows_in(lines, writing);
    const bool splits = rows.columns > 1 || best.count == 0;
    if (rows.count == 0 || !splits) continue;
    // The first that makes rows of several columns; a later one only when it makes more rows.
    if (best.count > 0 && best.columns > 1 && rows.count <= best.count) continue;
    if (best.count > rows.count + 1) continue;
    best = rows;
    layout.separator = writing.separator;
    layout.decimal = writing.decimal;
  }
  if (best.count == 0) {
    const TextPlace place{file, 1, 1, 1, lines.empty() ? "" : std::string(lines[0])};
    return tl::unexpected(recording_error(place, "no rows of numbers: not a recording"));
  }
  layout.header_lines = static_cast<int>(best.first);
  layout.columns = best.columns;
  bool all_end_empty = layout.columns > 1;
  for (std::size_t i = best.first; i < lines.size() && all_end_empty; ++i) {
    if (trimmed(lines[i]).empty() || is_comment(lines[i], false)) continue;
    const auto fields = csv_fields(lines[i], layout.separator);
    if (fields.size() == layout.columns && !fields.back().empty()) all_end_empty = false;
  }
  layout.trailing_separator = all_end_empty;
  if (layout.trailing_separator) --layout.columns;
  read_header(layout, lines, best);
  return layout;
}

}  // namespace tautmark
