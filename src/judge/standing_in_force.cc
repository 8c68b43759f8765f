// SPDX-License-Identifier: Apache-2.0
#include "judge/standing_in_force.h"

#include <fmt/format.h>

#include "judge/state_in_force.h"

namespace tautmark {

StandingInForce standing_in_force(const std::vector<const Entry*>& entries) {
  StandingInForce found;
  const Entry* moved_by = nullptr;
  for (const Entry* entry : entries) {
    if (const auto* standing = std::get_if<Standing>(&entry->body)) {
      found.entry = entry;
      found.standing = standing;
      moved_by = nullptr;
    } else if (const auto* marks = std::get_if<MarksSeen>(&entry->body);
               std::holds_alternative<EngineState>(entry->body) ||
               (marks != nullptr && marks->settled == true)) {
      if (moved_by == nullptr) moved_by = entry;
    }
  }
  if (found.entry == nullptr) return found;
  const StateInForce state = state_in_force(entries);
  if (state.state == nullptr) {
    found.because = state.because.empty()
                        ? "the state of the engine is not entered: enter it, then where it stands"
                        : state.because;
  } else if (moved_by != nullptr) {
    found.because =
        fmt::format("{} was entered after {}, where the engine stood: enter again where it stands",
                    moved_by->id, found.entry->id);
  }
  if (!found.because.empty()) {
    found.standing = nullptr;
    return found;
  }
  found.state = state.state;
  found.phaser_seen = state.phaser_seen;
  return found;
}

}  // namespace tautmark
