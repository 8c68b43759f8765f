// SPDX-License-Identifier: Apache-2.0
// `tautmark drive draw`: the drive as a drawing, at any crank angle, with what stands wrong.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <memory>

#include "base/text.h"
#include "cli/commands.h"
#include "draw/drive_svg.h"
#include "draw/figure_of_drive.h"
#include "drive/places.h"
#include "judge/path_lint.h"

namespace tautmark::cli {
namespace {

struct DrawArguments {
  std::string name, svg, crank, paper = "screen";
  std::vector<std::string> off, worn, groove, drives;
  bool mirrored = false, strands = false, numbers = false;
  int width = 800, frames = 0;
};

int wrong(const std::string& message) {
  fmt::print(stderr, "{}\n", message);
  return kExitUsage;
}

// Farther off nothing is a tooth error; deeper no groove, farther no turning by hand.
constexpr double kMostTeethOff = 12;
constexpr Length kDeepestGroove = mm(10);
constexpr CrankAngle kFarthestCrank = crank_deg(36000);

// "A = B" into its two sides.
std::optional<std::pair<std::string, std::string>> sides(const std::string& text) {
  const std::size_t equals = text.rfind('=');
  if (equals == std::string::npos) return std::nullopt;
  return std::pair{std::string(trimmed(text.substr(0, equals))),
                   std::string(trimmed(text.substr(equals + 1)))};
}

// "1 tooth late", "half a tooth early", "1.5 teeth late": teeth, positive early.
std::optional<double> teeth_early(const std::string& words) {
  const auto parts = split(folded(words), ' ');
  const bool early = std::find(parts.begin(), parts.end(), "early") != parts.end();
  const bool late = std::find(parts.begin(), parts.end(), "late") != parts.end();
  if (early == late || parts.empty()) return std::nullopt;
  double teeth = 0;
  if (parts.front() == "half") {
    teeth = 0.5;
  } else {
    const auto number = read_number(parts.front());
    if (!number || *number < 0 || *number > kMostTeethOff || std::floor(2 * *number) != 2 * *number)
      return std::nullopt;
    teeth = *number;
  }
  return early ? teeth : -teeth;
}

const Chain* chain_named(const Drive& drive, const std::string& name) {
  for (const Chain& chain : drive.chains)
    if (same_place(chain.name, name)) return &chain;
  return nullptr;
}

std::string chain_names(const Drive& drive) {
  std::vector<std::string> names;
  for (const Chain& chain : drive.chains) names.push_back(chain.name);
  return joined(names, ", ");
}

// What is wrong with the arguments, as a sentence; empty: nothing.
std::string read_state(const DrawArguments& arguments, const Drive& drive, FigureState& state) {
  if (!arguments.crank.empty()) {
    const auto angle = read_quantity(arguments.crank, Kind::crank_angle);
    if (!angle)
      return fmt::format("--crank {}: {}; for example --crank \"35 deg crank\"", arguments.crank,
                         angle.error().problem);
    state.crank = CrankAngle::from_si(angle->si);
    if (!(std::abs(state.crank.si()) <= kFarthestCrank.si()))
      return fmt::format("--crank {}: at most a hundred turns", arguments.crank);
  }
  for (const std::string& text : arguments.off) {
    const auto pair = sides(text);
    const auto teeth = pair ? teeth_early(pair->second) : std::nullopt;
    if (!teeth)
      return fmt::format(
          "--off {}: say which wheel, how many teeth and which way; for example --off \"bank 1 / "
          "camshaft = 1 tooth late\"",
          text);
    std::vector<std::string> wheels;
    for (const Chain& chain : drive.chains) {
      const auto under = wheels_of(drive, chain);
      for (std::size_t i = 1; i < under.size(); ++i) wheels.push_back(under[i]);
    }
    const auto found = std::find_if(wheels.begin(), wheels.end(), [&](const std::string& wheel) {
      return same_place(wheel, pair->first);
    });
    if (found == wheels.end())
      return fmt::format("--off {}: no driven wheel \"{}\"; there are: {}", text, pair->first,
                         joined(wheels, ", "));
    state.teeth_early[*found] = *teeth;
  }
  for (const std::string& text : arguments.worn) {
    const auto pair = sides(text);
    const Chain* chain = pair ? chain_named(drive, pair->first) : nullptr;
    const auto ratio = pair ? read_quantity(pair->second, Kind::ratio)
                            : FromText<AnyQuantity>(tl::make_unexpected(TextError{}));
    if (chain == nullptr || !ratio)
      return fmt::format("--worn {}: for example --worn \"{} = 0.28 %\"; chains: {}", text,
                         drive.chains.empty() ? "chain" : drive.chains.front().name,
                         chain_names(drive));
    state.wear[chain->name].elongation = Ratio::from_si(ratio->si);
  }
  for (const std::string& text : arguments.groove) {
    const auto pair = sides(text);
    const auto depth = pair ? read_quantity(pair->second, Kind::length)
                            : FromText<AnyQuantity>(tl::make_unexpected(TextError{}));
    const auto place = pair ? split(pair->first, '/') : std::vector<std::string>{};
    const Chain* chain = place.size() == 2 ? chain_named(drive, place[0]) : nullptr;
    const bool known = chain != nullptr &&
                       std::any_of(chain->path.begin(), chain->path.end(), [&](const auto& part) {
                         return folded(part.name) == folded(place[1]);
                       });
    if (depth && (depth->si < 0 || depth->si > kDeepestGroove.si()))
      return fmt::format("--groove {}: 0 to {:.0f} mm", text, in_mm(kDeepestGroove));
    if (!depth || !known)
      return fmt::format(
          "--groove {}: for example --groove \"bank 2 chain / tensioner arm = 0.6 mm\", with a "
          "guide that has a place in the drive; chains: {}",
          text, chain_names(drive));
    state.wear[chain->name].grooves[place[1]] = Length::from_si(depth->si);
  }
  return {};
}

int write_frames(const DrawArguments& arguments, const Drive& drive, FigureState state,
                 const DrawOptions& options) {
  namespace fs = std::filesystem;
  std::error_code code;
  fs::create_directories(arguments.svg, code);
  for (int frame = 0; frame < arguments.frames; ++frame) {
    state.crank = crank_deg(720.0 * frame / arguments.frames);
    const auto figure = figure_of(drive, state);
    if (!figure) return wrong(figure.error().why);
    const fs::path file = fs::path(arguments.svg) / fmt::format("frame-{:04d}.svg", frame);
    if (!write_output(file.string(), drive_svg(*figure, options))) return kExitInput;
  }
  return kExitPass;
}

int run_draw(const DrawArguments& arguments) {
  const auto loaded = load_drive(arguments.name, drive_folders(arguments.drives, arguments.name));
  if (!loaded) return report_input(loaded.error());
  FigureState state;
  if (const std::string problem = read_state(arguments, loaded->drive, state); !problem.empty())
    return wrong(problem);
  DrawOptions options;
  options.paper = *paper_named(arguments.paper);
  options.mirrored = arguments.mirrored;
  options.link_numbers = arguments.numbers;
  options.width_px = arguments.width;
  if (arguments.strands && !state.teeth_early.empty())
    return wrong("--strands shows the chain as it belongs; --off goes with the drive itself");
  const auto figure = figure_of(loaded->drive, state);
  if (!figure) {
    const Diagnostics found = path_lint(*loaded);
    if (has_errors(found)) return report_input(found);
    fmt::print(stderr, "cannot be drawn: {}\n", figure.error().why);
    return kExitInput;
  }
  if (arguments.frames > 0) return write_frames(arguments, loaded->drive, state, options);
  const std::string svg =
      arguments.strands ? strands_svg(*figure, options) : drive_svg(*figure, options);
  return write_output(arguments.svg.empty() ? "-" : arguments.svg, svg) ? kExitPass : kExitInput;
}

}  // namespace

void add_drive_draw(CLI::App& drive, int& status) {
  auto arguments = std::make_shared<DrawArguments>();
  CLI::App* draw = drive.add_subcommand("draw", "The drive as a drawing (SVG)");
  draw->add_option("DRIVE", arguments->name, "Name of a drive, or a drive file")->required();
  CLI::Option* svg = draw->add_option("--svg", arguments->svg,
                                      "File to write; without it, standard output. With --frames: "
                                      "a folder");
  draw->add_option("--crank", arguments->crank, "Crank turned on from its marks: \"35 deg crank\"");
  draw->add_option("--off", arguments->off, "A wheel that stands wrong: \"PLACE = 1 tooth late\"")
      ->allow_extra_args(false);
  draw->add_option("--worn", arguments->worn, "A worn chain: \"CHAIN = 0.28 %\"")
      ->allow_extra_args(false);
  draw->add_option("--groove", arguments->groove, "A worn guide or arm: \"CHAIN / GUIDE = 0.6 mm\"")
      ->allow_extra_args(false);
  draw->add_flag("--mirrored", arguments->mirrored, "As seen from the flywheel end");
  draw->add_flag("--strands", arguments->strands,
                 "The chains laid straight, strand by strand, with link numbers");
  draw->add_flag("--numbers", arguments->numbers, "Number the links");
  draw->add_option("--paper", arguments->paper, "screen, dark or print (black and white)")
      ->check(CLI::IsMember({"screen", "dark", "print"}));
  draw->add_option("--width", arguments->width, "Width in pixels")->check(CLI::Range(200, 20000));
  draw->add_option("--frames", arguments->frames, "So many drawings over two crank turns")
      ->check(CLI::Range(1, 2000))
      ->needs(svg);
  draw->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  draw->footer(
      "Without coordinates in the drive the drawing is a schematic, not to scale; teeth, links "
      "and\n"
      "their counts are true. Exit status: 0.");
  draw->callback([arguments, &status] { status = run_draw(*arguments); });
}

}  // namespace tautmark::cli
