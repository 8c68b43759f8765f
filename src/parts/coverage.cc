// SPDX-License-Identifier: Apache-2.0
#include "parts/coverage.h"

#include <algorithm>

#include "parts/names.h"

namespace tautmark::parts {
namespace {

bool has_these_links(const Drive& drive, const Row& row) {
  const auto links = links_in(row.part);
  if (!links) return true;
  return std::any_of(drive.chains.begin(), drive.chains.end(), [&](const Chain& chain) {
    return chain.links == links && banks_meet(chain.bank, row.bank);
  });
}

CoverageCell cell_of(const DriveList& of, const CoverageRow& row) {
  for (const Row& one : of.list.rows)
    if (same_part(one.part, row.part) && one.bank == row.bank)
      return {one.from.empty() ? Covered::gap : Covered::by_set, one.count, one.from};
  return {of.is_known ? Covered::not_needed : Covered::not_known, {}, {}};
}

}  // namespace

std::string_view covered_text(Covered covered) {
  static constexpr std::string_view kTexts[] = {"in a set", "in no set", "not needed", "not known"};
  return kTexts[static_cast<std::size_t>(covered)];
}

DriveList list_for_coverage(const Drive& drive, const Case* value) {
  DriveList of{drive.name, !drive.procedure.empty(), parts_list(drive, value)};
  for (Row& row : of.list.rows)
    if (!has_these_links(drive, row)) row.from.clear();
  return of;
}

Coverage coverage_of(const std::vector<DriveList>& lists) {
  Coverage coverage;
  for (const DriveList& of : lists) {
    coverage.drives.push_back(of.drive);
    coverage.is_known.push_back(of.is_known);
    for (const Row& row : of.list.rows) {
      const bool is_there =
          std::any_of(coverage.rows.begin(), coverage.rows.end(), [&](const CoverageRow& known) {
            return same_part(known.part, row.part) && known.bank == row.bank;
          });
      if (!is_there) coverage.rows.push_back({row.part, row.bank, {}});
    }
  }
  for (CoverageRow& row : coverage.rows)
    for (const DriveList& of : lists) row.cells.push_back(cell_of(of, row));
  return coverage;
}

}  // namespace tautmark::parts
