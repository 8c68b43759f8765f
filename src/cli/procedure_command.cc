// SPDX-License-Identifier: Apache-2.0
// `tautmark procedure`: the work step by step for exactly this engine, and where it stands.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/case_source.h"
#include "cli/commands.h"
#include "cli/drive_or_case.h"
#include "cli/procedure_beside.h"
#include "cli/procedure_text.h"
#include "cli/terminal.h"
#include "judge/tightening.h"
#include "judge/turning_answer.h"

namespace tautmark::cli {
namespace {

struct ProcedureArguments {
  std::string name, json, html;
  bool brief = false, all = false;
  std::vector<std::string> drives, beside;
};

int print(const ProcedureArguments& arguments, const ProcedureView& view,
          std::span<const tighten::Wrench> wrenches) {
  if (!arguments.html.empty() && !write_output(arguments.html, html_procedure(view, wrenches)))
    return kExitInput;
  if (!arguments.json.empty() && !write_output(arguments.json, procedure_json(view).dump(2) + "\n"))
    return kExitInput;
  if (arguments.json == "-" || arguments.html == "-") return kExitPass;
  const std::string text = arguments.brief ? brief_procedure(view, output_style())
                                           : procedure_text(view, output_style());
  std::fputs(text.c_str(), stdout);
  return kExitPass;
}

int print(const ProcedureArguments& arguments, const ProcedureSeen& seen,
          std::span<const tighten::Wrench> wrenches = {}) {
  if (seen) return print(arguments, *seen, wrenches);
  fmt::print(stderr, "{}: error: {}\n", arguments.name, seen.error());
  return kExitInput;
}

int of_drive(const ProcedureArguments& arguments) {
  const auto loaded = load_drive(arguments.name, drive_folders(arguments.drives, arguments.name));
  return loaded ? print(arguments, procedure_of(*loaded)) : report_input(loaded.error());
}

int of_case(const ProcedureArguments& arguments) {
  const auto source = read_case(arguments.name, arguments.drives);
  if (!source) return report_input(source.error());
  const LoadedCase& loaded = source->value;
  const std::vector<tighten::Wrench> wrenches = torque_wrenches(loaded.value.instruments);
  return print(arguments, procedure_of(loaded, turning_answer(loaded, drives_in_use(loaded))),
               wrenches);
}

int laid_beside(const ProcedureArguments& arguments) {
  if (arguments.brief || !arguments.html.empty() || names_a_case(arguments.name)) {
    fmt::print(stderr, "--beside lays drives side by side: no case, no --brief, no --html\n");
    return kExitUsage;
  }
  BesideArguments all{.names = {arguments.name},
                      .drives = arguments.drives,
                      .json = arguments.json,
                      .all = arguments.all};
  all.names.insert(all.names.end(), arguments.beside.begin(), arguments.beside.end());
  return run_beside(all);
}

int run_procedure(const ProcedureArguments& arguments) {
  const int on_output =
      (arguments.json == "-" ? 1 : 0) + (arguments.html == "-" ? 1 : 0) + (arguments.brief ? 1 : 0);
  if (on_output > 1) {
    fmt::print(stderr, "only one of --json -, --html - and --brief can go to standard output\n");
    return kExitUsage;
  }
  if (!arguments.beside.empty()) return laid_beside(arguments);
  if (arguments.all) {
    fmt::print(stderr, "--all goes with --beside\n");
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
  command->add_option("--html", arguments->html,
                      "Write a sheet to print, with boxes for each gate; - is standard output");
  command
      ->add_option("--beside", arguments->beside,
                   "Another drive, laid beside the first: what differs; may be repeated. JSON is "
                   "then procedure-beside/1")
      ->allow_extra_args(false);
  command->add_flag("--all", arguments->all, "With --beside: also what is the same");
  command
      ->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  command->footer("Exit status: 0 printed, 2 the input could not be used, 64 wrong usage.");
  command->callback([arguments, &status] { status = run_procedure(*arguments); });
}

}  // namespace tautmark::cli
