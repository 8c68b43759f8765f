// SPDX-License-Identifier: Apache-2.0
// For trace_read.cc: the cells of a line, and what the header says about the columns.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/unit.h"

namespace tautmark::tighten {

struct Cell {
  std::string_view text{};  // trimmed, without quotes
  std::size_t begin = 0;    // byte in the line
};
// A separator within quotes does not part.
std::vector<Cell> cells_of(std::string_view line, char separator);
// Of a header: tab, else semicolon, else comma; zero where there is none.
char separator_of(std::string_view header);

struct Column {
  std::size_t index = 0;
  std::string name{};
  const Unit* unit = nullptr;
};
struct TraceColumns {
  std::optional<Column> angle{}, torque{}, time{};
  std::vector<std::string> left_aside{};
  [[nodiscard]] bool lacks_unit() const {
    return (angle && angle->unit == nullptr) || (torque && torque->unit == nullptr);
  }
};
struct ColumnFault {
  std::size_t column = 0;
  std::string message{}, hint{};
};
// Columns by their words, else by their units. The fault: a role that is missing or given twice, a
// unit of another kind.
struct ColumnsRead {
  TraceColumns columns{};
  std::optional<ColumnFault> fault{};
};
ColumnsRead read_columns(const std::vector<Cell>& header);
// Takes units from a line of their own; false where it is none.
bool take_units(TraceColumns& columns, const std::vector<Cell>& line);

// The question for the first unit that is missing.
ColumnFault missing_unit(const TraceColumns& columns);

// A cell as a message may quote it.
std::string shown_cell(std::string_view cell);

}  // namespace tautmark::tighten
