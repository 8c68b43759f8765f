// SPDX-License-Identifier: Apache-2.0
// `tautmark drive learn`: sprocket centers from a photo, or sensor edges from recordings of good
// engines (learn_edges.h), as lines for the drive file.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <memory>

#include "base/text.h"
#include "cli/commands.h"
#include "cli/learn_edges.h"
#include "drive/places.h"
#include "geometry/centers_from_photo.h"
#include "geometry/chain_length.h"
#include "judge/drive_paths.h"

namespace tautmark::cli {
namespace {

struct LearnArguments {
  std::string name, turned;
  std::vector<std::string> taps, rims, lengths, drives;
  double doubt = 2;
  bool from_behind = false;
  LearnEdgesArguments edges;
};

constexpr std::string_view kTapForm = "\"crank = 512, 830\"";
constexpr std::string_view kRimForm = "\"crank = 470, 830, 554, 830\"";
constexpr std::string_view kLengthForm = "\"100 mm = 220, 900, 420, 900\"";

int refused(const std::string& message, int status) {
  fmt::print(stderr, "{}\n", message);
  return status;
}

// "NAME = 1, 2, ..." with exactly `count` numbers.
struct Named {
  std::string name;
  std::vector<double> numbers;
};
std::optional<Named> named_numbers(const std::string& text, std::size_t count) {
  const std::size_t equals = text.rfind('=');
  if (equals == std::string::npos) return std::nullopt;
  Named named{std::string(trimmed(text.substr(0, equals))), {}};
  for (const std::string& part : split(text.substr(equals + 1), ',')) {
    const auto number = read_number(trimmed(part));
    if (!number) return std::nullopt;
    named.numbers.push_back(*number);
  }
  if (named.name.empty() || named.numbers.size() != count) return std::nullopt;
  return named;
}

// The chain and the teeth under which a place of this drive turns.
struct Wheel {
  const Chain* chain = nullptr;
  std::string place;
  int teeth = 0;
};
std::optional<Wheel> wheel_named(const Drive& drive, std::string_view place) {
  for (const Chain& chain : drive.chains)
    for (const std::string& wheel : wheels_of(drive, chain))
      if (same_place(wheel, place))
        return Wheel{&chain, wheel, teeth_under(drive, chain, wheel).value_or(0)};
  return std::nullopt;
}

std::string wheel_names(const Drive& drive) {
  std::vector<std::string> names;
  for (const Chain& chain : drive.chains)
    for (std::string& wheel : wheels_of(drive, chain))
      if (std::find(names.begin(), names.end(), wheel) == names.end())
        names.push_back(std::move(wheel));
  return joined(names, ", ");
}

// Reads everything that was typed; a sentence says what is wrong.
std::string read_photo(const LearnArguments& arguments, const Drive& drive, PhotoInputs& photo) {
  for (const std::string& text : arguments.taps) {
    const auto tap = named_numbers(text, 2);
    if (!tap) return fmt::format("--tap {}: for example --tap {}", text, kTapForm);
    const auto wheel = wheel_named(drive, tap->name);
    if (!wheel)
      return fmt::format("--tap {}: no wheel \"{}\" in this drive; there are: {}", text, tap->name,
                         wheel_names(drive));
    photo.centers.push_back({wheel->place, {tap->numbers[0], tap->numbers[1]}});
  }
  for (const std::string& text : arguments.rims) {
    const auto rim = named_numbers(text, 4);
    const auto wheel = rim ? wheel_named(drive, rim->name) : std::nullopt;
    if (!wheel || wheel->teeth == 0 || !wheel->chain->pitch)
      return fmt::format(
          "--rim {}: for example --rim {}; the drive must have the teeth of the "
          "wheel and the pitch of its chain",
          text, kRimForm);
    const auto diameter = pitch_diameter(wheel->chain->pitch->value, wheel->teeth);
    if (!diameter) return fmt::format("--rim {}: {}", text, diameter.error().why);
    photo.known.push_back({fmt::format("pitch circle of {}", wheel->place),
                           {rim->numbers[0], rim->numbers[1]},
                           {rim->numbers[2], rim->numbers[3]},
                           *diameter,
                           {}});
  }
  for (const std::string& text : arguments.lengths) {
    const auto known = named_numbers(text, 4);
    const auto length = known ? read_quantity(known->name, Kind::length)
                              : FromText<AnyQuantity>(tl::make_unexpected(TextError{}));
    if (!length) return fmt::format("--length {}: for example --length {}", text, kLengthForm);
    photo.known.push_back({known->name,
                           {known->numbers[0], known->numbers[1]},
                           {known->numbers[2], known->numbers[3]},
                           Length::from_si(length->si),
                           {}});
  }
  if (!arguments.turned.empty()) {
    const auto angle = read_quantity(arguments.turned, Kind::angle);
    if (!angle)
      return fmt::format("--turned {}: {}; for example --turned \"2 deg\"", arguments.turned,
                         angle.error().problem);
    photo.turned = Angle::from_si(angle->si);
  }
  const auto crank = std::find_if(photo.centers.begin(), photo.centers.end(),
                                  [](const auto& c) { return same_place(c.name, kCrank); });
  if (crank == photo.centers.end())
    return fmt::format("tap the crankshaft's center, too: --tap {}", kTapForm);
  std::rotate(photo.centers.begin(), crank, crank + 1);
  photo.from_behind = arguments.from_behind;
  photo.tap_uncertainty = arguments.doubt;
  return {};
}

const PlacedCenter* center_of(const PhotoCenters& found, const std::string& wheel) {
  for (const PlacedCenter& center : found.centers)
    if (same_place(center.name, wheel)) return &center;
  return nullptr;
}

// Do the centers fit the chain? The straight path against its links.
void print_fit(const Drive& drive, const Chain& chain, const PhotoCenters& found) {
  Chain placed = chain;
  placed.path.clear();
  for (const std::string& wheel : wheels_of(drive, chain)) {
    const PlacedCenter* center = center_of(found, wheel);
    if (center == nullptr) return;
    PathPart part;
    part.name = wheel;
    part.kind = PathKind::sprocket;
    part.x.value = center->at.x;
    part.y.value = center->at.y;
    placed.path.push_back(std::move(part));
  }
  const auto in = path_inputs(drive, placed);
  const auto path = in ? path_at(*in, {}) : Result<Path>(tl::make_unexpected(in.error()));
  if (!path) {
    fmt::print("# {}: {}\n", chain.name, path.error().why);
    return;
  }
  const double left = *chain.links - path->pitches;
  fmt::print("# {}: straight from wheel to wheel needs {:.1f} of {} links; {}\n", chain.name,
             path->pitches, *chain.links,
             left < 0
                 ? fmt::format("{:.1f} too many: a tap, the scale or the links are wrong", -left)
                 : fmt::format("{:.1f} links ({:.1f} mm) are left for guides and tensioner", left,
                               left * in_mm(in->pitch)));
}

int run_learn(const LearnArguments& arguments) {
  const auto loaded = load_drive(arguments.name, drive_folders(arguments.drives, arguments.name));
  if (!loaded) return report_input(loaded.error());
  if (arguments.edges.recordings.empty() == arguments.taps.empty())
    return refused("either --tap for coordinates from a photo, or --recordings for sensor edges",
                   kExitUsage);
  if (!arguments.edges.recordings.empty()) return run_learn_edges(arguments.edges, loaded->drive);
  PhotoInputs photo;
  if (const std::string problem = read_photo(arguments, loaded->drive, photo); !problem.empty())
    return refused(problem, kExitUsage);
  const auto found = centers_from_photo(photo);
  if (!found) return refused(found.error().why, kExitInput);
  fmt::print(
      "# from a photo; one pixel is {:.3f} mm (± {:.1f} %); enter guides, arm and plunger by "
      "hand\n",
      in_mm(found->per_pixel), 200 * found->scale_uncertainty.si());
  for (const Chain& chain : loaded->drive.chains) {
    std::string lines;
    for (const std::string& wheel : wheels_of(loaded->drive, chain)) {
      const PlacedCenter* center = center_of(*found, wheel);
      if (center == nullptr) continue;
      lines += fmt::format(
          "      - {{name: {}, kind: sprocket, x: {:.1f} mm, y: {:.1f} mm}}  # ± "
          "{:.1f} mm\n",
          wheel, in_mm(center->at.x) + 0.0, in_mm(center->at.y) + 0.0,
          2 * in_mm(center->uncertainty));
    }
    if (lines.empty()) continue;
    fmt::print("  - name: {}\n    path:\n{}", chain.name, lines);
    print_fit(loaded->drive, chain, *found);
  }
  return kExitPass;
}

}  // namespace

void add_drive_learn(CLI::App& drive, int& status) {
  auto arguments = std::make_shared<LearnArguments>();
  CLI::App* learn = drive.add_subcommand(
      "learn",
      "Coordinates of the wheels from a photo, or sensor edges from recordings of good engines, as "
      "lines for the drive file");
  learn->add_option("DRIVE", arguments->name, "Name of a drive, or a drive file")->required();
  const auto repeated = [&](const char* name, std::vector<std::string>& into, std::string help) {
    return learn->add_option(name, into, std::move(help))->allow_extra_args(false);
  };
  repeated("--tap", arguments->taps, fmt::format("Center of a wheel, in pixels: {}", kTapForm));
  repeated("--rim", arguments->rims,
           fmt::format("Scale: the pin line of a wheel from rim to rim: {}", kRimForm));
  repeated("--length", arguments->lengths, fmt::format("Scale: a known length: {}", kLengthForm));
  learn->add_option("--turned", arguments->turned,
                    "How far the photo must be turned, counterclockwise, to stand upright");
  learn->add_flag("--from-behind", arguments->from_behind, "Taken from the flywheel end");
  learn->add_option("--tap-doubt", arguments->doubt, "Doubt of a tap, in pixels")
      ->check(CLI::Range(0.1, 200.0));
  repeated("--drives", arguments->drives,
           "Folder where drive files are looked up; may be repeated");
  add_learn_edges_options(*learn, arguments->edges);
  learn->footer(
      "Take the photo square to the front of the drive, from far, wheels in the middle. Pixels\n"
      "count from the upper left corner. Edges are learned with every phaser at its base; "
      "channels\n"
      "count from 1 and are the same in all recordings. Exit status: 0 when the lines were\n"
      "written, 2 when a recording or the photo cannot be used, 64 wrong usage.");
  learn->callback([arguments, &status] { status = run_learn(*arguments); });
}

}  // namespace tautmark::cli
