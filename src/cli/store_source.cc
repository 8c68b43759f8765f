// SPDX-License-Identifier: Apache-2.0
#include "cli/store_source.h"

#include <fmt/format.h>
#include <pwd.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <cstdlib>
#include <filesystem>

#include "base/text.h"
#include "cli/commands.h"

namespace tautmark::cli {
namespace {

namespace fs = std::filesystem;

std::string set_in(const char* variable) {
  const char* value = std::getenv(variable);
  return value == nullptr ? std::string() : std::string(value);
}

fs::path data_folder() {
  if (const std::string own = set_in("XDG_DATA_HOME"); !own.empty())
    return fs::path(own) / "tautmark";
  if (const std::string home = set_in("HOME"); !home.empty())
    return fs::path(home) / ".local" / "share" / "tautmark";
  return ".";
}

}  // namespace

CLI::Option* add_store_option(CLI::App& command, std::string& store) {
  return command
      .add_option("--store", store,
                  "The store: a file, or postgresql://USER@HOST/NAME; default: $TAUTMARK_STORE, or "
                  "shop.store among your data")
      ->allow_extra_args(false);
}

StoreAddress store_asked(const std::string& said) {
  if (!said.empty()) return store_address(said);
  if (const std::string set = set_in("TAUTMARK_STORE"); !set.empty()) return store_address(set);
  return store_address((data_folder() / "shop.store").string());
}

void make_default_folder(const std::string& said, const StoreAddress& address) {
  if (!said.empty() || address.kind != DatabaseKind::embedded) return;
  std::error_code code;
  const fs::path folder = fs::path(address.text).parent_path();
  if (!folder.empty() && fs::create_directories(folder, code))
    fs::permissions(folder, fs::perms::owner_all, code);
}

std::shared_ptr<Database> open_store(const std::string& said, OpenFor mode, int sessions) {
  const StoreAddress address = store_asked(said);
  if (mode == OpenFor::writing_or_create) make_default_folder(said, address);
  auto opened = Database::open(address, mode, sessions);
  if (opened) return *opened;
  report_store(opened.error());
  return nullptr;
}

int report_store(const StoreError& error) {
  fmt::print(stderr, "error: {}\n", error.message);
  return kExitInput;
}

std::string seat_here(const std::string& said) {
  if (!trimmed(said).empty()) return std::string(trimmed(said));
  const passwd* user = getpwuid(getuid());
  return fmt::format("{} (this machine)", user == nullptr ? "somebody" : user->pw_name);
}

}  // namespace tautmark::cli
