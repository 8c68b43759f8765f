// SPDX-License-Identifier: Apache-2.0
// How each phaser behaves in the last recording of it: unstable, hunting, chatter at the lock pin,
// slow, stuck, off its base, a jump inside the recording. Only what was seen is a finding; by a
// limit of the drive it fails, by the program's own it stays open. Stability at constant command
// passes in phase-stability.
#include "recording/phaser_behaviour.h"

#include <fmt/format.h>

#include "judge/case_recordings.h"
#include "judge/checks/checks.h"
#include "judge/drive_sensors.h"
#include "judge/verdict.h"
#include "recording/command_log.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "phaser-behaviour";

std::optional<BehaviourLimit> limit_of(const CheckInput& input, Measurand quantity,
                                       const EnginePlace& place) {
  const auto limit = limit_for(input, quantity, place);
  if (!limit || !limit->upper) return std::nullopt;
  return BehaviourLimit{*limit->upper / kRadiansPerDegree, limit->origin, limit->source};
}

// The log of the command, and its clock against the recording's.
struct Command {
  std::optional<CommandLog> log{};
  ClockOffset clock{};
  std::string problem{};
};

Command command_of(const CheckInput& input, const SensorRecording& body,
                   const std::vector<TurnSpeed>& speed) {
  Command command;
  if (!body.command_log) return command;
  CommandOptions options;
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

bool is_seen(const PhaserFinding& finding) {
  return finding.seen == Seen::seen && finding.state != PhaserState::steady &&
         finding.state != PhaserState::too_few;
}

std::vector<std::string> follows_of(PhaserState state) {
  switch (state) {
    case PhaserState::unstable:
    case PhaserState::hunting:
    case PhaserState::slow:
    case PhaserState::stuck:
      return {"oil pressure at the head port, oil hot, before a phaser is ordered",
              "exchange the actuators bank to bank: does it stay?"};
    case PhaserState::chatter:
      return {"play of the locked phaser"};
    case PhaserState::jump:
      return {"do not go on running it: a whole tooth went by"};
    default:
      return {};
  }
}

}  // namespace

std::vector<Finding> phaser_behaviour(const CheckInput& input) {
  std::vector<Finding> findings;
  if (input.drive == nullptr) return findings;
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::camshaft || place.camshaft == nullptr || !place.camshaft->phaser)
      continue;
    const auto history = history_of(*input.recordings, place.path);
    if (history.empty() || history.front().seen->against.detail.cycles.empty()) continue;
    const SensorRecording& body = *history.front().in->body;
    const auto cam = cam_of_drive(input.drive->drive, place.path);
    const Command command = command_of(input, body, history.front().in->decoded->speed);
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
    for (const PhaserFinding& seen : tautmark::phaser_behaviour(in).findings) {
      if (!is_seen(seen)) continue;
      Finding finding = open_finding(
          std::string(kCheck), fmt::format("{}, {}", place.path, phaser_state_name(seen.state)),
          OpenBecause::limit_origin, fmt::format("{}; judged by {}", seen.words, seen.judged_by));
      if (!seen.next.empty()) finding.next = {seen.next};
      if (!command.problem.empty()) finding.cautions.push_back(command.problem);
      finding.follows = follows_of(seen.state);
      finding.evidence = {history.front().in->entry->id};
      findings.push_back(std::move(finding));
    }
  }
  return findings;
}

}  // namespace tautmark::checks
