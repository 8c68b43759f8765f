// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <memory>

#include "base/text.h"
#include "cli/case_source.h"
#include "cli/commands.h"
#include "cli/terminal.h"
#include "judge/dimension.h"
#include "judge/judge.h"
#include "report/report.h"

namespace tautmark::cli {
namespace {

struct JudgeArguments {
  std::string case_name;
  bool brief = false;
  std::string json, html;
  std::vector<std::string> only;
  std::vector<std::string> drives;
};

std::optional<std::string> usage_problem(const JudgeArguments& arguments) {
  const int on_output =
      (arguments.json == "-" ? 1 : 0) + (arguments.html == "-" ? 1 : 0) + (arguments.brief ? 1 : 0);
  if (on_output > 1) return "only one of --json -, --html - and --brief can go to standard output";
  std::vector<std::string> known;
  for (const Check& check : all_checks()) known.emplace_back(check.name);
  for (const std::string& name : arguments.only) {
    if (find_check(name) != nullptr) continue;
    const auto near = nearest(name, known);
    return near ? fmt::format("no check \"{}\"; did you mean \"{}\"?", name, *near)
                : fmt::format("no check \"{}\"; known: {}", name, joined(known, ", "));
  }
  return std::nullopt;
}

int run_judge(const JudgeArguments& arguments) {
  if (const auto problem = usage_problem(arguments)) {
    fmt::print(stderr, "{}\n", *problem);
    return kExitUsage;
  }
  const auto source = read_case(arguments.case_name, arguments.drives, &unknown_instruments);
  if (!source) return report_input(source.error());
  const LoadedCase& loaded = source->value;
  const auto judgement = judge(loaded, {arguments.only});
  if (!judgement) return report_input(as_named(*source, judgement.error()));
  if (!arguments.json.empty() && !write_output(arguments.json, json_report(*judgement)))
    return kExitInput;
  if (!arguments.html.empty() && !write_output(arguments.html, html_sheet(*judgement, loaded)))
    return kExitInput;
  if (arguments.brief) {
    std::fputs(brief_report(*judgement).c_str(), stdout);
  } else if (arguments.json != "-" && arguments.html != "-") {
    std::fputs(text_report(*judgement, output_style()).c_str(), stdout);
  }
  return exit_status(*judgement);
}

}  // namespace

void add_judge(CLI::App& app, int& status) {
  auto arguments = std::make_shared<JudgeArguments>();
  CLI::App* command =
      app.add_subcommand("judge", "All findings of a case: pass, fail or open, with the evidence");
  command
      ->add_option("CASE", arguments->case_name,
                   "A case file, its folder, a packed case, or store:NAME")
      ->required();
  command->add_flag("--brief", arguments->brief, "Five sentences to read over the phone");
  command->add_option("--json", arguments->json,
                      "Write the findings as JSON (findings/1); - is standard output");
  command->add_option("--html", arguments->html,
                      "Write a printable job sheet; - is standard output");
  command->add_option("--only", arguments->only, "Only these checks, separated by commas")
      ->delimiter(',')
      ->allow_extra_args(false);
  command
      ->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  command->footer(
      "Exit status: 0 everything asked passed, 1 something failed, 3 nothing failed but something "
      "is open,\n"
      "2 the input could not be used, 64 wrong usage.");
  command->callback([arguments, &status] { status = run_judge(*arguments); });
}

}  // namespace tautmark::cli
