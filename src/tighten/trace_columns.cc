// SPDX-License-Identifier: Apache-2.0
#include "tighten/trace_columns.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/diagnostic.h"
#include "base/text.h"

namespace tautmark::tighten {
namespace {

constexpr std::string_view kDegree = "°", kDot = "·";
constexpr std::size_t kLongestShown = 60;

// Single-byte degree sign and middle dot (ISO 8859-1) as UTF-8; other stray bytes become "?".
std::string as_utf8(std::string_view text) {
  std::string good;
  while (!text.empty()) {
    const std::size_t bad = first_invalid_utf8(text).value_or(text.size());
    good += text.substr(0, bad);
    if (bad == text.size()) break;
    const auto byte = static_cast<unsigned char>(text[bad]);
    if (byte == 0xB0)
      good += kDegree;
    else if (byte == 0xB7)
      good += kDot;
    else
      good += '?';
    text.remove_prefix(bad + 1);
  }
  return good;
}

const Unit* unit_of(std::string_view spelling, std::optional<Kind> wanted) {
  for (const Unit* unit : units_spelled(spelling)) {
    const bool fits = wanted ? unit->kind == *wanted
                             : unit->kind == Kind::angle || unit->kind == Kind::torque ||
                                   unit->kind == Kind::time;
    if (fits) return unit;
  }
  return nullptr;
}

std::optional<Kind> kind_by_words(std::string_view name) {
  const std::string said = folded(name);
  const auto says = [&](std::initializer_list<std::string_view> words) {
    return std::any_of(words.begin(), words.end(),
                       [&](std::string_view word) { return said.find(word) != std::string::npos; });
  };
  if (says({"torque", "moment"})) return Kind::torque;
  if (says({"angle", "winkel", "rotation"})) return Kind::angle;
  if (says({"time", "zeit"})) return Kind::time;
  return std::nullopt;
}

// What may be the unit in a name: in the last brackets, behind the last slash, the last words.
std::vector<std::string_view> possible_units(std::string_view name) {
  std::vector<std::string_view> possible;
  const std::size_t open = name.find_last_of("[(");
  const std::size_t close = name.find_last_of("])");
  if (open != std::string_view::npos && close != std::string_view::npos && close > open) {
    possible.push_back(trimmed(name.substr(open + 1, close - open - 1)));
  }
  const std::size_t slash = name.rfind('/');
  if (slash != std::string_view::npos) possible.push_back(trimmed(name.substr(slash + 1)));
  for (std::size_t i = 0; i < name.size(); ++i) {
    if (name[i] == ' ' || name[i] == '_') possible.push_back(trimmed(name.substr(i + 1)));
  }
  possible.push_back(trimmed(name));
  return possible;
}

std::string_view examples(Kind kind) {
  return kind == Kind::torque ? "N·m, lbf·ft or lbf·in" : "deg or rad";
}

ColumnFault no_unit(const Column& column, Kind kind) {
  std::string message = fmt::format("the column \"{}\" has no unit of {} that is known here: {}?",
                                    column.name, kind_name(kind), examples(kind));
  for (const std::string_view part : possible_units(column.name)) {
    if (const std::string_view ask = ask_back(part, kind); !ask.empty()) message = ask;
  }
  return {column.index, std::move(message),
          fmt::format("write the unit into the header: {}",
                      kind == Kind::torque ? "Torque [N·m]" : "Angle [deg]")};
}

}  // namespace

std::vector<Cell> cells_of(std::string_view line, char separator) {
  std::vector<Cell> cells;
  std::size_t begin = 0;
  bool quoted = false;
  for (std::size_t i = 0; i <= line.size(); ++i) {
    if (i < line.size() && line[i] == '"') quoted = !quoted;
    if (i < line.size() && (quoted || line[i] != separator)) continue;
    std::string_view text = trimmed(line.substr(begin, i - begin));
    if (text.size() >= 2 && text.front() == '"' && text.back() == '"') {
      text = trimmed(text.substr(1, text.size() - 2));
    }
    const std::size_t at =
        text.empty() ? begin : static_cast<std::size_t>(text.data() - line.data());
    cells.push_back({text, at});
    begin = i + 1;
  }
  return cells;
}

char separator_of(std::string_view header) {
  for (const char separator : {'\t', ';', ','}) {
    if (cells_of(header, separator).size() > 1) return separator;
  }
  return 0;
}

std::string shown_cell(std::string_view cell) {
  std::string shown = as_utf8(cell.substr(0, kLongestShown));
  for (char& c : shown) {
    if ((static_cast<unsigned char>(c) < 0x20) || c == 0x7F) c = '?';
  }
  return shown;
}

ColumnsRead read_columns(const std::vector<Cell>& header) {
  ColumnsRead read;
  TraceColumns& columns = read.columns;
  for (std::size_t i = 0; i < header.size(); ++i) {
    Column column{i, shown_cell(header[i].text), nullptr};
    std::optional<Kind> kind = kind_by_words(column.name);
    for (const std::string_view part : possible_units(column.name)) {
      column.unit = unit_of(part, kind);
      if (column.unit != nullptr) break;
    }
    if (!kind && column.unit != nullptr) kind = column.unit->kind;
    std::optional<Column>* role = kind == Kind::angle    ? &columns.angle
                                  : kind == Kind::torque ? &columns.torque
                                  : kind == Kind::time   ? &columns.time
                                                         : nullptr;
    if (role == nullptr || (role == &columns.time && (column.unit == nullptr || columns.time))) {
      if (!column.name.empty()) columns.left_aside.push_back(column.name);
      continue;
    }
    if (*role) {
      read.fault = ColumnFault{i,
                               fmt::format("two columns of {}: \"{}\" and \"{}\"; which one is it?",
                                           kind_name(*kind), (*role)->name, column.name),
                               "keep one of them"};
      return read;
    }
    *role = column;
  }
  if (!columns.angle || !columns.torque) {
    read.fault = ColumnFault{
        0,
        fmt::format("no column of {}; the first line names the columns with their units",
                    columns.angle ? "torque" : "angle"),
        "Angle [deg];Torque [N·m]"};
  }
  return read;
}

bool take_units(TraceColumns& columns, const std::vector<Cell>& line) {
  const auto take = [&](std::optional<Column>& column, Kind kind) {
    if (!column || column->unit != nullptr || column->index >= line.size()) return;
    std::string_view text = line[column->index].text;
    if (text.size() > 2 && (text.front() == '[' || text.front() == '(')) {
      text = text.substr(1, text.size() - 2);
    }
    column->unit = unit_of(as_utf8(text), kind);
  };
  take(columns.angle, Kind::angle);
  take(columns.torque, Kind::torque);
  return !columns.lacks_unit();
}

ColumnFault missing_unit(const TraceColumns& columns) {
  const bool is_torque = columns.torque->unit == nullptr;
  return no_unit(is_torque ? *columns.torque : *columns.angle,
                 is_torque ? Kind::torque : Kind::angle);
}

}  // namespace tautmark::tighten
