// SPDX-License-Identifier: Apache-2.0
#include "judge/recorded_phaser.h"

#include <fmt/format.h>

#include <set>

#include "base/text.h"
#include "judge/case_recordings.h"
#include "judge/drive_sensors.h"
#include "judge/verdict.h"
#include "recording/command_log.h"

namespace tautmark {
namespace {

std::optional<BehaviourLimit> limit_of(const CheckInput& input, Measurand quantity,
                                       const EnginePlace& place) {
  const auto limit = limit_for(input, quantity, place);
  if (!limit || !limit->upper) return std::nullopt;
  return BehaviourLimit{*limit->upper / kRadiansPerDegree, limit->origin, limit->source};
}

std::set<std::string> words_of(std::string_view path) {
  std::set<std::string> words;
  for (const std::string& word : split(replaced(folded(path), "/", " "), ' '))
    if (!word.empty()) words.insert(word);
  return words;
}

// What tells this camshaft from the others with a phaser: "1 intake"; nothing where it is the only
// one. A log of one camshaft's command is not the other's.
std::string own_words(const CheckInput& input, const EnginePlace& camshaft) {
  std::set<std::string> shared = words_of(camshaft.path);
  bool is_only = true;
  for (const EnginePlace& other : input.places) {
    if (other.type != PlaceType::camshaft || other.path == camshaft.path || !other.camshaft->phaser)
      continue;
    is_only = false;
    const auto words = words_of(other.path);
    std::erase_if(shared, [&](const std::string& word) { return !words.contains(word); });
  }
  std::string own;
  if (is_only) return own;
  for (const std::string& word : words_of(camshaft.path))
    if (!shared.contains(word)) own += (own.empty() ? "" : " ") + word;
  return own;
}

// The log of the command, and its clock against the recording's.
struct Command {
  std::optional<CommandLog> log{};
  ClockOffset clock{};
  std::string problem{};
};

Command command_of(const CheckInput& input, const EnginePlace& camshaft,
                   const SensorRecording& body, const std::vector<TurnSpeed>& speed) {
  Command command;
  if (!body.command_log) return command;
  CommandOptions options;
  options.cam = own_words(input, camshaft);
  options.is_in_cam_degrees = body.command_degrees == DegreesOf::cam;
  options.retard_is_positive = body.command_positive == PositiveIs::late;
  auto log = read_command_log_file((input.folder / *body.command_log).string(), options);
  if (!log) {
    command.problem = fmt::format("{}: {}", *body.command_log, log.error().front().message);
    return command;
  }
  const auto clock = align_clocks(*log, speed);
  if (!clock) {
    command.problem =
        fmt::format("{}: its clock cannot be matched: {}", *body.command_log, clock.error().why);
    return command;
  }
  command.clock = *clock;
  command.log = std::move(*log);
  return command;
}

}  // namespace

std::optional<RecordedPhaser> recorded_phaser(const CheckInput& input, const EnginePlace& place) {
  if (input.drive == nullptr || place.type != PlaceType::camshaft || place.camshaft == nullptr ||
      !place.camshaft->phaser)
    return std::nullopt;
  const auto history = history_of(*input.recordings, place.path);
  if (history.empty() || history.front().seen->against.detail.cycles.empty()) return std::nullopt;
  const SensorRecording& body = *history.front().in->body;
  const auto cam = cam_of_drive(input.drive->drive, place.path);
  const Command command = command_of(input, place, body, history.front().in->decoded->speed);
  PhaserInput in;
  in.cam = place.path;
  in.phase = history.front().seen->against.detail;
  in.has_reference = true;
  in.told_at_base = body.phasers && at_base(*body.phasers);
  if (cam) {
    in.reference_tolerance = cam->tolerance;
    in.travel_from = cam->travel_from;
    in.travel_to = cam->travel_to;
    in.cam_teeth = cam->teeth;
  }
  in.sd = limit_of(input, Measurand::phase_scatter, place);
  in.peak_to_peak = limit_of(input, Measurand::phase_peak_to_peak, place);
  if (command.log) {
    in.command = &*command.log;
    in.clock = command.clock;
  }
  return RecordedPhaser{phaser_behaviour(in), history.front().in, command.problem};
}

}  // namespace tautmark
