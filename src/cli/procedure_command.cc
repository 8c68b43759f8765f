// SPDX-License-Identifier: Apache-2.0
// `tautmark procedure`: the work step by step for exactly this engine, and where it stands.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <set>

#include "base/text.h"
#include "casework/view.h"
#include "cli/case_source.h"
#include "cli/drive_or_case.h"
#include "cli/commands.h"
#include "cli/procedure_text.h"
#include "cli/terminal.h"
#include "judge/turning_answer.h"

namespace tautmark::cli {
namespace {

struct ProcedureArguments {
  std::string name, json;
  bool brief = false;
  std::vector<std::string> drives;
};

int cannot(const std::string& name, const std::string& why) {
  fmt::print(stderr, "{}: error: {}\n", name, why);
  return kExitInput;
}

int print(const ProcedureArguments& arguments, const ProcedureView& view) {
  if (!arguments.json.empty() && !write_output(arguments.json, procedure_json(view)))
    return kExitInput;
  if (arguments.json == "-") return kExitPass;
  const std::string text = arguments.brief ? brief_procedure(view, output_style())
                                           : procedure_text(view, output_style());
  std::fputs(text.c_str(), stdout);
  return kExitPass;
}

int of_drive(const ProcedureArguments& arguments) {
  const auto loaded = load_drive(arguments.name, drive_folders(arguments.drives, arguments.name));
  if (!loaded) return report_input(loaded.error());
  if (loaded->drive.procedure.empty())
    return cannot(arguments.name, "this definition has no procedure");
  const procedure::Plan plan = procedure::plan_of(loaded->drive);
  return print(arguments, {.drive = *loaded, .plan = plan});
}

// The one drive that the case is of; null: none, or not identified.
const LoadedDrive* drive_of(const LoadedCase& loaded) {
  if (loaded.drives.size() == 1) return &loaded.drives.front();
  std::set<std::string> named;
  for (const auto& [entry, identification] :
       all_of_kind<Identification>(entries_in_force(loaded.value)))
    named.insert(identification->variant);
  if (named.size() != 1) return nullptr;
  const auto found =
      std::find_if(loaded.drives.begin(), loaded.drives.end(),
                   [&](const LoadedDrive& one) { return one.drive.name == *named.begin(); });
  return found == loaded.drives.end() ? nullptr : &*found;
}

int of_case(const ProcedureArguments& arguments) {
  const auto source = read_case(arguments.name, arguments.drives);
  if (!source) return report_input(source.error());
  const LoadedCase& loaded = source->value;
  const LoadedDrive* drive = drive_of(loaded);
  if (drive == nullptr)
    return cannot(arguments.name, loaded.drives.empty()
                                      ? "the case names no drive, so no procedure is known for it"
                                      : "several variants are candidates: identify the engine "
                                        "first, a procedure is for exactly one");
  if (drive->drive.procedure.empty())
    return cannot(arguments.name,
                  fmt::format("the definition of {} has no procedure", drive->drive.name));
  const procedure::Plan plan = procedure::plan_of(drive->drive);
  const LoadedDrive* const in_use[] = {drive};
  const TurningAnswer turning = turning_answer(loaded, in_use);
  std::optional<std::string> do_not_turn;
  if (turning.answer.starts_with("DO NOT TURN"))
    do_not_turn = fmt::format("{}: {}", turning.answer, turning.because);
  return print(arguments, {.drive = *drive,
                           .plan = plan,
                           .case_name = loaded.value.name,
                           .walk = procedure::walk(plan, drive->drive, loaded.value, do_not_turn),
                           .turning = turning});
}

int run_procedure(const ProcedureArguments& arguments) {
  if (arguments.brief && arguments.json == "-") {
    fmt::print(stderr, "only one of --json - and --brief can go to standard output\n");
    return kExitUsage;
  }
  return names_a_case(arguments.name) ? of_case(arguments) : of_drive(arguments);
}

}  // namespace

void add_procedure(CLI::App& app, int& status) {
  auto arguments = std::make_shared<ProcedureArguments>();
  CLI::App* command = app.add_subcommand(
      "procedure", "The work step by step for one engine; of a case also where it stands");
  command
      ->add_option("DRIVE|CASE", arguments->name,
                   "Name of a drive or a drive file; or a case file, its folder, a packed case, or "
                   "store:NAME")
      ->required();
  command->add_flag("--brief", arguments->brief, "Only where the work stands and what is next");
  command->add_option("--json", arguments->json,
                      "Write it as JSON (procedure/1); - is standard output");
  command
      ->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  command->footer("Exit status: 0 printed, 2 the input could not be used, 64 wrong usage.");
  command->callback([arguments, &status] { status = run_procedure(*arguments); });
}

}  // namespace tautmark::cli
