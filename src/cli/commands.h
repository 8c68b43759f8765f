// SPDX-License-Identifier: Apache-2.0
// The commands of the program. Each adds itself to the command line and returns an exit status.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "drive/load.h"

namespace CLI {
class App;
}  // namespace CLI

namespace tautmark::cli {

inline constexpr int kExitPass = 0;
inline constexpr int kExitFail = 1;
inline constexpr int kExitInput = 2;
inline constexpr int kExitOpen = 3;
inline constexpr int kExitUsage = 64;

// Set by the command that ran.
void add_judge(CLI::App& app, int& status);
void add_drive(CLI::App& app, int& status);
void add_parts(CLI::App& app, int& status);
void add_procedure(CLI::App& app, int& status);
void add_quick(CLI::App& app, int& status);
void add_case(CLI::App& app, int& status);
void add_formats(CLI::App& app, int& status);
void add_recording(CLI::App& app, int& status);
void add_store(CLI::App& app, int& status);
void add_serve(CLI::App& app, int& status);
void add_clearance(CLI::App& app, int& status);
void add_oil(CLI::App& app, int& status);
void add_tighten(CLI::App& app, int& status);

// Subcommands of `case` in a file of their own: pack, unpack, verify.
void add_case_pack(CLI::App& case_app, int& status);

// Subcommands of `drive`, each in a file of its own.
void add_drive_new(CLI::App& drive, int& status);
void add_drive_show(CLI::App& drive, int& status);
void add_drive_compare(CLI::App& drive, int& status);
void add_drive_draw(CLI::App& drive, int& status);
void add_drive_learn(CLI::App& drive, int& status);
// Subcommands of `store`, of `case`.
void add_store_account(CLI::App& store, int& status);
void add_case_store(CLI::App& group, int& status);
// What `drive check` prints; its exit status.
int check_drive(const std::string& name, const std::vector<std::string>& drives);

// Where drives are looked up: --drives, $TAUTMARK_DRIVES, folders named "drives" beside the case
// and above it, beside where one stands and above it, and the drives that come with the program.
DriveFolders drive_folders(const std::vector<std::string>& named, const std::string& beside);

// Prints every diagnostic on standard error; the status for input that could not be used.
int report_input(const Diagnostics& diagnostics);

// "-" is standard output; otherwise the file appears whole or not at all.
bool write_output(const std::string& file, const std::string& text);

// Writes a file that is not there yet, whole or not at all. An existing one is never touched.
bool write_new_file(const std::string& file, const std::string& text);

}  // namespace tautmark::cli
