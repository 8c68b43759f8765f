// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <memory>

#include "cli/commands.h"
#include "cli/terminal.h"
#include "drive/drive_fields.h"
#include "judge/levels.h"
#include "judge/oil_circuit.h"
#include "judge/path_lint.h"
#include "judge/tightening.h"
#include "procedure/lint.h"

namespace tautmark::cli {
namespace {

struct DriveArguments {
  std::string name;
  std::vector<std::string> drives;
};

std::string level_text(const std::vector<Capability>& all) {
  std::string out, level;
  for (const Capability& capability : all) {
    if (capability.level != level) out += fmt::format("\n{}\n", level = capability.level);
    if (capability.missing.empty()) {
      out += fmt::format("  can     {}{}\n", capability.question,
                         capability.detail.empty() ? "" : "  [" + capability.detail + "]");
      continue;
    }
    out += fmt::format("  cannot  {}\n", capability.question);
    for (const Missing& missing : capability.missing)
      out += fmt::format("            needs {}: {}\n", missing.what, missing.how);
  }
  return out;
}

// The question that is nearest to an answer: the fewest numbers missing.
std::string next_unlock(const std::vector<Capability>& all) {
  const Capability* nearest = nullptr;
  for (const Capability& capability : all)
    if (!capability.missing.empty() &&
        (nearest == nullptr || capability.missing.size() < nearest->missing.size()))
      nearest = &capability;
  if (nearest == nullptr) return "Nothing more to unlock with what this program judges today.\n";
  return fmt::format("Next: {} would answer \"{}\"; {}.\n", nearest->missing.front().what,
                     nearest->question, nearest->missing.front().how);
}

}  // namespace

int check_drive(const std::string& name, const std::vector<std::string>& drives) {
  const auto loaded = load_drive(name, drive_folders(drives, name));
  if (!loaded) return report_input(loaded.error());
  const Drive& drive = loaded->drive;
  if (drive.invented.value_or(false)) std::fputs("INVENTED ENGINE, NOT FOR REAL WORK\n", stdout);
  fmt::print("{}{}, {}\n", drive.title.value_or(drive.name),
             drive.revision ? ", revision " + *drive.revision : "",
             drive.checked_by ? "checked by " + *drive.checked_by : "not checked");
  const auto all = capabilities(*loaded);
  std::fputs(level_text(all).c_str(), stdout);
  int can = 0;
  for (const Capability& capability : all) can += capability.missing.empty() ? 1 : 0;
  fmt::print("\nThis definition can answer {} of {} questions.\n{}", can, all.size(),
             next_unlock(all));
  Diagnostics found = loaded->warnings;
  for (auto lint : {path_lint, fastener_lint, oil_lint, procedure::procedure_lint})
    for (Diagnostic& one : lint(*loaded)) add_diagnostic(found, std::move(one));
  if (!found.empty()) {
    std::fflush(stdout);
    fmt::print(stderr, "\n{}", diagnostics_text(found));
  }
  return has_errors(found) ? kExitFail : kExitPass;
}

void add_drive(CLI::App& app, int& status) {
  auto arguments = std::make_shared<DriveArguments>();
  CLI::App* drive = app.add_subcommand("drive", "Definitions of timing drives");
  drive->require_subcommand(1);
  CLI::App* check = drive->add_subcommand(
      "check", "What a definition can answer, what it lacks, and where it contradicts itself");
  check->add_option("DRIVE", arguments->name, "Name of a drive, or a drive file")->required();
  check
      ->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  check->footer("Exit status: 0 usable, 1 contradictory, 2 not readable.");
  add_drive_new(*drive, status);
  add_drive_show(*drive, status);
  add_drive_compare(*drive, status);
  add_drive_draw(*drive, status);
  add_drive_learn(*drive, status);
  check->callback(
      [arguments, &status] { status = check_drive(arguments->name, arguments->drives); });
}

}  // namespace tautmark::cli
