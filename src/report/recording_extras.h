// SPDX-License-Identifier: Apache-2.0
// What a recording says beyond its angles: the state of its signals, how each cam behaves, and what
// changed against an earlier recording of the same engine. As text and as keys of `recording/1`.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "recording/compare_recordings.h"
#include "recording/phaser_behaviour.h"
#include "recording/signal_health.h"

namespace tautmark {

struct CamBehaviour {
  int channel = 0;
  std::string cam;
  PhaserBehaviour behaviour;
};

struct CommandLogUse {
  bool is_used = false;
  std::string why;  // how its clock was found, or why it was not
};

struct RecordingExtras {
  bool with_cycles = false;      // the course of every cam's phase too
  bool without_verdict = false;  // the recording is of a case, whose findings alone judge
  std::vector<HealthFinding> health;
  std::vector<CamBehaviour> cams;
  std::optional<CommandLogUse> command_log;  // none was given
  std::string before;                        // name of the earlier recording; empty: none
  std::optional<Comparison> comparison;
  std::string comparison_refused;
};

std::string extras_text(const RecordingExtras& extras);
// Adds `signals`, `cams[].behaviour`, `command_log`, `comparison`.
void add_extras(nlohmann::ordered_json& json, const RecordingExtras& extras);

}  // namespace tautmark
