// SPDX-License-Identifier: Apache-2.0
// Where the engine stands, as long as it stands there: the last `standing` entry, on the state in
// force entered before it. Whatever withdraws that state (state_in_force.h) takes the standing with
// it, so does a state entered after it, marks read after it that say the engine was turned first,
// a correction typed after it, whatever it corrects, and another standing with no state between.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "casework/case.h"

namespace tautmark {

struct StandingInForce {
  const Entry* entry = nullptr;         // the last one entered; null: none
  const Standing* standing = nullptr;   // null: none, or it no longer holds
  const EngineState* state = nullptr;   // null as `standing` is
  std::optional<Locked> phaser_seen{};  // as in StateInForce
  std::string because{};                // why an entered one does not hold: one clause
};

// `entries` in order of work, all of one case.
StandingInForce standing_in_force(const std::vector<const Entry*>& entries);

}  // namespace tautmark
