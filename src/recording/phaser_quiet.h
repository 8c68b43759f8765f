// SPDX-License-Identifier: Apache-2.0
// The stretch of a recording in which a phaser has no reason to move. Inside phaser_behaviour.
#pragma once

#include <vector>

#include "recording/phaser_behaviour.h"

namespace tautmark::recording {

inline constexpr std::size_t kFewestCycles = 8;

struct Stretch {
  std::size_t begin = 0, end = 0;  // cycles [begin, end)
  [[nodiscard]] std::size_t size() const { return end - begin; }
};
// The longest in which the speed keeps within 20 %, the command does not change (nor did in the
// settling time before) and, when motions are given, none of them lies.
Stretch quiet_stretch(const PhaserInput& in, const std::vector<PhaseMotion>& motions);

std::vector<CommandResponse> command_responses(const PhaserInput& in);

}  // namespace tautmark::recording
