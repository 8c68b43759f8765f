// SPDX-License-Identifier: Apache-2.0
// `tautmark drive compare`: two definitions field by field.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <memory>

#include "base/text.h"
#include "cli/commands.h"
#include "cli/words.h"
#include "drive/compare.h"

namespace tautmark::cli {
namespace {

struct CompareArguments {
  std::string first, second;
  std::vector<std::string> drives;
};

// Long texts go on in further lines of their columns.
Rows folded_rows(const Rows& rows) {
  constexpr int kWidest = 42;
  Rows out;
  for (const auto& row : rows) {
    std::vector<std::vector<std::string>> cells;
    std::size_t lines = 1;
    for (const std::string& cell : row) {
      cells.push_back(split(wrapped(cell, kWidest), '\n'));
      lines = std::max(lines, cells.back().size());
    }
    for (std::size_t line = 0; line < lines; ++line) {
      std::vector<std::string> part;
      part.reserve(cells.size());
      for (const auto& cell : cells) part.push_back(line < cell.size() ? cell[line] : "");
      out.push_back(std::move(part));
    }
  }
  return out;
}

Rows rows_of(const std::vector<DriveDifference>& differences, std::string_view title,
             const LoadedDrive& a, const LoadedDrive& b) {
  Rows rows = {{std::string(title), a.drive.name, b.drive.name}};
  for (const DriveDifference& one : differences) rows.push_back({one.field, one.here, one.there});
  return rows;
}

int run_compare(const CompareArguments& arguments) {
  const auto first = load_drive(arguments.first, drive_folders(arguments.drives, arguments.first));
  if (!first) return report_input(first.error());
  const auto second =
      load_drive(arguments.second, drive_folders(arguments.drives, arguments.second));
  if (!second) return report_input(second.error());
  const DriveComparison found = compare_drives(first->drive, second->drive);
  if (!found.biting.empty())
    fmt::print("{}\n",
               table_text(folded_rows(rows_of(found.biting, "what bites", *first, *second))));
  if (!found.fields.empty())
    fmt::print("{}\n", table_text(folded_rows(rows_of(found.fields, "", *first, *second))));
  fmt::print("{} fields differ, {} are the same\n", found.fields.size(), found.same);
  return kExitPass;
}

}  // namespace

void add_drive_compare(CLI::App& drive, int& status) {
  auto arguments = std::make_shared<CompareArguments>();
  CLI::App* command = drive.add_subcommand("compare", "Where two definitions differ, side by side");
  command->add_option("A", arguments->first, "Name of a drive, or a drive file")->required();
  command->add_option("B", arguments->second, "The other one")->required();
  command
      ->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  command->footer(
      "A variant is compared with what it takes over from its base. Texts are compared as\n"
      "typed: 1.102 in and 27.99 mm differ. Exit status: 0.");
  command->callback([arguments, &status] { status = run_compare(*arguments); });
}

}  // namespace tautmark::cli
