// SPDX-License-Identifier: Apache-2.0
// The state of an engine that still holds: that of the last state entry, as long as nothing entered
// after it can have changed it or says otherwise.
//
// After the state there may stand: counts and marks; where crankshaft and camshafts stand; an
// identification; a part ordered, no reason given; a part seen sound, no words with it. Everything
// else withdraws it, free words whatever they say: nobody reads them here. So does a remark, on the
// state or after it, and an order of entries that their times contradict. A correction stands where
// the entry that it replaces stood.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "casework/case.h"

namespace tautmark {

struct StateInForce {
  const EngineState* state = nullptr;  // null: none, or withdrawn
  std::string withdrawn_by{};          // id of an entry
  std::string because{};               // one clause that names it; empty where none was entered
  // Of the marks entered after the state.
  std::optional<Locked> phaser_seen{};  // not locked or unknown, where one says so
};

// `entries` in order of work.
StateInForce state_in_force(const std::vector<const Entry*>& entries);

}  // namespace tautmark
