// SPDX-License-Identifier: Apache-2.0
#include "recording/command_log.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <iterator>
#include <limits>

#include "base/text.h"
#include "recording/column_words.h"
#include "recording/formats/csv_layout.h"
#include "recording/formats/csv_number.h"
#include "recording/formats/csv_rows.h"
#include "recording/read.h"
#include "recording/samples.h"
#include "recording/slots.h"

namespace tautmark {
namespace {

constexpr std::size_t kLargestLog = 256UL * 1024 * 1024;  // bytes
constexpr double kNoNumber = std::numeric_limits<double>::quiet_NaN();

template <std::size_t kCount>
bool holds_one_of(std::string_view text, const std::array<std::string_view, kCount>& words) {
  return std::any_of(words.begin(), words.end(), [&](std::string_view word) {
    return text.find(word) != std::string_view::npos;
  });
}

enum class LogRole { other, time, commanded, actual, speed };

// Words of the trade in English, German, French, Spanish and Italian.
LogRole log_role(std::string_view name) {
  static constexpr std::array<std::string_view, 12> kCommanded{
      "command", "desired", "target",    "setpoint", "set point", "set-point",
      "request", "demand",  "specified", "soll",     "consigne",  "objetivo"};
  static constexpr std::array<std::string_view, 8> kSpeed{
      "rpm", "engine speed", "rev/min", "1/min", "u/min", "drehzahl", "giri", "engine_speed"};
  static constexpr std::array<std::string_view, 5> kActual{"actual", "measured", "istwert",
                                                           "feedback", "observed"};
  const std::string word = folded(name);
  const bool is_command = holds_one_of(word, kCommanded);
  if (holds_one_of(word, kSpeed)) return is_command ? LogRole::other : LogRole::speed;
  if (is_command) return LogRole::commanded;
  if (column_role(name) == ColumnRole::time) return LogRole::time;
  if (word.starts_with("time") || word.starts_with("elapsed")) return LogRole::time;
  if (holds_one_of(word, kActual)) return LogRole::actual;
  return LogRole::other;
}

bool has_words(std::string_view name, std::string_view wanted) {
  const std::string text = folded(name);
  for (const std::string& word : split(folded(wanted), ' '))
    if (!word.empty() && text.find(word) == std::string::npos) return false;
  return true;
}

struct Columns {
  std::size_t time = 0, commanded = 0;
  std::optional<std::size_t> actual, speed;
  std::string commanded_name;
};

struct Header {
  std::vector<std::string_view> names, units;
  int line = 0, first_row = 0;  // from 1; first_row: lines above the first row of numbers
  std::string text;
};

// The lowest line above the rows that names a time and a commanded angle.
std::optional<Header> header_of(std::string_view head, const CsvLayout& layout) {
  std::vector<std::string_view> lines;
  for (int i = 0; i < layout.header_lines; ++i) {
    const std::size_t end = head.find('\n');
    lines.push_back(trimmed(head.substr(0, end)));
    if (end == std::string_view::npos) break;
    head.remove_prefix(end + 1);
  }
  std::optional<std::vector<std::string_view>> below;
  int first_row = layout.header_lines;
  for (std::size_t i = lines.size(); i-- > 0;) {
    if (lines[i].empty()) continue;
    auto fields = csv_fields(lines[i], layout.separator);
    while (fields.size() > layout.columns && fields.back().empty()) fields.pop_back();
    if (fields.size() != layout.columns) continue;
    const auto has = [&](LogRole role) {
      return std::any_of(fields.begin(), fields.end(),
                         [&](std::string_view name) { return log_role(name) == role; });
    };
    if (has(LogRole::commanded) || has(LogRole::time))
      return Header{fields, below.value_or(std::vector<std::string_view>{}),
                    static_cast<int>(i) + 1, first_row, std::string(lines[i])};
    below = fields;
    // A row of numbers above one that is faulty is no header: the fault must be named.
    double value = 0;
    if (read_decimal(fields[0].data(), fields[0].data() + fields[0].size(), layout.decimal, value))
      first_row = static_cast<int>(i);
  }
  return std::nullopt;
}

// The column of `role` that shares the wanted words; without such a one the only column of it.
Parsed<std::optional<std::size_t>> column_of(const std::string& file, const Header& header,
                                             LogRole role, std::string_view wanted) {
  std::vector<std::size_t> all, matching;
  for (std::size_t c = 0; c < header.names.size(); ++c) {
    if (log_role(header.names[c]) != role) continue;
    all.push_back(c);
    if (has_words(header.names[c], wanted)) matching.push_back(c);
  }
  const bool is_command = role == LogRole::commanded;
  if (is_command && matching.size() > 1) {  // a commanded throttle or gear is no cam
    static constexpr std::array<std::string_view, 8> kCam{
        "cam", "phaser", "intake", "inlet", "exhaust", "nockenwelle", "arbre", "valve timing"};
    std::vector<std::size_t> cams;
    for (const std::size_t c : matching)
      if (holds_one_of(folded(header.names[c]), kCam)) cams.push_back(c);
    if (!cams.empty()) matching = std::move(cams);
  }
  if (matching.size() == 1) return std::optional(matching.front());
  if (!is_command) return matching.empty() ? std::nullopt : std::optional(matching.front());
  std::vector<std::string> names;
  for (const std::size_t c : all) names.push_back('"' + printable(header.names[c]) + '"');
  const TextPlace place{file, header.line, 1, 1, printable(header.text)};
  if (all.empty())
    return tl::unexpected(recording_error(
        place,
        "no column of a commanded cam angle: a name with \"commanded\", \"desired\", "
        "\"target\" or \"setpoint\" is expected"));
  return tl::unexpected(
      recording_error(place, fmt::format("{} commanded angle among {}: say which cam",
                                         matching.empty() ? "no column named like the cam is a"
                                                          : "more than one column is a",
                                         joined(names, ", "))));
}

Parsed<Columns> columns_of(const std::string& file, const Header& header,
                           const CommandOptions& options) {
  Columns columns;
  const auto time = column_of(file, header, LogRole::time, "");
  if (!*time)
    return tl::unexpected(recording_error(
        TextPlace{file, header.line, 1, 1, printable(header.text)}, "no column of time"));
  const auto commanded = column_of(file, header, LogRole::commanded, options.cam);
  if (!commanded) return tl::unexpected(commanded.error());
  columns.time = **time;
  columns.commanded = **commanded;
  columns.commanded_name = printable(header.names[columns.commanded]);
  columns.actual = *column_of(file, header, LogRole::actual, options.cam);
  columns.speed = *column_of(file, header, LogRole::speed, "");
  return columns;
}

struct LogText {
  std::string room;
  std::string_view text;
};

LogText text_of(std::string_view bytes) {
  LogText result;
  std::size_t mark = 0;
  const TextCoding coding = text_coding(bytes, mark);
  result.text = bytes.substr(mark);
  if (coding == TextCoding::utf8) return result;
  result.room = utf8_of_utf16(result.text, coding == TextCoding::utf16_big);
  result.text = result.room;
  return result;
}

// Value of every row; an empty cell holds the last one.
std::vector<double> held(const CsvRows& rows, std::size_t column, double factor) {
  std::vector<double> values;
  double last = kNoNumber;
  for (std::size_t i = 0; i < rows.rows; ++i) {
    const double value = rows.column(column)[i];
    if (std::isfinite(value)) last = factor * value;
    values.push_back(last);
  }
  return values;
}

int line_of_row(std::string_view text, const CsvLayout& layout, std::size_t row) {
  int line = layout.header_lines;
  std::size_t rows = 0;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size() - 1) + 1;
    ++line;
    rows += csv_rows(text.substr(0, end), layout, true).rows;
    if (rows > row) break;
    text.remove_prefix(end);
  }
  return line;
}

}  // namespace

