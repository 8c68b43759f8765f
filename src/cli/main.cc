// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <exception>

#include "base/text.h"
#include "cli/commands.h"
#include "report/version.h"

namespace {

// A first word that is no command is named, with the nearest.
std::optional<std::string> unknown_command(const CLI::App& app, int argc, char** argv) {
  if (argc < 2 || argv[1][0] == '-') return std::nullopt;
  std::vector<std::string> known;
  for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; }))
    known.push_back(command->get_name());
  if (std::find(known.begin(), known.end(), argv[1]) != known.end()) return std::nullopt;
  const auto near = tautmark::nearest(argv[1], known);
  return near ? fmt::format("no command \"{}\"; did you mean \"{}\"?", argv[1], *near)
              : fmt::format("no command \"{}\"; known: {}", argv[1], tautmark::joined(known, ", "));
}

}  // namespace

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
    cli::add_procedure(app, status);
    cli::add_parts(app, status);
    cli::add_quick(app, status);
    cli::add_case(app, status);
    cli::add_formats(app, status);
    cli::add_recording(app, status);
    cli::add_clearance(app, status);
    cli::add_oil(app, status);
    cli::add_tighten(app, status);
    cli::add_store(app, status);
    cli::add_serve(app, status);

    try {
      if (const auto wrong = unknown_command(app, argc, argv)) {
        fmt::print(stderr, "{}\n", *wrong);
        return cli::kExitUsage;
      }
      app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
      if (app.exit(error) != 0) return cli::kExitUsage;
    }
  } catch (const std::exception& error) {
    fmt::print(stderr, "tautmark: internal error: {}\n", error.what());
    return 70;
  }
  // A full disk must not look like an answer.
  if (std::fflush(stdout) != 0 || std::ferror(stdout) != 0) {
    std::fputs("tautmark: standard output cannot be written\n", stderr);
    return cli::kExitInput;
  }
  return status;
}
