// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <exception>

#include "cli/commands.h"
#include "report/version.h"

int main(int argc, char** argv) {
  using namespace tautmark;
  int status = 0;
  try {
    CLI::App app{"Tautmark: the camshaft timing drive of a piston engine, measured and judged"};
    app.name("tautmark");
    app.set_version_flag("--version", program_version());
    app.require_subcommand(1);
    cli::add_judge(app, status);
    cli::add_drive(app, status);
    cli::add_quick(app, status);
    cli::add_case(app, status);
    cli::add_formats(app, status);
    try {
      app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
      const int code = app.exit(error);
      return code == 0 ? 0 : cli::kExitUsage;
    }
  } catch (const std::exception& error) {
    fmt::print(stderr, "tautmark: internal error: {}\n", error.what());
    return 70;
  }
  return status;
}
