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

struct RecordingExtras {
  std::vector<HealthFinding> health;
  std::vector<CamBehaviour> cams;
  std::string before;  // name of the earlier recording; empty: none
  std::optional<Comparison> comparison;
  std::string comparison_refused;
};

std::string extras_text(const RecordingExtras& extras);
// Adds `signals`, `cams[].behaviour`, `comparison`.
void add_extras(nlohmann::ordered_json& json, const RecordingExtras& extras);

}  // namespace tautmark
