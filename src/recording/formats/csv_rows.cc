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

class RowReader {
 public:
  RowReader(std::string_view text, const CsvLayout& layout, bool is_last)
      : layout_(layout), end_(text.data() + text.size()), is_last_(is_last) {
    out_.capacity = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')) + 1;
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
    for (std::size_t c = 0; c < layout_.columns; ++c) {
      p = read_decimal(past_blanks(p), end_, layout_.decimal, cell(c));
      if (p == nullptr) return nullptr;
      const char* after = past_blanks(p);
      if (c + 1 == layout_.columns) {
        p = after;
        break;
      }
      if (layout_.separator == ' ') {
        if (after == p) return nullptr;
        p = after;
      } else {
        if (after == end_ || *after != layout_.separator) return nullptr;
        p = after + 1;
      }
    }
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
    if (fields.size() < layout_.columns && newline == nullptr && is_last_) {
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
      if (!is_over_range_mark(field)) return fault(line, field, "a number was expected"), next;
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
