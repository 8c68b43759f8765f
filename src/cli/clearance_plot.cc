// SPDX-License-Identifier: Apache-2.0
#include "cli/clearance_plot.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>

#include "base/text.h"
#include "cli/commands.h"
#include "draw/plot_of_clearance.h"
#include "drive/places.h"
#include "judge/gap_words.h"

namespace tautmark::cli {
namespace {

constexpr int kMostTeeth = 12;  // farther off nothing is a tooth error

int wrong(const std::string& message, int status = kExitUsage) {
  fmt::print(stderr, "{}\n", message);
  return status;
}

// "2 teeth early", "right", "1 tooth late, full retard".
std::optional<SectionAsked> asked_of(const std::string& words) {
  const std::size_t comma = words.find(',');
  const std::string error = folded(words.substr(0, comma));
  SectionAsked asked;
  if (comma != std::string::npos) asked.phaser = folded(words.substr(comma + 1));
  for (asked.teeth = -kMostTeeth; asked.teeth <= kMostTeeth; ++asked.teeth)
    if (teeth_words(asked.teeth) == error) return asked;
  return std::nullopt;
}

int write_section(const ClearancePlotArguments& arguments, const LoadedDrive& drive,
                  const Case* engine, const std::string& camshaft, const PlotOptions& options) {
  auto asked = asked_of(*arguments.section);
  if (!asked)
    return wrong(
        fmt::format("--section \"{}\": for example \"2 teeth early\", \"right\", \"1 tooth late, "
                    "full retard\"",
                    *arguments.section));
  asked->camshaft = camshaft;
  const auto svg = clearance_section_svg(drive, *asked, options, engine);
  if (!svg)
    return wrong("--section: " + svg.error().why,
                 svg.error().why.starts_with("NOT KNOWN") ? kExitOpen : kExitUsage);
  return write_output(arguments.file, *svg) ? kExitPass : kExitInput;
}

}  // namespace

void add_plot_options(CLI::App& command, ClearancePlotArguments& arguments) {
  auto* plot = command.add_option("--plot", arguments.file,
                                  "Write an SVG: the map of one camshaft; - is standard output");
  command
      .add_option("--cam", arguments.cam,
                  "Which camshaft, for example \"bank 1 / intake camshaft\"")
      ->needs(plot);
  command
      .add_option(
          "--section", arguments.section,
          "Valve and piston where they are nearest instead: \"2 teeth early\", \"right\", \"1 "
          "tooth late, full retard\"")
      ->needs(plot);
  command.add_option("--paper", arguments.paper, "Colors of the drawing")
      ->check(CLI::IsMember({"screen", "dark", "print"}))
      ->capture_default_str()
      ->needs(plot);
}

int write_clearance_plot(const ClearancePlotArguments& arguments, const LoadedDrive& drive,
                         const Case* engine, const WayAnswer* way) {
  if (arguments.file.empty()) return kExitPass;
  const std::vector<ValvesOfCam> valves = valves_of(drive, engine);
  const std::vector<std::string> camshafts = camshafts_of(valves);
  auto found = camshafts.begin();
  if (!arguments.cam.empty())
    found = std::find_if(camshafts.begin(), camshafts.end(),
                         [&](const std::string& one) { return same_place(one, arguments.cam); });
  if (found == camshafts.end()) {
    if (camshafts.empty())
      return wrong("--plot: no valves in the definition: nothing is drawn from nothing", kExitOpen);
    return wrong(fmt::format("--cam {}: there are: {}", arguments.cam, joined(camshafts, "; ")));
  }
  const PlotOptions options{.paper = *paper_named(arguments.paper)};
  if (arguments.section) return write_section(arguments, drive, engine, *found, options);
  std::string svg;
  if (way != nullptr)
    for (std::size_t i = 0; i < way->engine.camshafts.size() && svg.empty(); ++i)
      if (same_place(way->engine.camshafts[i].name, *found))
        svg = clearance_map_svg(drive, *way, i, options);
  if (svg.empty()) svg = clearance_map_svg(plot_of_gaps(drive, valves, *found), options);
  return write_output(arguments.file, svg) ? kExitPass : kExitInput;
}

}  // namespace tautmark::cli
