// SPDX-License-Identifier: Apache-2.0
// How each phaser behaves in the last recording of it: unstable, hunting, chatter at the lock pin,
// slow, stuck, off its base, a jump inside the recording. Only what was seen is a finding; by a
// limit of the drive it fails, by the program's own it stays open. Stability at constant command
// passes in phase-stability.
#include "recording/phaser_behaviour.h"

#include <fmt/format.h>

#include "judge/case_recordings.h"
#include "judge/checks/checks.h"
#include "judge/recorded_phaser.h"
#include "judge/verdict.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "phaser-behaviour";

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
    const auto recorded = recorded_phaser(input, place);
    if (!recorded) continue;
    for (const PhaserFinding& seen : recorded->behaviour.findings) {
      if (!is_seen(seen)) continue;
      Finding finding = open_finding(
          std::string(kCheck), fmt::format("{}, {}", place.path, phaser_state_name(seen.state)),
          OpenBecause::limit_origin, fmt::format("{}; judged by {}", seen.words, seen.judged_by));
      if (!seen.next.empty()) finding.next = {seen.next};
      if (!recorded->problem.empty()) finding.cautions.push_back(recorded->problem);
      finding.follows = follows_of(seen.state);
      finding.evidence = {recorded->in->entry->id};
      findings.push_back(std::move(finding));
    }
  }
  return findings;
}

}  // namespace tautmark::checks