Parsed<CommandLog> read_command_log(const std::string& file, std::string_view bytes,
                                    const CommandOptions& options) {
  const LogText whole = text_of(bytes);
  auto layout = csv_layout(file, whole.text);
  if (!layout) return tl::unexpected(layout.error());
  const auto header = header_of(whole.text, *layout);
  if (!header)
    return tl::unexpected(recording_error(
        TextPlace{file, 1, 1, 1, printable(whole.text.substr(0, whole.text.find('\n')))},
        "no header that names a time and a commanded cam angle"));
  const auto columns = columns_of(file, *header, options);
  if (!columns) return tl::unexpected(columns.error());
  layout->time_column = columns->time;
  layout->has_index = false;
  layout->header_lines = header->first_row;
  std::string_view rows_text = whole.text;
  for (int line = 0; line < layout->header_lines; ++line)
    rows_text.remove_prefix(std::min(rows_text.find('\n'), rows_text.size() - 1) + 1);
  const CsvRows rows = csv_rows(rows_text, *layout, true);
  if (rows.fault) {
    const int line = layout->header_lines + static_cast<int>(rows.fault->line) + 1;
    return tl::unexpected(recording_error(
        TextPlace{file, line, rows.fault->column, 1, rows.fault->line_text}, rows.fault->message));
  }
  CommandLog log;
  log.file = file;
  log.commanded_name = columns->commanded_name;
  std::optional<double> unit = time_unit_of_name(header->names[columns->time]);
  if (!unit && !header->units.empty()) unit = time_unit(header->units[columns->time]);
  if (!unit) log.notes.emplace_back("the log states no unit of time: seconds");
  if (rows.cut_off) log.notes.emplace_back("the last line is cut off and left out");
  const double factor =
      (options.is_in_cam_degrees ? 2.0 : 1.0) * (options.retard_is_positive ? -1.0 : 1.0);
  const std::vector<double> time = held(rows, columns->time, unit.value_or(1));
  const std::vector<double> commanded = held(rows, columns->commanded, factor);
  const std::vector<double> actual =
      columns->actual ? held(rows, *columns->actual, factor) : std::vector<double>{};
  for (std::size_t i = 0; i < rows.rows; ++i) {
    if (i > 0 && !(time[i] > time[i - 1])) {
      const int line = line_of_row(rows_text, *layout, i);
      return tl::unexpected(recording_error(
          TextPlace{file, line, 1, 1, {}},
          fmt::format("time does not increase: {:.6g} s after {:.6g} s", time[i], time[i - 1])));
    }
    if (!std::isfinite(commanded[i])) continue;  // before the first value
    log.time.push_back(time[i]);
    log.commanded.push_back(commanded[i]);
    if (columns->actual) log.actual.push_back(actual[i]);
    if (columns->speed) log.per_minute.push_back(rows.column(*columns->speed)[i]);
  }
  if (log.time.empty())
    return tl::unexpected(recording_error(TextPlace{file, 0, 0, 1, {}},
                                          "the column of the commanded angle is empty"));
  return log;
}

