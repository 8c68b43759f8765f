// SPDX-License-Identifier: Apache-2.0
#include "cli/procedure_beside.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "cli/commands.h"
#include "cli/terminal.h"
#include "cli/words.h"
#include "procedure/beside.h"
#include "report/beside_json.h"

namespace tautmark::cli {
namespace {

using procedure::Beside;
using procedure::BesideCell;
using procedure::BesideRow;

constexpr std::size_t kMost = 4;  // columns that can still be read in 100 characters

std::string cell_text(const BesideCell& cell) {
  if (cell.text.empty()) return std::string(procedure::kNotInDefinition);
  return cell.is_unconfirmed ? fmt::format("{} [{}]", cell.text, procedure::kNotConfirmed)
                             : cell.text;
}

// One row, an empty line behind it; `=` in front says that all have the same.
void add_row(Rows& rows, const BesideRow& row) {
  std::vector<std::string> cells = {(row.is_same ? "= " : "") + row.what};
  for (const BesideCell& cell : row.cells) cells.push_back(cell_text(cell));
  rows.push_back(std::move(cells));
  rows.push_back({""});
}

std::string beside_text(const Beside& all, const TextStyle& style) {
  const int columns = static_cast<int>(all.drives.size()) + 1;
  const int widest = (style.width - 2 - 2 * (columns - 1)) / columns;
  std::string out;
  const bool invented = std::any_of(all.drives.begin(), all.drives.end(), [](const Drive* drive) {
    return drive->invented.value_or(false);
  });
  if (invented) out += "INVENTED ENGINES, NOT FOR REAL WORK\n";
  for (std::size_t i = 0; i < all.rows.size();) {
    const std::string& group = all.rows[i].group;
    Rows rows = {{""}};
    for (const Drive* drive : all.drives) rows.front().push_back(drive->name);
    rows.push_back({""});
    for (; i < all.rows.size() && all.rows[i].group == group; ++i) add_row(rows, all.rows[i]);
    out += "\n" + bold(group, style) + "\n" + table_text(folded_rows(rows, widest));
  }
  return out + fmt::format("{} differ, {} are the same\n",
                           std::count_if(all.rows.begin(), all.rows.end(),
                                         [](const BesideRow& row) { return !row.is_same; }),
                           all.same);
}

}  // namespace

int run_beside(const BesideArguments& arguments) {
  if (arguments.names.size() > kMost) {
    fmt::print(stderr, "at most {} drives stand side by side\n", kMost);
    return kExitUsage;
  }
  std::vector<LoadedDrive> loaded;
  for (const std::string& name : arguments.names) {
    auto drive = load_drive(name, drive_folders(arguments.drives, name));
    if (!drive) return report_input(drive.error());
    loaded.push_back(std::move(*drive));
  }
  std::vector<const LoadedDrive*> drives;
  for (const LoadedDrive& drive : loaded) drives.push_back(&drive);
  const Beside all = procedure::beside(drives, arguments.all);
  if (!arguments.json.empty() && !write_output(arguments.json, beside_json(all).dump(2) + "\n"))
    return kExitInput;
  if (arguments.json != "-") std::fputs(beside_text(all, output_style()).c_str(), stdout);
  return kExitPass;
}

}  // namespace tautmark::cli
