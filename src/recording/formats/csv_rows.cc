// SPDX-License-Identifier: Apache-2.0
#include "recording/formats/csv_rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>

#include "base/text.h"
#include "recording/formats/csv_number.h"

namespace tautmark {
namespace {

constexpr std::size_t kShownBytes = 200;  // of a faulty line
constexpr double kNoNumber = std::numeric_limits<double>::quiet_NaN();

// Blocks of a fixed size, so that the compiler makes vector code of them.
std::size_t newlines(std::string_view text) {
  constexpr std::size_t kBlock = 64;
  std::size_t count = 0;
  for (; text.size() >= kBlock; text.remove_prefix(kBlock)) {
    std::uint8_t here = 0;
    for (std::size_t i = 0; i < kBlock; ++i) here += static_cast<std::uint8_t>(text[i] == '\n');
    count += here;
  }
  return count + static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

class RowReader {
 public:
  RowReader(std::string_view text, const CsvLayout& layout, bool is_last)
      : layout_(layout), end_(text.data() + text.size()), is_last_(is_last) {
    out_.capacity = newlines(text) + 1;
    out_.values.resize(out_.capacity * layout.columns);
  }

  CsvRows read(const char* p) {
    while (p < end_ && !out_.fault) {
      const char* next = plain_row(p);
      if (next != nullptr)
        ++out_.rows;
      else
        next = any_line(p);
      p = next;
      ++out_.lines;
    }
    return std::move(out_);
  }

 private:
  double& cell(std::size_t c) { return out_.values[c * out_.capacity + out_.rows]; }

  [[nodiscard]] const char* past_blanks(const char* p) const {
    while (p < end_ && (*p == ' ' || (*p == '\t' && layout_.separator != '\t'))) ++p;
    return p;
  }

  // Nothing but numbers and separators: the next line, or nullptr when it is anything else.
  const char* plain_row(const char* p) {
    // Copies of members: the compiler cannot know that the numbers written are not these.
    const char decimal = layout_.decimal, separator = layout_.separator;
    const std::size_t columns = layout_.columns, capacity = out_.capacity;
    double* into = &cell(0);
    for (std::size_t c = 0; c < columns; ++c, into += capacity) {
      if (c > 0) {
        const char* const before = p;
        p = past_blanks(p);
        if (separator == ' ' ? p == before : p == end_ || *p++ != separator) return nullptr;
      }
      p = read_decimal(past_blanks(p), end_, decimal, *into);
      if (p == nullptr) return nullptr;
    }
    p = past_blanks(p);
    if (layout_.trailing_separator && p < end_ && *p == layout_.separator) p = past_blanks(p + 1);
    if (p < end_ && *p == '\r') ++p;
    if (p == end_) return p;
    return *p == '\n' ? p + 1 : nullptr;
  }

  const char* any_line(const char* p) {
    const auto* newline =
        static_cast<const char*>(std::memchr(p, '\n', static_cast<std::size_t>(end_ - p)));
    const char* const line_end = newline != nullptr ? newline : end_;
    const std::string_view line(p, static_cast<std::size_t>(line_end - p));
    const char* const next = newline != nullptr ? newline + 1 : end_;
    if (line.size() > kLongestRecordingLine) return fault(line, line, "a line above 64 KiB"), next;
    if (trimmed(line).empty() || is_comment(line, false)) return next;
    auto fields = csv_fields(line, layout_.separator);
    while (fields.size() > layout_.columns && fields.back().empty()) fields.pop_back();
    // A recorder that ran out of room may still have ended the line.
    if (fields.size() < layout_.columns && is_last_ &&
        trimmed({next, static_cast<std::size_t>(end_ - next)}).empty()) {
      out_.cut_off = true;
      return next;
    }
    if (fields.size() != layout_.columns) {
      fault(line, line,
            fmt::format("{} fields where the rows before have {}", fields.size(), layout_.columns));
      return next;
    }
    for (std::size_t c = 0; c < fields.size(); ++c) {
      const std::string_view field = fields[c];
      const char* const field_end = field.data() + field.size();
      if (!field.empty() &&
          read_decimal(field.data(), field_end, layout_.decimal, cell(c)) == field_end)
        continue;
      cell(c) = kNoNumber;
      if (!is_over_range_mark(field)) {
        out_.cut_off = is_last_ && newline == nullptr && c + 1 == fields.size();
        if (!out_.cut_off) fault(line, field, "a number was expected");
        return next;
      }
      if (layout_.time_column == c && !layout_.has_index)
        return fault(line, field, "the time is no number"), next;
    }
    ++out_.rows;
    return next;
  }

  void fault(std::string_view line, std::string_view field, std::string message) {
    const auto before =
        static_cast<std::size_t>(field.data() >= line.data() ? field.data() - line.data() : 0);
    CsvFault fault{out_.lines, 1, std::move(message), {}};
    fault.line_text = std::string(line.substr(0, kShownBytes));
    if (before <= kShownBytes)
      fault.column = static_cast<int>(character_count(line.substr(0, before))) + 1;
    out_.fault = std::move(fault);
  }

  const CsvLayout& layout_;
  const char* end_;
  bool is_last_;
  CsvRows out_;
};

}  // namespace

CsvRows csv_rows(std::string_view text, const CsvLayout& layout, bool is_last) {
  return RowReader(text, layout, is_last).read(text.data());
}

}  // namespace tautmark
