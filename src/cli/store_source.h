// SPDX-License-Identifier: Apache-2.0
// Which store a command works on, and how what went wrong there is said.
#pragma once

#include <memory>
#include <string>

#include "store/cases.h"

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace tautmark::cli {

// --store, else $TAUTMARK_STORE, else shop.store in the user's own data folder
// ($XDG_DATA_HOME/tautmark).
CLI::Option* add_store_option(CLI::App& command, std::string& store);
StoreAddress store_asked(const std::string& said);

// The folder of the embedded default is made, for its owner alone; any other must be there.
void make_default_folder(const std::string& said, const StoreAddress& address);

// Opens it; makes the embedded default (and its folder) where `mode` allows. Nothing and a sentence
// on standard error when that fails.
std::shared_ptr<Database> open_store(const std::string& said, OpenFor mode, int sessions = 2);

// Prints the sentence; the exit status.
int report_store(const StoreError& error);

// "name (this machine)": who is noted where nobody logs in.
std::string seat_here(const std::string& said);

}  // namespace tautmark::cli
