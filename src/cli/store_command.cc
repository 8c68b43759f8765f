// SPDX-License-Identifier: Apache-2.0
// `tautmark store`: the store as a whole.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <memory>

#include "cli/commands.h"
#include "cli/store_source.h"
#include "cli/words.h"
#include "store/exchange.h"

namespace tautmark::cli {
namespace {

struct StoreArguments {
  std::string store, target, seat, audit_head;
  long long after = 0;
  int limit = 50;
};

// To be written down elsewhere: an audit that was cut off is found by it.
int print_audit_end(const Database& database) {
  const auto end = audit_end(database);
  if (!end) return report_store(end.error());
  fmt::print("audit: {}, head {}\n", counted(end->number, "note"), end->hash);
  return kExitPass;
}

int run_info(const StoreArguments& arguments) {
  const auto database = open_store(arguments.store, OpenFor::reading);
  if (!database) return kExitInput;
  const CaseStore store(database);
  const auto page = store.search("", 1);
  if (!page) return report_store(page.error());
  const bool more = page->found > kMostCounted;
  fmt::print("{}\n{}{}{}\n", database->address().shown(), more ? "more than " : "",
             counted(more ? kMostCounted : page->found, "case"),
             database->kind() == DatabaseKind::embedded ? ", embedded" : ", database server");
  if (!page->cases.empty())
    fmt::print("last change: {} in \"{}\"\n", time_text(page->cases.front().changed),
               page->cases.front().name);
  return print_audit_end(*database);
}

int run_verify(const StoreArguments& arguments) {
  const auto database = open_store(arguments.store, OpenFor::reading);
  if (!database) return kExitInput;
  const auto problems = CaseStore(database).verify_all(
      arguments.audit_head.empty() ? std::nullopt
                                   : std::optional<std::string>(arguments.audit_head));
  if (!problems) return report_store(problems.error());
  for (const std::string& problem : *problems) fmt::print("{}\n", problem);
  if (problems->empty()) fmt::print("the store holds: every record, file and note is as stored\n");
  if (const int status = print_audit_end(*database); status != kExitPass) return status;
  return problems->empty() ? kExitPass : kExitFail;
}

// What left the store is known there, where it can be written to.
Stored<void> note_copy(const StoreAddress& source, const std::string& target) {
  const auto database = Database::open(source, OpenFor::writing, 1);
  if (!database || (*database)->is_read_only()) return {};
  return note_audit(**database, seat_here(""), "store copied to", target.substr(0, 400), "");
}

// Back-up, restore and moving are one act: all of one store into an empty other one.
int copy(const std::string& from_name, const std::string& to_name, bool to_new_file,
         bool notes_in_source) {
  const StoreAddress target = store_asked(to_name);
  std::error_code code;
  if (to_new_file && target.kind == DatabaseKind::embedded &&
      std::filesystem::exists(target.text, code)) {
    fmt::print(stderr, "{}: error: there is a file already; it was not touched\n", target.text);
    return kExitInput;
  }
  const auto from = open_store(from_name, OpenFor::reading);
  if (!from) return kExitInput;
  make_default_folder(to_name, target);
  const bool shows = isatty(fileno(stderr)) != 0;
  CopyOptions options;
  options.progress = [&](std::int64_t rows) {
    if (shows) fmt::print(stderr, "\r{} rows", rows);
  };
  // A back-up that is restored stays the file that it was.
  if (notes_in_source) options.note = [&] { return note_copy(from->address(), target.shown()); };
  const auto done = copy_store(*from, target, options);
  if (shows) fmt::print(stderr, "\r\033[K");
  if (!done) return report_store(done.error());
  fmt::print("{} -> {}: copied and verified\n", from->address().shown(), target.shown());
  return kExitPass;
}

int run_audit(const StoreArguments& arguments) {
  const auto database = open_store(arguments.store, OpenFor::reading);
  if (!database) return kExitInput;
  const auto entries = audit_entries(*database, arguments.after, arguments.limit);
  if (!entries) return report_store(entries.error());
  Rows rows;
  for (const AuditEntry& entry : *entries)
    rows.push_back({fmt::format("{}  {}", entry.number, time_text(entry.at).substr(0, 19)),
                    fmt::format("{}: {} {}{}{}", entry.who, entry.what, entry.subject,
                                entry.detail.empty() ? "" : ", ", entry.detail)});
  std::fputs(table_text(rows).c_str(), stdout);
  return kExitPass;
}

}  // namespace

void add_store(CLI::App& app, int& status) {
  auto arguments = std::make_shared<StoreArguments>();
  CLI::App* command = app.add_subcommand("store", "Where cases are kept: back-up, moving, proof");
  command->require_subcommand(1);

  CLI::App* info = command->add_subcommand("info", "Which store it is and what is in it");
  add_store_option(*info, arguments->store);
  info->callback([arguments, &status] { status = run_info(*arguments); });

  CLI::App* verify =
      command->add_subcommand("verify", "Whether every record, file and note is as it was stored");
  add_store_option(*verify, arguments->store);
  verify->add_option("--audit-head", arguments->audit_head,
                     "A head of the audit that was written down; it must still be in it");
  verify->callback([arguments, &status] { status = run_verify(*arguments); });

  CLI::App* backup =
      command->add_subcommand("backup", "Everything into a new file, while the store is in use");
  add_store_option(*backup, arguments->store);
  backup->add_option("FILE", arguments->target, "The back-up; must not be there yet")->required();
  backup->callback(
      [arguments, &status] { status = copy(arguments->store, arguments->target, true, true); });

  CLI::App* restore = command->add_subcommand("restore", "A back-up into a store that is empty");
  add_store_option(*restore, arguments->store);
  restore->add_option("FILE", arguments->target, "The back-up")->required();
  restore->callback(
      [arguments, &status] { status = copy(arguments->target, arguments->store, false, false); });

  CLI::App* move = command->add_subcommand(
      "move", "Everything into another store that is empty, for example a database server");
  move->add_option("FROM", arguments->store, "The store that is moved")->required();
  move->add_option("TO", arguments->target, "The new store: a file or postgresql://…")->required();
  move->callback(
      [arguments, &status] { status = copy(arguments->store, arguments->target, false, true); });
  move->footer("The old store is left as it is; lock it away once the new one is in use.");

  add_store_account(*command, status);

  CLI::App* audit = command->add_subcommand("audit", "Log-ins, exports, deletions: who and when");
  add_store_option(*audit, arguments->store);
  audit->add_option("--after", arguments->after, "Only what follows this number");
  audit->add_option("--limit", arguments->limit, "At most so many")->check(CLI::Range(1, 10000));
  audit->callback([arguments, &status] { status = run_audit(*arguments); });
}

}  // namespace tautmark::cli
