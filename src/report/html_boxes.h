// SPDX-License-Identifier: Apache-2.0
// Rows of boxes to write readings in, or with the readings printed in them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/finding.h"
#include "base/written.h"

namespace tautmark::html {

struct BoxLine {
  std::string direction;           // "vertical", "650 1/min, 95 degC"
  std::string entry;               // id of the case entry; empty: to be filled in by hand
  std::vector<std::string> boxes;  // up to three readings as typed, their unit beside them
  std::string wide;                // or one text across the boxes
  std::string unit{};              // of the boxes, as typed
};

struct Answer {
  const Finding* finding = nullptr;
  std::string instead;  // words where there is no verdict of its own to tick
};

// The readings one by one, as typed; in one text where they do not fit the boxes. Their unit is
// shown where it is not the limit's.
void set_typed(BoxLine& line, const WrittenList& values, const Unit* limit_unit);

std::string box_table_head(std::string_view first, std::string_view second);
// `place` is markup. The result and the three answers stand beside all lines.
std::string box_rows(const std::string& place, const std::vector<BoxLine>& lines,
                     const Answer& answer);
std::string free_box_table();  // nothing known: everything is written by hand

}  // namespace tautmark::html
