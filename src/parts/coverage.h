// SPDX-License-Identifier: Apache-2.0
// Sets against variants: for each part that the work on a drive uses up, which set brings it, and
// where none does.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "parts/list.h"

namespace tautmark::parts {

enum class Covered { by_set, gap, not_needed, not_known };
std::string_view covered_text(Covered covered);

struct CoverageCell {
  Covered covered = Covered::not_needed;
  std::optional<int> count{};
  std::vector<std::string> sets{};  // that bring it
};

struct CoverageRow {
  std::string part{};
  std::optional<int> bank{};
  std::vector<CoverageCell> cells{};  // one for each drive
};

struct Coverage {
  std::vector<std::string> drives{};
  std::vector<bool> is_known{};  // a procedure says what is used up
  std::vector<CoverageRow> rows{};
};

struct DriveList {
  std::string drive{};
  bool is_known = true;  // false: no procedure, so that nothing is not needed
  List list{};
};

// One column for each list, one row for each part and bank.
Coverage coverage_of(const std::vector<DriveList>& lists);

// The list of a drive, or of a case with it. A set whose chain has other links than the drive's
// brings no chain.
DriveList list_for_coverage(const Drive& drive, const Case* value);

}  // namespace tautmark::parts
