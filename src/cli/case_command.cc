// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <memory>

#include "base/text.h"
#include "casework/append.h"
#include "casework/case_fields.h"
#include "casework/pack.h"
#include "cli/case_show.h"
#include "cli/case_source.h"
#include "cli/case_words.h"
#include "cli/commands.h"
#include "cli/store_source.h"
#include "cli/terminal.h"
#include "store/add_entry.h"
#include "store/readable_case.h"

namespace tautmark::cli {
namespace {

namespace fs = std::filesystem;

struct CaseArguments {
  std::string name;  // CASE or FOLDER
  std::string kind;
  std::vector<std::string> words;
  std::vector<std::string> of_drives;
  std::string title, by, at;
  std::vector<std::string> drives;
  bool help = false;
};

// What the case will call the drive: its name, when it is found by it from the case's folder.
Parsed<std::string> drive_name(const std::string& said, const DriveFolders& folders) {
  const auto loaded = load_drive(said, folders);
  if (!loaded) return tl::make_unexpected(loaded.error());
  if (has_errors(loaded->warnings)) return tl::make_unexpected(loaded->warnings);
  if (is_drive_name(said)) return said;
  const auto by_name = load_drive(loaded->drive.name, folders);
  if (by_name && by_name->sha256 == loaded->sha256) return loaded->drive.name;
  Diagnostic diagnostic;
  diagnostic.place.file = said;
  diagnostic.message =
      fmt::format("the case would not find this drive by its name \"{}\"", loaded->drive.name);
  diagnostic.hint = "copy it beside the case, or give its folder with --drives";
  return tl::make_unexpected(Diagnostics{std::move(diagnostic)});
}

int run_new(const CaseArguments& arguments) {
  const fs::path folder = fs::path(arguments.name).lexically_normal();
  const fs::path file = folder / "case.yaml";
  std::error_code code;
  for (const fs::path& there : {file, folder / "case.json"}) {
    if (!fs::exists(there, code)) continue;
    fmt::print(stderr, "{}: error: there is a case already; it was not touched\n",
               there.generic_string());
    return kExitInput;
  }
  Case value;
  value.tautmark = "case/1";
  const fs::path real = fs::weakly_canonical(folder, code);
  value.name = (real.has_filename() ? real : real.parent_path()).filename().string();
  if (!arguments.title.empty()) value.title = arguments.title;
  DriveFolders folders = drive_folders(arguments.drives, arguments.name);
  folders.folders.insert(folders.folders.begin(), folder);
  std::vector<std::string> names;
  for (const std::string& said : arguments.of_drives) {
    const auto name = drive_name(said, folders);
    if (!name) return report_input(name.error());
    names.push_back(*name);
  }
  if (names.size() == 1) value.drive = names.front();
  if (names.size() > 1) value.candidates = names;
  fs::create_directories(folder, code);
  if (code) {
    fmt::print(stderr, "{}: error: the folder cannot be made: {}\n", arguments.name,
               code.message());
    return kExitInput;
  }
  if (!write_new_file(file.generic_string(), yaml_text(write_record(value)))) return kExitInput;
  fmt::print("{}\n", file.generic_string());
  return kExitPass;
}

int add_to_store(const std::string& name, const CaseArguments& arguments, Entry entry) {
  const auto database = open_store("", OpenFor::writing);
  if (!database) return kExitInput;
  const auto scratch = make_scratch();
  if (!scratch) return report_input(scratch.error());
  const auto added = add_checked_entry(CaseStore(database), name, (*scratch)->path(),
                                       {std::move(entry), {}, seat_here(arguments.by)},
                                       drive_folders(arguments.drives, ""));
  if (!added)
    return added.error().error ? report_store(*added.error().error)
                               : report_input(added.error().mistakes);
  fmt::print("{}\n", added->receipt.entry_id);
  return kExitPass;
}

// A stored case can be added to even when it does not load: what was wrong before is no reason.
Parsed<TextRules> rules_of(const CaseArguments& arguments) {
  TextRules rules;
  const auto take = [&](const Case& value) {
    if (value.decimal_sign == DecimalSign::comma) rules.decimal_sign = ',';
    return rules;
  };
  const auto name = name_in_store(arguments.name);
  if (!name) {
    const auto source = read_case(arguments.name, arguments.drives);
    if (!source) return tl::make_unexpected(source.error());
    return take(source->value.value);
  }
  const auto database = Database::open(store_asked(""), OpenFor::reading, 1);
  if (!database) return tl::make_unexpected(as_diagnostics(arguments.name, database.error()));
  const auto records = CaseStore(*database).records(*name);
  if (!records) return tl::make_unexpected(as_diagnostics(arguments.name, records.error()));
  return take(readable_case(*name, *records));
}

int run_add(const CaseArguments& arguments) {
  if (is_packed_case(arguments.name)) {
    fmt::print(stderr, "{}: error: a packed case is not added to; unpack it first\n",
               arguments.name);
    return kExitInput;
  }
  const DriveFolders folders = drive_folders(arguments.drives, arguments.name);
  const auto rules = rules_of(arguments);
  if (!rules) return report_input(rules.error());
  std::vector<std::string> words;
  if (!arguments.by.empty()) words.push_back("by=" + arguments.by);
  if (!arguments.at.empty()) words.push_back("at=" + arguments.at);
  words.insert(words.end(), arguments.words.begin(), arguments.words.end());
  for (std::string& word : words)
    if (word == "at=now") word = "at=" + date_said("now")->text;
  auto entry = entry_said(arguments.kind, words, *rules);
  if (!entry) return report_input(entry.error());
  if (const auto name = name_in_store(arguments.name))
    return add_to_store(*name, arguments, std::move(*entry));
  const auto id = append_checked_entry(arguments.name, std::move(*entry), folders);
  if (!id) return report_input(id.error());
  fmt::print("{}\n", *id);
  return kExitPass;
}

int run_add_or_help(const CLI::App& command, const CaseArguments& arguments) {
  if (arguments.help) {
    const std::string kind = arguments.kind.empty() && !arguments.name.empty() &&
                                     !entry_kind_help(arguments.name).empty()
                                 ? arguments.name
                                 : arguments.kind;
    const std::string fields = entry_kind_help(kind);
    fmt::print("{}", fields.empty() ? command.help() : fields);
    return kExitPass;
  }
  if (!arguments.name.empty() && !arguments.kind.empty()) return run_add(arguments);
  fmt::print(stderr, "CASE and KIND are required\nRun with --help for more information.\n");
  return kExitUsage;
}

int run_show(const CaseArguments& arguments) {
  const auto loaded = read_case(arguments.name, arguments.drives);
  if (!loaded) return report_input(loaded.error());
  std::fputs(case_text(loaded->value, output_style()).c_str(), stdout);
  return kExitPass;
}

void add_drives_option(CLI::App* command, CaseArguments& arguments) {
  command
      ->add_option("--drives", arguments.drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
}

}  // namespace

void add_case(CLI::App& app, int& status) {
  auto arguments = std::make_shared<CaseArguments>();
  CLI::App* group = app.add_subcommand("case", "Make and keep cases");
  group->require_subcommand(1);

  CLI::App* fresh =
      group->add_subcommand("new", "Make the folder of a new case with its case.yaml");
  fresh->add_option("FOLDER", arguments->name, "Folder of the case; made if it is not there")
      ->required();
  fresh->add_option("--drive", arguments->of_drives,
                    "The drive, by name; repeated: the variants that it may be");
  fresh->add_option("--title", arguments->title, "Title of the case");
  add_drives_option(fresh, *arguments);
  fresh->footer("A case that is there is never touched.");
  fresh->callback([arguments, &status] { status = run_new(*arguments); });

  CLI::App* add = group->add_subcommand("add", "Add one entry to a case");
  add->set_help_flag();  // --help after KIND is the help of that kind
  add->add_flag("-h,--help", arguments->help, "This, or the keys of KIND");
  add->add_option("CASE", arguments->name, "A case file, its folder, or store:NAME");
  add->add_option("KIND", arguments->kind, "What the entry is; see below");
  add->add_option("key=value", arguments->words, "What it says; a list is written a;b");
  add->add_option("--by", arguments->by, "Who");
  add->add_option("--at", arguments->at, "When; a date, a date with time, or now");
  add_drives_option(add, *arguments);
  add->footer("Kinds:\n" + entry_kinds_help() +
              "\ntautmark case add KIND --help shows the keys of a kind.\n"
              "The case is checked with the entry in it before anything is written.\n"
              "Prints the id of the new entry. Exit status: 0 added, 2 nothing was written.");
  add->callback([add, arguments, &status] { status = run_add_or_help(*add, *arguments); });

  CLI::App* show = group->add_subcommand("show", "List the entries of a case");
  show->add_option("CASE", arguments->name, "A case file, its folder, a packed case, or store:NAME")
      ->required();
  add_drives_option(show, *arguments);
  show->callback([arguments, &status] { status = run_show(*arguments); });

  add_case_pack(*group, status);
  add_case_store(*group, status);
}

}  // namespace tautmark::cli
