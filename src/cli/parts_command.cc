// SPDX-License-Identifier: Apache-2.0
// `tautmark parts`: from decisions to the list of parts; sets against variants.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/commands.h"
#include "cli/drive_or_case.h"
#include "cli/parts_text.h"
#include "cli/terminal.h"

namespace tautmark::cli {
namespace {

struct PartsArguments {
  std::vector<std::string> names, drives;
  std::string json;
  bool coverage = false;
};

int print(const PartsArguments& arguments, const nlohmann::ordered_json& json,
          const std::string& text) {
  if (!arguments.json.empty() && !write_output(arguments.json, json.dump(1) + "\n"))
    return kExitInput;
  if (arguments.json != "-") std::fputs(text.c_str(), stdout);
  return kExitPass;
}

int print_lists(const PartsArguments& arguments, const std::vector<DriveOrCase>& sources) {
  std::string text;
  nlohmann::ordered_json json;
  for (const DriveOrCase& source : sources) {
    PartsView view;
    if (source.work) {
      const LoadedCase& loaded = source.work->value;
      const auto judgement = judge(loaded);
      if (!judgement) return report_input(judgement.error());
      view = parts_of(loaded, *judgement);
      if (view.drives.empty()) {
        fmt::print(stderr, "{}: no drive is known for this case, so there is no list of parts\n",
                   loaded.value.name);
        return kExitInput;
      }
    } else {
      view = parts_of(source.drives.front());
    }
    text += (text.empty() ? "" : "\n") + parts_text(view, output_style());
    json = parts_json(view);
  }
  return print(arguments, json, text);
}

int print_coverage(const PartsArguments& arguments, const std::vector<DriveOrCase>& sources) {
  std::vector<parts::DriveList> lists;
  for (const DriveOrCase& source : sources) {
    if (!source.work) {
      lists.push_back(parts::list_for_coverage(source.drives.front().drive, nullptr));
      continue;
    }
    const LoadedCase& loaded = source.work->value;
    for (const LoadedDrive* drive : drives_in_use(loaded)) {
      lists.push_back(parts::list_for_coverage(drive->drive, &loaded.value));
      lists.back().drive += ", " + loaded.value.name;
    }
  }
  const parts::Coverage coverage = parts::coverage_of(lists);
  return print(arguments, coverage_json(coverage), coverage_text(coverage, output_style()));
}

int run_parts(const PartsArguments& arguments) {
  if (arguments.names.size() > 1 && !arguments.json.empty() && !arguments.coverage) {
    fmt::print(stderr, "--json takes one DRIVE or CASE, or several with --coverage\n");
    return kExitUsage;
  }
  std::vector<DriveOrCase> sources;
  for (const std::string& name : arguments.names) {
    auto source = read_drive_or_case(name, arguments.drives);
    if (!source) return report_input(source.error());
    sources.push_back(std::move(*source));
  }
  return arguments.coverage ? print_coverage(arguments, sources) : print_lists(arguments, sources);
}

}  // namespace

void add_parts(CLI::App& app, int& status) {
  auto arguments = std::make_shared<PartsArguments>();
  CLI::App* command = app.add_subcommand(
      "parts", "What is to be ordered, why and in which set; what does not go together");
  command
      ->add_option("DRIVE|CASE", arguments->names,
                   "A drive by name or file: what its whole procedure uses up; or a case")
      ->required();
  command->add_flag(
      "--coverage", arguments->coverage,
      "A table instead: each part against each engine, which set brings it, the gaps");
  command->add_option("--json", arguments->json,
                      "Write parts/1, with --coverage parts-coverage/1; - is standard output");
  command
      ->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  command->footer("Exit status: 0 printed, 2 the input could not be used, 64 wrong usage.");
  command->callback([arguments, &status] { status = run_parts(*arguments); });
}

}  // namespace tautmark::cli