Parsed<CommandLog> read_command_log_file(const std::string& path, const CommandOptions& options) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return tl::unexpected(recording_error(path, "the file cannot be opened"));
  std::string bytes;
  std::array<char, 65536> piece{};
  while (in.read(piece.data(), piece.size()), in.gcount() > 0) {
    bytes.append(piece.data(), static_cast<std::size_t>(in.gcount()));
    if (bytes.size() > kLargestLog)
      return tl::unexpected(recording_error(path, "larger than 256 MiB: no log of a scan tool"));
  }
  return read_command_log(path, bytes, options);
}

double log_period(const CommandLog& log) { return lower_median(intervals_of(log.time)); }

std::optional<double> commanded_at(const CommandLog& log, double time) {
  const auto after = std::upper_bound(log.time.begin(), log.time.end(), time);
  if (after == log.time.begin()) return std::nullopt;
  return log.commanded[static_cast<std::size_t>(after - log.time.begin()) - 1];
}

std::vector<CommandStep> command_steps(const CommandLog& log, double least) {
  std::vector<CommandStep> steps;
  const double near = 2.01 * log_period(log);
  double last = -std::numeric_limits<double>::infinity();  // row of the last change of the step
  for (std::size_t i = 1; i < log.time.size(); ++i) {
    const double change = log.commanded[i] - log.commanded[i - 1];
    if (change == 0) continue;
    const bool goes_on = !steps.empty() && log.time[i] - last <= near &&
                         change * (steps.back().to - steps.back().from) > 0;
    if (goes_on)
      steps.back().to = log.commanded[i];
    else
      steps.push_back({log.time[i], log.commanded[i - 1], log.commanded[i]});
    last = log.time[i];
  }
  std::erase_if(steps, [&](const CommandStep& s) { return std::abs(s.to - s.from) < least; });
  return steps;
}

ClockOffset stated_offset(double offset, double uncertainty) {
  ClockOffset clock;
  clock.offset = offset;
  clock.uncertainty = uncertainty;
  clock.is_stated = true;
  return clock;
}

}  // namespace tautmark
