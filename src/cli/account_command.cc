// SPDX-License-Identifier: Apache-2.0
// `tautmark store account`: who may log in, for whoever sits at the machine of the store. Also the
// way back in when the only manager has lost the password.
#include <fmt/format.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <fstream>
#include <iostream>
#include <memory>

#include "cli/commands.h"
#include "cli/store_source.h"
#include "cli/words.h"
#include "serve/share.h"
#include "store/accounts.h"

namespace tautmark::cli {
namespace {

struct AccountArguments {
  std::string store, seat, name, role = "write", password_file;
  bool back = false;
};

// The first line of the file, or typed twice without echo.
std::optional<std::string> password_asked(const AccountArguments& arguments) {
  if (!arguments.password_file.empty()) {
    std::ifstream in(arguments.password_file);
    std::string line;
    if (std::getline(in, line)) return line;
    fmt::print(stderr, "{}: error: cannot be read, or is empty\n", arguments.password_file);
    return std::nullopt;
  }
  if (isatty(STDIN_FILENO) == 0) {
    fmt::print(stderr, "error: give the password with --password-file FILE\n");
    return std::nullopt;
  }
  Talk talk{std::cin, std::cerr, STDIN_FILENO};
  const auto first = ask_secret(talk, "New password (10 characters or more): ");
  if (!first) return std::nullopt;
  const auto again = ask_secret(talk, "The same again: ");
  if (again == first) return first;
  fmt::print(stderr, "error: these two differ; nothing was changed\n");
  return std::nullopt;
}

int run_list(const AccountArguments& arguments) {
  const auto database = open_store(arguments.store, OpenFor::reading, 1);
  if (!database) return kExitInput;
  const auto all = accounts(*database);
  if (!all) return report_store(all.error());
  Rows rows;
  for (const Account& account : *all)
    rows.push_back({account.name, std::string(role_name(account.role)),
                    account.has_pin ? "PIN" : "no PIN", account.disabled ? "disabled" : ""});
  std::fputs(table_text(rows).c_str(), stdout);
  if (rows.empty()) fmt::print(stderr, "nobody yet; the first one is made by serve --share\n");
  return kExitPass;
}

// Runs one act on the store; prints what was done.
template <class Act>
int run_act(const AccountArguments& arguments, const std::string& done_words, const Act& act) {
  const auto database = open_store(arguments.store, OpenFor::writing, 1);
  if (!database) return kExitInput;
  const auto done = act(*database, seat_here(arguments.seat));
  if (!done) return report_store(done.error());
  fmt::print("{}: {}\n", arguments.name, done_words);
  return kExitPass;
}

int run_add(const AccountArguments& arguments) {
  const auto role = role_of(arguments.role);
  const auto password = password_asked(arguments);
  if (!role || !password) return kExitInput;
  return run_act(arguments, "may log in", [&](const Database& database, const std::string& who) {
    return add_account(database, arguments.name, *role, *password, who);
  });
}

int run_password(const AccountArguments& arguments) {
  const auto password = password_asked(arguments);
  if (!password) return kExitInput;
  return run_act(arguments, "has a new password and is logged out everywhere",
                 [&](const Database& database, const std::string& who) {
                   return set_password(database, arguments.name, *password, who);
                 });
}

int run_role(const AccountArguments& arguments) {
  const auto role = role_of(arguments.role);
  return run_act(arguments, fmt::format("may {}", arguments.role),
                 [&](const Database& database, const std::string& who) {
                   return set_role(database, arguments.name, *role, who);
                 });
}

int run_disable(const AccountArguments& arguments) {
  return run_act(arguments, arguments.back ? "may log in again" : "may not log in any more",
                 [&](const Database& database, const std::string& who) {
                   return set_disabled(database, arguments.name, !arguments.back, who);
                 });
}

CLI::App* act_command(CLI::App& group, AccountArguments& arguments, const std::string& name,
                      const std::string& help) {
  CLI::App* command = group.add_subcommand(name, help);
  command->add_option("NAME", arguments.name, "Name of the account")->required();
  add_store_option(*command, arguments.store);
  command->add_option("--seat", arguments.seat, "Who does it, for the record");
  return command;
}

}  // namespace

void add_store_account(CLI::App& store, int& status) {
  auto arguments = std::make_shared<AccountArguments>();
  CLI::App* group = store.add_subcommand("account", "Who may log in to the shared server");
  group->require_subcommand(1);
  const auto role_option = [&](CLI::App* command) {
    return command->add_option("--role", arguments->role, "read, write or manage")
        ->check(CLI::IsMember({"read", "write", "manage"}));
  };
  const auto password_option = [&](CLI::App* command) {
    command->add_option("--password-file", arguments->password_file,
                        "Its first line is the password; without it, it is asked for");
  };

  CLI::App* list = group->add_subcommand("list", "All accounts");
  add_store_option(*list, arguments->store);
  list->callback([arguments, &status] { status = run_list(*arguments); });

  CLI::App* add = act_command(*group, *arguments, "add", "A new account");
  role_option(add);
  password_option(add);
  add->callback([arguments, &status] { status = run_add(*arguments); });

  CLI::App* password =
      act_command(*group, *arguments, "password", "A new password, when it was lost");
  password_option(password);
  password->callback([arguments, &status] { status = run_password(*arguments); });

  CLI::App* role = act_command(*group, *arguments, "role", "What somebody may do");
  role_option(role)->required();
  role->callback([arguments, &status] { status = run_role(*arguments); });

  CLI::App* disable = act_command(*group, *arguments, "disable", "Nobody logs in by it any more");
  disable->add_flag("--back", arguments->back, "Somebody may again");
  disable->callback([arguments, &status] { status = run_disable(*arguments); });
}

}  // namespace tautmark::cli
