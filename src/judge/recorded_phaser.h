// SPDX-License-Identifier: Apache-2.0
// The last recording of a camshaft with a phaser, with the log of its command where there is one.
#pragma once

#include <optional>
#include <string>

#include "judge/check.h"
#include "recording/phaser_behaviour.h"

namespace tautmark {

struct RecordedPhaser {
  PhaserBehaviour behaviour{};
  const RecordingSeen* in = nullptr;
  std::string problem{};  // of the log of the command; empty: none
};
// Absent: no phaser there, no recording of it that can be used.
std::optional<RecordedPhaser> recorded_phaser(const CheckInput& input, const EnginePlace& camshaft);

}  // namespace tautmark
