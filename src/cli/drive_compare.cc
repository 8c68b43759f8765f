// SPDX-License-Identifier: Apache-2.0
// `tautmark drive compare`: two definitions field by field.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <memory>

#include "cli/commands.h"
#include "cli/words.h"
#include "drive/compare.h"

namespace tautmark::cli {
namespace {

constexpr int kWidest = 42;  // characters of a column

struct CompareArguments {
  std::string first, second;
  std::vector<std::string> drives;
};

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
    fmt::print("{}\n", table_text(folded_rows(rows_of(found.biting, "what bites", *first, *second),
                                              kWidest)));
  if (!found.fields.empty())
    fmt::print("{}\n",
               table_text(folded_rows(rows_of(found.fields, "", *first, *second), kWidest)));
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
