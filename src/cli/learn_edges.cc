// SPDX-License-Identifier: Apache-2.0
#include "cli/learn_edges.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>

#include "base/text.h"
#include "base/tree.h"
#include "cli/commands.h"
#include "cli/recording_drive.h"
#include "drive/drive_fields.h"
#include "drive/places.h"
#include "recording/learn.h"
#include "recording/read.h"

namespace tautmark::cli {
namespace {

int refused(int status, const std::string& message) {
  fmt::print(stderr, "{}\n", message);
  return status;
}

// Edges hold for a phaser at its base; that must be in the words, and nothing that takes it back.
bool says_base(const std::string& words) {
  const std::string text = folded(words);
  const auto has = [&](std::string_view part) { return text.find(part) != std::string::npos; };
  for (const std::string_view no :
       {"unknown", "not ", "unlocked", "off base", "off its base", "off their base", "commanded"})
    if (has(no)) return false;
  return has("lock") || has("base") || has("park") || has("no phaser");
}

std::string missing_words(const LearnEdgesArguments& arguments) {
  if (trimmed(arguments.phasers).empty())
    return "--phasers: in which state were they recorded? For example --phasers \"locked, warm "
           "idle\"; from a recording whose phasers' state is not known nothing is learned";
  if (!says_base(arguments.phasers))
    return fmt::format(
        "--phasers \"{}\": edges are learned with every phaser at its base only. Say so in these "
        "words: locked, at base, parked, or no phasers",
        arguments.phasers);
  if (trimmed(arguments.vouched_by).empty())
    return "--vouched-by: who says that these engines are good, and why? For example --vouched-by "
           "\"second line: link counts and marks proven\"";
  if (arguments.window.empty() != trimmed(arguments.window_by).empty())
    return "--window and --window-by belong together: how far an edge may be off is decided by the "
           "maker or the shop, in words of their own";
  return {};
}

std::vector<std::string> camshafts_of(const Drive& drive) {
  std::vector<std::string> paths;
  for (const EnginePlace& place : places_of(drive))
    if (place.type == PlaceType::camshaft) paths.push_back(place.path);
  return paths;
}

// What the drive says of its sensors, and the channels that were said.
Nominals asked_of(const Drive& drive, const std::vector<ChannelHint>& hints) {
  const Nominals known = nominals_of(drive, hints);
  Nominals asked = known;
  asked.cams.clear();
  for (const std::string& path : camshafts_of(drive))
    for (const ChannelHint& hint : hints) {
      if (!same_place(hint.is, path)) continue;
      NominalCam cam{path, hint.channel, {}};
      for (const NominalCam& has : known.cams)
        if (has.cam == path) cam.edges = has.edges;
      asked.cams.push_back(std::move(cam));
    }
  return asked;
}

// One camshaft and one cam signal need no word; everything else does.
void take_the_only_one(const Drive& drive, const Decoded& first, Nominals& asked) {
  const std::vector<std::string> paths = camshafts_of(drive);
  if (!asked.cams.empty() || paths.size() != 1 || first.cams.empty()) return;
  const int channel = first.cams.front().channel;
  for (const DecodedCam& cam : first.cams)
    if (cam.channel != channel) return;
  Nominals known = nominals_of(drive);
  NominalCam cam{paths.front(), channel, {}};
  if (!known.cams.empty()) cam.edges = known.cams.front().edges;
  asked.cams.push_back(std::move(cam));
}

Result<std::vector<GoodEngine>> engines_of(const LearnEdgesArguments& arguments,
                                           const Nominals& asked, int& status) {
  std::vector<GoodEngine> engines;
  DecodeOptions options = decode_options(asked);
  for (const std::string& file : arguments.recordings) {
    const std::filesystem::path path(file);
    for (const std::string& other : arguments.recordings) {
      std::error_code none;
      if (&other < &file && std::filesystem::equivalent(path, other, none))
        return tl::unexpected<Refusal>(Refusal{file + ": the same recording twice"});
    }
    const auto trains = read_recording(file);
    if (!trains) {
      status = report_input(trains.error());
      return tl::unexpected<Refusal>(Refusal{});
    }
    auto decoded = decode_recording(*trains, options);
    if (!decoded) return tl::unexpected<Refusal>(Refusal{file + ": " + decoded.error().why});
    options.crank_polarity = decoded->crank.polarity;
    engines.push_back({path.filename().string(), std::move(*decoded)});
  }
  return engines;
}

Written<CrankAngle> angle_written(double degrees, int decimals = 2) {
  const std::string number = fmt::format("{:.{}f}", degrees, decimals);
  return {CrankAngle::from_si(std::stod(number) * kRadiansPerDegree), number + " deg crank"};
}

CamSensor sensor_of(const LearnedCam& cam, const LearnedNominals& learned,
                    const LearnEdgesArguments& arguments, const CamSensor* present) {
  CamSensor sensor;
  if (present != nullptr) sensor.wheel = present->wheel;
  const EdgeSense sense = cam.polarity > 0 ? EdgeSense::rising : EdgeSense::falling;
  for (const LearnedEdge& edge : cam.edges)
    sensor.edges.push_back({angle_written(edge.angle), sense});
  if (cam.spread) sensor.spread = angle_written(*cam.spread);
  sensor.engines = static_cast<int>(learned.used.size());
  sensor.learned_with = arguments.phasers;
  sensor.vouched_by = arguments.vouched_by;
  SourceRef source;
  source.origin = Origin::shop;
  source.document = fmt::format("edges learned from {} known-good engine{}", learned.used.size(),
                                learned.used.size() == 1 ? "" : "s");
  if (!arguments.variant.empty()) *source.document += ", " + arguments.variant;
  if (!arguments.window_by.empty()) *source.document += "; window: " + arguments.window_by;
  sensor.source = std::move(source);
  return sensor;
}

std::string indented(const std::string& text, std::size_t by) {
  std::string out;
  for (const std::string& line : split(text, '\n'))
    if (!line.empty()) out += std::string(by, ' ') + line + "\n";
  return out;
}

void print_remarks(const LearnedNominals& learned, const std::vector<GoodEngine>& engines) {
  fmt::print(
      "# Sensor edges from {} engine{} known to be good; put the sections into the drive file.\n",
      learned.used.size(), learned.used.size() == 1 ? "" : "s");
  std::size_t used = 0;
  for (const GoodEngine& engine : engines) {
    if (used == learned.used.size() || engine.name != learned.used[used]) continue;
    std::vector<std::string> parts;
    for (const LearnedCam& cam : learned.cams)
      parts.push_back(fmt::format("{} {}", cam.cam, phase_words(cam.phases[used])));
    fmt::print("#   {}: {}{}\n", engine.name, joined(parts, "; "),
               learned.used.size() > 1 ? ", of their mean" : "");
    ++used;
  }
  for (const std::string& left : learned.left_out)
    fmt::print("# LEFT OUT, find out why: {}\n", left);
  for (const LearnedCam& cam : learned.cams)
    if (learned.used.size() > 1)
      fmt::print("# {}: {:.2f}° standard deviation between these engines\n", cam.cam, cam.seen);
  for (const std::string& note : learned.notes) fmt::print("# {}\n", note);
}

// What the definition has now: a reader should know before it is replaced.
void print_change(const LearnedCam& cam, const NominalCam& present) {
  double sum = 0;
  int n = 0;
  for (const NominalEdge& edge : present.edges) {
    if (edge.polarity != cam.polarity) continue;
    double nearest = 720;
    for (const LearnedEdge& learned : cam.edges)
      if (const double off = wrapped(edge.angle - learned.angle); std::abs(off) < std::abs(nearest))
        nearest = off;
    sum += nearest;
    ++n;
  }
  if (n > 0) fmt::print("# {}: {} of the present definition\n", cam.cam, phase_words(sum / n));
}

void print_sections(const LearnedNominals& learned, const LearnEdgesArguments& arguments,
                    const Drive& drive, const std::optional<Written<CrankAngle>>& window) {
  CrankSensor crank;
  if (drive.crankshaft && drive.crankshaft->sensor) crank = *drive.crankshaft->sensor;
  crank.wheel = replaced(learned.crank_wheel, " uniform", "");
  crank.edge = learned.crank_polarity > 0 ? EdgeSense::rising : EdgeSense::falling;
  crank.kind = learned.crank_is_coil ? SensorKind::inductive : SensorKind::hall;
  if (learned.crank_gap != 0)
    crank.gap = learned.crank_gap > 0 ? SignalLevel::high : SignalLevel::low;
  fmt::print("crankshaft:\n  sensor:\n{}banks:\n", indented(yaml_text(write_record(crank)), 4));
  for (const Bank& bank : drive.banks) {
    std::string lines;
    for (const EnginePlace& place : places_of(drive)) {
      if (place.type != PlaceType::camshaft || place.in_bank != &bank) continue;
      for (const LearnedCam& cam : learned.cams) {
        if (cam.cam != place.path) continue;
        CamSensor sensor = sensor_of(cam, learned, arguments, cam_sensor_of(drive, place.path));
        sensor.window = window;
        lines += fmt::format("      - name: {}\n        sensor:\n{}", place.camshaft->name,
                             indented(yaml_text(write_record(sensor)), 10));
      }
    }
    if (!lines.empty()) fmt::print("  - number: {}\n    camshafts:\n{}", bank.number, lines);
  }
}

}  // namespace

int run_learn_edges(const LearnEdgesArguments& arguments, const Drive& drive) {
  if (const std::string problem = missing_words(arguments); !problem.empty())
    return refused(kExitUsage, problem);
  std::optional<Written<CrankAngle>> window;
  if (!arguments.window.empty()) {
    const auto typed = read_quantity(arguments.window, Kind::crank_angle);
    if (!typed || !(typed->si > 0))
      return refused(
          kExitUsage,
          fmt::format("--window {}: {}; for example --window \"3 deg crank\"", arguments.window,
                      typed ? "it must be above 0" : typed.error().problem));
    window = Written<CrankAngle>{CrankAngle::from_si(typed->si), arguments.window};
  }
  const auto hints = channel_hints(arguments.channels, drive);
  if (!hints) return refused(kExitUsage, hints.error());
  Nominals asked = asked_of(drive, *hints);
  int status = kExitInput;
  const auto engines = engines_of(arguments, asked, status);
  if (!engines) {
    if (!engines.error().why.empty()) fmt::print(stderr, "{}\n", engines.error().why);
    return status;
  }
  take_the_only_one(drive, engines->front().decoded, asked);
  if (asked.cams.empty())
    return refused(
        kExitUsage,
        fmt::format("which channel is which camshaft? For example --channel \"2={}\"; the "
                    "same in all recordings",
                    joined(camshafts_of(drive), "\" or \"2=")));
  const auto learned = learn_nominals(*engines, asked);
  if (!learned) return refused(kExitInput, learned.error().why);
  print_remarks(*learned, *engines);
  for (std::size_t i = 0; i < asked.cams.size(); ++i) print_change(learned->cams[i], asked.cams[i]);
  for (const std::string& path : camshafts_of(drive))
    if (std::none_of(asked.cams.begin(), asked.cams.end(),
                     [&](const NominalCam& cam) { return cam.cam == path; }))
      fmt::print("# not learned, no channel was said for it: {}\n", path);
  if (!window)
    fmt::print(
        "# No window: nothing passes with these edges until the maker or the shop states one\n"
        "# (--window \"3 deg crank\" --window-by \"who decided, and why\").\n");
  print_sections(*learned, arguments, drive, window);
  return kExitPass;
}

void add_learn_edges_options(CLI::App& learn, LearnEdgesArguments& arguments) {
  learn.add_option("--recordings", arguments.recordings,
                   "Recordings of engines known to be good, one of each engine");
  learn.add_option("--channel", arguments.channels, kChannelHelp)->allow_extra_args(false);
  learn.add_option("--phasers", arguments.phasers,
                   "Their state in words, at their base: \"locked, warm idle\"");
  learn.add_option("--vouched-by", arguments.vouched_by, "Who says that they are good, and why");
  learn.add_option("--variant", arguments.variant, "Which variant they are, in words");
  learn.add_option("--window", arguments.window,
                   "How far an edge may be off to either side: \"3 deg crank\"");
  learn.add_option("--window-by", arguments.window_by, "Who decided the window, and why");
}

}  // namespace tautmark::cli
