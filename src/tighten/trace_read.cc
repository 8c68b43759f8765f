// SPDX-License-Identifier: Apache-2.0
#include "tighten/trace_read.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numbers>

#include "base/text.h"
#include "tighten/trace_columns.h"

namespace tautmark::tighten {
namespace {

constexpr std::size_t kMostNotes = 100;
constexpr std::size_t kLongestLine = 64 * 1024;

class TraceText {
 public:
  TraceText(const std::string& file, std::string_view bytes) : file_(file), rest_(bytes) {}

  Parsed<Trace> read() {
    if (rest_.size() > kMostTraceBytes) {
      fault(0, "the file is too large: at most 256 MB are read", "");
    } else if (rest_.starts_with("\xFF\xFE") || rest_.starts_with("\xFE\xFF") ||
               rest_.substr(0, 1024).find('\0') != std::string_view::npos) {
      fault(0, "this is no plain text, or it is UTF-16", "save it as CSV in UTF-8");
    } else {
      if (rest_.starts_with("\xEF\xBB\xBF")) rest_.remove_prefix(3);
      if (header()) rows();
    }
    if (has_errors(faults_)) return tl::unexpected(faults_);
    return std::move(trace_);
  }

 private:
  // The next line that is neither empty nor a comment.
  bool next() {
    while (!rest_.empty()) {
      const std::size_t end = rest_.find('\n');
      line_ = rest_.substr(0, end);
      rest_.remove_prefix(end == std::string_view::npos ? rest_.size() : end + 1);
      ++number_;
      if (line_.size() > kLongestLine) {
        fault(0, "the line is too long: at most 64 KB belong in one", "");
        return false;
      }
      const std::string_view text = trimmed(line_);
      if (text.starts_with('#'))
        note(shown_cell(trimmed(text.substr(1))));
      else if (!text.empty() && !(number_ == 1 && text.starts_with("sep=")))
        return true;
    }
    return false;
  }

  void note(std::string text) {
    if (trace_.notes.size() < kMostNotes) trace_.notes.push_back(std::move(text));
  }

  void fault(std::size_t byte, std::string message, std::string hint) {
    TextPlace place{.file = file_,
                    .line = std::max(1, number_),
                    .column = static_cast<int>(character_count(line_.substr(0, byte))) + 1,
                    .line_text = std::string(line_.substr(0, kLongestLine))};
    add_diagnostic(faults_, {.place = std::move(place),
                             .message = std::move(message),
                             .hint = std::move(hint),
                             .second = {}});
  }

  bool header() {
    if (!next()) {
      if (faults_.empty()) fault(0, "the file is empty", "Angle [deg];Torque [N·m]");
      return false;
    }
    separator_ = separator_of(line_);
    std::vector<Cell> cells = cells_of(line_, separator_);
    if (number_of(cells[0].text)) {
      fault(0,
            "the first line has numbers: which column is angle, which is torque, in which units?",
            "Angle [deg];Torque [N·m]");
      return false;
    }
    ColumnsRead read = read_columns(cells);
    if (read.fault) {
      fault(cells[read.fault->column].begin, read.fault->message, read.fault->hint);
      return false;
    }
    columns_ = std::move(read.columns);
    for (const std::string& name : columns_.left_aside) {
      note(fmt::format("the column \"{}\" is not used", name));
    }
    return !columns_.lacks_unit() || units(cells);
  }

  bool units(const std::vector<Cell>& cells) {
    const std::string_view header = line_;
    const int header_number = number_;
    if (next() && take_units(columns_, cells_of(line_, separator_))) return true;
    line_ = header;
    number_ = header_number;
    const ColumnFault missing = missing_unit(columns_);
    fault(cells[missing.column].begin, missing.message, missing.hint);
    return false;
  }

  void rows() {
    while (next()) {
      if (trace_.points.size() == kMostTracePoints) {
        fault(0, "too many points: at most 2 000 000 are read", "record in larger steps");
        return;
      }
      row(cells_of(line_, separator_));
      if (faults_.size() > kMostDiagnostics) return;
    }
    if (trace_.points.empty() && faults_.empty()) {
      fault(0, "no points after the header: lines of angle and torque are expected", "");
    }
  }

  void row(const std::vector<Cell>& cells) {
    const auto angle = value(cells, *columns_.angle);
    const auto torque = value(cells, *columns_.torque);
    const auto time = columns_.time ? value(cells, *columns_.time) : std::optional<double>(0);
    if (!angle || !torque || !time) return;
    constexpr double kMostAngle = kMostTraceTurns * 2 * std::numbers::pi;
    if (std::abs(*angle) > kMostAngle || std::abs(*torque) > 1e6) {
      fault(0, "no angle or torque of a bolt is as large as this", "");
      return;
    }
    trace_.points.push_back({Angle::from_si(*angle), Torque::from_si(*torque)});
    if (columns_.time) trace_.times.push_back(Time::from_si(*time));
  }

  std::optional<double> value(const std::vector<Cell>& cells, const Column& column) {
    if (column.index >= cells.size()) {
      fault(line_.size(),
            fmt::format("the line ends before the column \"{}\": {} columns are expected",
                        column.name, column.index + 1),
            "");
      return std::nullopt;
    }
    const Cell& cell = cells[column.index];
    if (!has_one_decimal_sign(cell)) return std::nullopt;
    const std::optional<double> number = number_of(cell.text);
    if (!number) {
      fault(cell.begin,
            cell.text.empty()
                ? fmt::format("nothing in the column \"{}\": a number is expected", column.name)
                : fmt::format("\"{}\" is no number: one is expected in the column \"{}\"",
                              shown_cell(cell.text), column.name),
            "");
      return std::nullopt;
    }
    return to_si(*number, *column.unit);
  }

  // The first decimal sign of the file is that of all.
  bool has_one_decimal_sign(const Cell& cell) {
    const std::size_t at = cell.text.find_first_of(".,");
    if (at == std::string_view::npos) return true;
    const char sign = cell.text[at];
    if (decimal_ == 0 && !(sign == ',' && separator_ == ',')) decimal_ = sign;
    if (sign == decimal_) return true;
    fault(cell.begin + at,
          separator_ == ','
              ? std::string("a decimal comma in a file whose columns are parted by commas")
              : fmt::format("decimal sign {}, where the file had {} before", sign, decimal_),
          separator_ == ',' ? "part the columns with ; or tab" : "write one decimal sign");
    return false;
  }

  static std::optional<double> number_of(std::string_view text) {
    std::array<char, 64> plain{};
    if (text.starts_with('+')) text.remove_prefix(1);
    if (text.empty() || text.size() > plain.size()) return std::nullopt;
    for (std::size_t i = 0; i < text.size(); ++i) {
      const char c = text[i] == ',' ? '.' : text[i];
      if ((c < '0' || c > '9') && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E') {
        return std::nullopt;
      }
      plain[i] = c;
    }
    double number = 0;
    const auto [end, error] = std::from_chars(plain.data(), plain.data() + text.size(), number);
    if (error != std::errc() || end != plain.data() + text.size()) return std::nullopt;
    return number;
  }

  const std::string& file_;
  std::string_view rest_, line_;
  int number_ = 0;
  char separator_ = 0, decimal_ = 0;
  TraceColumns columns_;
  Trace trace_;
  Diagnostics faults_;
};

}  // namespace

Parsed<Trace> read_trace(const std::string& file, std::string_view bytes) {
  return TraceText(file, bytes).read();
}

}  // namespace tautmark::tighten
