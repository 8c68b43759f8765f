// SPDX-License-Identifier: Apache-2.0
#include "cli/recording_more.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <map>

#include "cli/commands.h"
#include "draw/plot_of_recording.h"
#include "recording/command_log.h"

namespace tautmark::cli {
namespace {

std::string file_name(const std::string& path) {
  return std::filesystem::path(path).filename().string();
}

// The log of the command and its clock; no log when there is none or it cannot be used.
struct Command {
  std::optional<CommandLog> log;
  ClockOffset clock;
  std::optional<CommandLogUse> use;
};

constexpr double kStatedClock = 0.1;  // s, standard, of an offset that a person states

Command clocked(CommandLog log, const std::optional<double>& stated, const Decoded& decoded) {
  Command command;
  const auto clock = stated ? Result<ClockOffset>(stated_offset(*stated, kStatedClock))
                            : align_clocks(log, decoded.speed);
  if (!clock) {
    command.use = {false, clock.error().why + "; say --command-offset"};
    return command;
  }
  command.clock = *clock;
  const std::vector<TurnSpeed>& speed = decoded.speed;
  const double offset = clock->offset;
  if (speed.empty() || log.time.back() + offset < speed.front().time ||
      log.time.front() + offset > speed.back().time) {
    command.use = {
        false,
        fmt::format("with {:.2f} s added to its clock no row of it lies in the recording", offset)};
    return command;
  }
  command.use = {true, fmt::format("{:.2f} s added to its clock, ± {:.2f} s, {}", offset,
                                   2 * clock->uncertainty,
                                   clock->is_stated ? "as said" : "by the engine speed")};
  command.log = std::move(log);
  return command;
}

tl::expected<Command, int> command_of(const MoreArguments& arguments, const Decoded& decoded) {
  if (arguments.command_log.empty()) return Command{};
  CommandOptions options;
  options.cam = arguments.command_cam;
  options.is_in_cam_degrees = arguments.command_degrees == DegreesOf::cam;
  options.retard_is_positive = arguments.command_positive == PositiveIs::late;
  auto log = read_command_log_file(arguments.command_log, options);
  if (!log) return tl::unexpected(report_input(log.error()));
  return clocked(std::move(*log), arguments.command_offset, decoded);
}

const CamMeaning* known_cam(const RecordingMeaning* meaning, int channel) {
  if (meaning == nullptr) return nullptr;
  for (const CamMeaning& cam : meaning->cams)
    if (cam.found && cam.found->channel == channel) return &cam;
  return nullptr;
}

PhaserInput phaser_input(const CamPhase& own, const std::optional<AskedOfDrive>& asked,
                         const CamMeaning* known, const Command& command) {
  PhaserInput in;
  in.cam = known != nullptr ? known->cam : fmt::format("channel {}", own.channel);
  in.phase = known != nullptr ? known->found->detail : own;
  in.has_reference = known != nullptr;
  in.told_at_base = asked && at_base(asked->phasers);
  if (known != nullptr && asked)
    if (const auto cam = cam_of_drive(asked->drive.drive, known->cam)) {
      in.reference_tolerance = cam->tolerance;
      in.travel_from = cam->travel_from;
      in.travel_to = cam->travel_to;
      in.cam_teeth = cam->teeth;
    }
  if (command.log) {
    in.command = &*command.log;
    in.clock = command.clock;
  }
  return in;
}

std::vector<CamPhase> known_phases(const RecordingMeaning& meaning) {
  std::vector<CamPhase> phases;
  for (const CamMeaning& cam : meaning.cams)
    if (cam.found) phases.push_back(cam.found->detail);
  std::sort(phases.begin(), phases.end(),
            [](const CamPhase& a, const CamPhase& b) { return a.channel < b.channel; });
  return phases;
}

}  // namespace

void add_more_options(CLI::App& command, MoreArguments& arguments) {
  command.add_option("--before", arguments.before,
                     "An earlier recording of the same engine: what changed since");
  auto* log = command.add_option("--command-log", arguments.command_log,
                                 "Commanded cam angle against time, from scan data; engine speed "
                                 "in it lets its clock be found");
  command
      .add_option("--command-positive", arguments.command_positive,
                  "Which way its angles grow: early, late")
      ->transform(
          CLI::CheckedTransformer(std::map<std::string, PositiveIs>{{"early", PositiveIs::early},
                                                                    {"late", PositiveIs::late}})
              .description(""))
      ->needs(log);
  command.add_option("--command-degrees", arguments.command_degrees, "Its degrees: crank, cam")
      ->transform(CLI::CheckedTransformer(std::map<std::string, DegreesOf>{
                                              {"crank", DegreesOf::crank}, {"cam", DegreesOf::cam}})
                      .description(""))
      ->needs(log);
  command
      .add_option("--command-offset", arguments.command_offset,
                  "Seconds to add to its clock, when the engine speed does not tell")
      ->needs(log);
  command.add_option("--command-cam", arguments.command_cam, "Words of its column, of several")
      ->needs(log);
}

tl::expected<std::optional<Before>, int> before_asked(const MoreArguments& arguments,
                                                      const RecordingOptions& options,
                                                      const Decoded& decoded) {
  if (!arguments.command_log.empty() &&
      (!arguments.command_positive || !arguments.command_degrees)) {
    fmt::print(stderr,
               "scan tools differ: say --command-positive early or late, and --command-degrees "
               "crank or cam\n");
    return tl::unexpected(kExitUsage);
  }
  if (arguments.before.empty()) return std::nullopt;
  auto trains = read_recording(arguments.before, options);
  if (!trains) return tl::unexpected(report_input(trains.error()));
  DecodeOptions decoding;
  decoding.crank_channel = decoded.crank.channel;
  decoding.crank_polarity = decoded.crank.polarity;
  auto before = decode_recording(*trains, decoding);
  if (!before) {
    fmt::print(stderr, "{}: {}\n", arguments.before, before.error().why);
    return tl::unexpected(kExitInput);
  }
  return Before{std::move(*trains), std::move(*before)};
}

tl::expected<RecordingExtras, int> extras_of(const MoreArguments& arguments,
                                             const SignalTrains& trains, const Decoded& decoded,
                                             std::vector<HealthFinding> health,
                                             const std::optional<AskedOfDrive>& asked,
                                             const RecordingMeaning* meaning,
                                             const std::optional<Before>& before) {
  const auto command = command_of(arguments, decoded);
  if (!command) return tl::unexpected(command.error());
  RecordingExtras extras;
  extras.command_log = command->use;
  extras.health = std::move(health);
  const std::vector<CamPhase> phases = phases_to_plot(decoded);
  for (const CamPhase& own : phases) {
    const PhaserInput in = phaser_input(own, asked, known_cam(meaning, own.channel), *command);
    extras.cams.push_back({own.channel, in.cam, phaser_behaviour(in)});
  }
  if (!before) return extras;
  extras.before = file_name(arguments.before);
  CompareOptions options;
  options.decode.crank_channel = decoded.crank.channel;
  options.decode.crank_polarity = decoded.crank.polarity;
  for (const CamPhase& own : phases) {
    const CamMeaning* known = known_cam(meaning, own.channel);
    if (known == nullptr || !asked) continue;
    options.cams[own.channel] = known->cam;
    if (const auto cam = cam_of_drive(asked->drive.drive, known->cam))
      options.teeth[own.channel] = cam->teeth;
  }
  auto comparison = compare_recordings(before->trains, trains, options);
  if (comparison)
    extras.comparison = std::move(*comparison);
  else
    extras.comparison_refused = comparison.error().why;
  return extras;
}

std::string drawing_of(const std::string& name, const SignalTrains& trains, const Decoded& decoded,
                       const RecordingMeaning* meaning, const std::optional<AskedOfDrive>& asked,
                       const MoreArguments& arguments, const std::optional<Before>& before,
                       const std::string& paper) {
  RecordingToPlot shown{name, &trains, &decoded, {}};
  RecordingToPlot earlier{"before: " + file_name(arguments.before), nullptr, nullptr, {}};
  if (before) {
    shown.label = "after: " + name;
    earlier.trains = &before->trains;
    earlier.decoded = &before->decoded;
  }
  PlotContext context;
  context.title = name;
  std::vector<CamPhase> known;
  if (meaning != nullptr) known = known_phases(*meaning);
  if (!known.empty()) {
    shown.phases = known;
    context.compared_with = meaning->drive;
    context.invented = asked && asked->drive.drive.invented.value_or(false);
    for (const CamPhase& phase : known) {
      const CamMeaning& cam = *known_cam(meaning, phase.channel);
      context.cam_names.push_back(cam.cam);
      context.windows.push_back(cam.window ? std::optional(std::pair(-*cam.window, *cam.window))
                                           : std::nullopt);
    }
    if (meaning->hypotheses) context.meaning = &*meaning->hypotheses;
    if (before)
      earlier.phases =
          known_phases(meaning_of(asked->drive, before->decoded, asked->nominals, asked->phasers));
  } else if (before) {
    const std::vector<CamReference> references = references_of(before->decoded);
    shown.phases = phases_to_plot(decoded, references);
    earlier.phases = phases_to_plot(before->decoded, references);
    context.compared_with = file_name(arguments.before);
  } else {
    shown.phases = phases_to_plot(decoded);
  }
  return recording_svg(plot_of_recording(shown, context, before ? &earlier : nullptr),
                       {.paper = *paper_named(paper)});
}

}  // namespace tautmark::cli
