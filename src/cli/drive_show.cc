// SPDX-License-Identifier: Apache-2.0
// `tautmark drive show` and `tautmark drive list`.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <memory>

#include "cli/commands.h"
#include "cli/terminal.h"
#include "cli/words.h"
#include "drive/drive_fields.h"
#include "report/drive_sheet.h"

namespace tautmark::cli {
namespace {

struct ShowArguments {
  std::string name, json;
  std::vector<std::string> drives;
};

std::string sheet_text(const DriveSheet& sheet, const TextStyle& style) {
  std::string out = sheet.is_invented ? "INVENTED ENGINE, NOT FOR REAL WORK\n" : "";
  out += bold(sheet.title, style) + "\n";
  for (const std::string& line : sheet.head) out += line + "\n";
  for (const SheetPart& part : sheet.parts) {
    out += "\n" + bold(part.title, style) + "\n";
    for (const SheetLine& line : part.lines) {
      const int indent = 2 + 2 * line.depth;
      out += std::string(static_cast<std::size_t>(indent), ' ') +
             wrapped(line.text, style.width - indent, indent + 2) + "\n";
    }
    out += table_text(part.rows);
  }
  for (const std::string& line : sheet.foot) out += "\n" + wrapped(line, style.width, 2) + "\n";
  return out;
}

int run_show(const ShowArguments& arguments) {
  const auto loaded = load_drive(arguments.name, drive_folders(arguments.drives, arguments.name));
  if (!loaded) return report_input(loaded.error());
  if (!arguments.json.empty() &&
      !write_output(arguments.json, json_text(write_record(loaded->drive))))
    return kExitInput;
  if (arguments.json != "-")
    std::fputs(sheet_text(drive_sheet(*loaded), output_style()).c_str(), stdout);
  std::fflush(stdout);
  Diagnostics contradictions;
  for (const Diagnostic& found : loaded->warnings)
    if (found.severity == Severity::error) contradictions.push_back(found);
  if (!contradictions.empty())
    fmt::print(stderr, "\nThis definition contradicts itself:\n{}",
               diagnostics_text(contradictions));
  return kExitPass;
}

int run_list(const ShowArguments& arguments) {
  const DriveFolders folders = drive_folders(arguments.drives, "");
  Rows rows;
  for (const std::string& name : drives_in(folders)) {
    const auto loaded = load_drive(name, folders);
    if (!loaded) {
      rows.push_back({name, "cannot be read: tautmark drive check says why"});
      continue;
    }
    const Drive& drive = loaded->drive;
    rows.push_back({name, fmt::format("{}{}{}", drive.title.value_or(""),
                                      drive.based_on ? ", based on " + *drive.based_on : "",
                                      drive.checked_by ? "" : ", not checked")});
  }
  if (rows.empty())
    fmt::print(stderr, "no drive files found; give their folder with --drives FOLDER\n");
  std::fputs(table_text(rows).c_str(), stdout);
  return kExitPass;
}

}  // namespace

void add_drive_show(CLI::App& drive, int& status) {
  auto arguments = std::make_shared<ShowArguments>();
  CLI::App* show = drive.add_subcommand("show", "The data sheet of a definition");
  show->add_option("DRIVE", arguments->name, "Name of a drive, or a drive file")->required();
  show->add_option("--json", arguments->json, "Write the definition as JSON; - is standard output");
  show->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  show->callback([arguments, &status] { status = run_show(*arguments); });

  CLI::App* list = drive.add_subcommand("list", "The drives that are found by name");
  list->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  list->callback([arguments, &status] { status = run_list(*arguments); });
}

}  // namespace tautmark::cli
