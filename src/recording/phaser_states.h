// SPDX-License-Identifier: Apache-2.0
// The states that compare the phase with a command, a base or a tooth. Inside phaser_behaviour.
#pragma once

#include <string>
#include <string_view>

#include "recording/phaser_behaviour.h"

namespace tautmark::recording {

// "jitter at most 1 ° (program default: never a pass)"
std::string limit_words(std::string_view what, const BehaviourLimit& limit, std::string_view unit,
                        bool is_least = false);

// slow, stuck, moves, off base, jump.
void add_motion_states(const PhaserInput& in, PhaserBehaviour& out);

}  // namespace tautmark::recording
