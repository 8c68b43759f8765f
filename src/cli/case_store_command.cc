// SPDX-License-Identifier: Apache-2.0
// `tautmark case import | export | list | remove | keep`: cases into a store and out of it.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <memory>

#include "base/text.h"
#include "casework/pack.h"
#include "cli/case_source.h"
#include "cli/commands.h"
#include "cli/store_source.h"
#include "cli/words.h"
#include "store/exchange.h"

namespace tautmark::cli {
namespace {

namespace fs = std::filesystem;

struct KeptArguments {
  std::string store, seat, name, folder, reason, until;
  std::vector<std::string> cases, drives, words;
  int limit = 50;
};

// A packed case is unpacked first.
tl::expected<Imported, CaseRefused> import_any(const CaseStore& store, const std::string& name,
                                               const ImportOptions& options) {
  if (!is_packed_case(name)) return import_case(store, name, options);
  const auto scratch = make_scratch();
  if (!scratch) return tl::make_unexpected(CaseRefused{scratch.error(), {}});
  const fs::path folder = (*scratch)->path() / "case";
  UnpackOptions unpacking;
  unpacking.durable = false;
  if (const auto done = unpack_case(name, folder, unpacking); !done)
    return tl::make_unexpected(CaseRefused{done.error(), {}});
  return import_case(store, folder, options);
}

int run_import(const KeptArguments& arguments) {
  if (!arguments.name.empty() && arguments.cases.size() > 1) {
    fmt::print(stderr, "--as names one case; {} are given\n", arguments.cases.size());
    return kExitUsage;
  }
  const auto database = open_store(arguments.store, OpenFor::writing_or_create);
  if (!database) return kExitInput;
  const CaseStore store(database);
  int status = kExitPass;
  for (const std::string& name : arguments.cases) {
    ImportOptions options;
    if (!arguments.name.empty()) options.name = arguments.name;
    options.seat = seat_here(arguments.seat);
    options.drives = drive_folders(arguments.drives, name);
    const auto done = import_any(store, name, options);
    if (!done) {
      const auto& [mistakes, error] = done.error();
      status = report_input(error ? as_diagnostics(name, *error) : mistakes);
      continue;
    }
    fmt::print("{}: {}{}\n", done->summary.name,
               done->records_added == 0 ? "was there already, nothing is new"
                                        : counted(done->records_added, "record") + " stored",
               done->rewritten ? "; the file was written anew with the same values" : "");
  }
  return status;
}

int run_export(const KeptArguments& arguments) {
  const auto database = open_store(arguments.store, OpenFor::writing);
  if (!database) return kExitInput;
  const std::string folder = arguments.folder.empty() ? arguments.name : arguments.folder;
  const auto done = export_case(CaseStore(database), arguments.name, folder,
                                drive_folders(arguments.drives, ""), seat_here(arguments.seat));
  if (!done) return report_store(done.error());
  fmt::print("{}\n", folder);
  return kExitPass;
}

int run_list(const KeptArguments& arguments) {
  const auto database = open_store(arguments.store, OpenFor::reading);
  if (!database) return kExitInput;
  const auto page = CaseStore(database).search(joined(arguments.words, " "), arguments.limit);
  if (!page) return report_store(page.error());
  Rows rows;
  for (const CaseSummary& found : page->cases)
    rows.push_back({found.name,
                    found.entries == 1 ? "1 entry" : fmt::format("{} entries", found.entries),
                    time_text(found.changed).substr(0, 16), found.drive, found.title});
  std::fputs(table_text(rows).c_str(), stdout);
  const auto shown = static_cast<std::int64_t>(page->cases.size());
  if (page->found > shown)
    fmt::print("{} of {}{}; more words find fewer, --limit shows more\n", shown,
               page->found > kMostCounted ? "more than " : "", std::min(page->found, kMostCounted));
  if (page->cases.empty()) fmt::print(stderr, "no case with these words\n");
  return kExitPass;
}

int run_remove(const KeptArguments& arguments) {
  const auto database = open_store(arguments.store, OpenFor::writing);
  if (!database) return kExitInput;
  const auto done =
      CaseStore(database).remove(arguments.name, seat_here(arguments.seat), arguments.reason);
  if (!done) return report_store(done.error());
  fmt::print("{}: deleted; who, when and why are kept (tautmark store audit)\n", arguments.name);
  return kExitPass;
}

int run_keep(const KeptArguments& arguments) {
  const auto until = time_of(arguments.until);
  if (!until) {
    fmt::print(stderr, "--until {}: a date is wanted, for example 2036-12-31\n", arguments.until);
    return kExitUsage;
  }
  const auto database = open_store(arguments.store, OpenFor::writing);
  if (!database) return kExitInput;
  const auto done = CaseStore(database).set_keep_until(arguments.name, *until,
                                                       seat_here(arguments.seat), arguments.reason);
  if (!done) return report_store(done.error());
  fmt::print("{}: cannot be deleted before {}\n", arguments.name, arguments.until);
  return kExitPass;
}

void add_common(CLI::App& command, KeptArguments& arguments) {
  add_store_option(command, arguments.store);
  command.add_option("--seat", arguments.seat,
                     "Who does it, for the record; default: your user name");
}

void add_drives(CLI::App& command, KeptArguments& arguments) {
  command
      .add_option("--drives", arguments.drives,
                  "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
}

}  // namespace

void add_case_store(CLI::App& group, int& status) {
  auto arguments = std::make_shared<KeptArguments>();

  CLI::App* take_in =
      group.add_subcommand("import", "Take case folders or packed cases into a store");
  take_in->add_option("CASE", arguments->cases, "Folders, case files or packed cases")->required();
  take_in->add_option("--as", arguments->name, "Its name in the store; default: its own");
  add_common(*take_in, *arguments);
  add_drives(*take_in, *arguments);
  take_in->footer(
      "A case that came out of a store is recognised: it grows by what is new in it.\n"
      "Exit status: 0 stored, 2 something could not be.");
  take_in->callback([arguments, &status] { status = run_import(*arguments); });

  CLI::App* out = group.add_subcommand("export", "Write a case of a store as a folder");
  out->add_option("NAME", arguments->name, "Its name in the store")->required();
  out->add_option("-o,--to", arguments->folder, "The folder; must not be there; default: NAME");
  add_common(*out, *arguments);
  add_drives(*out, *arguments);
  out->callback([arguments, &status] { status = run_export(*arguments); });

  CLI::App* list = group.add_subcommand("list", "The cases of a store, or those with these words");
  list->add_option("WORDS", arguments->words,
                   "All must occur: rattle \"bank 2\" kind:codes place:bank 27.98");
  list->add_option("--limit", arguments->limit, "At most so many")->check(CLI::Range(1, 1000));
  add_store_option(*list, arguments->store);
  list->callback([arguments, &status] { status = run_list(*arguments); });

  CLI::App* remove =
      group.add_subcommand("remove", "Delete a case of a store; the act itself is recorded");
  remove->add_option("NAME", arguments->name, "Its name in the store")->required();
  remove->add_option("--reason", arguments->reason, "Why; is kept")->required();
  add_common(*remove, *arguments);
  remove->callback([arguments, &status] { status = run_remove(*arguments); });

  CLI::App* keep = group.add_subcommand("keep", "Forbid to delete a case before a date");
  keep->add_option("NAME", arguments->name, "Its name in the store")->required();
  keep->add_option("--until", arguments->until, "A date: 2036-12-31")->required();
  keep->add_option("--reason", arguments->reason, "Why; is kept")->required();
  add_common(*keep, *arguments);
  keep->callback([arguments, &status] { status = run_keep(*arguments); });
}

}  // namespace tautmark::cli
