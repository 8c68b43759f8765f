// SPDX-License-Identifier: Apache-2.0
// `tautmark clearance ... --plot F`: the map of a camshaft, or a section through one of its valves.
#pragma once

#include <CLI/App.hpp>
#include <optional>
#include <string>

#include "drive/load.h"
#include "judge/way_answer.h"

namespace tautmark::cli {

struct ClearancePlotArguments {
  std::string file, cam, paper = "screen";
  std::optional<std::string> section;
};
void add_plot_options(CLI::App& command, ClearancePlotArguments& arguments);

// Writes the drawing: with a way that was searched the map of it, else the map by error, with what
// was measured on the engine of a case. Exit status, kExitPass when it is written or none was
// asked for.
int write_clearance_plot(const ClearancePlotArguments& arguments, const LoadedDrive& drive,
                         const Case* engine = nullptr, const WayAnswer* way = nullptr);

}  // namespace tautmark::cli
