// SPDX-License-Identifier: Apache-2.0
// Are the valves straight? A bent one stands open where the lift curve says shut, and no gap that
// was computed holds.
//
// To be shown after the engine ran or was cranked with the timing off, or nobody knows how it was
// turned, or compression is low since, or an entry says that the starter turned it (compression is
// measured so). The word of the standing alone does not do: a reading of
// leak-down of every cylinder within its limit, or valves seen straight in every cylinder, stands
// in the case before it, after it was last cranked, without a remark or words. Of several readings
// of a cylinder the last one counts. A leak-down above its limit, or a valve seen bad and not sound
// since, is against it in any case.
#pragma once

#include <string>
#include <vector>

#include "casework/case.h"
#include "drive/drive.h"

namespace tautmark {

// Where neither reading nor definition limits it. Common practice, no source.
inline constexpr double kMostLeak = 0.10;

struct ValvesDoubted {
  std::string because{};  // one clause; empty: they count as straight
  std::string ask{};      // one sentence
};

// `entries` in order of work, those before the standing.
ValvesDoubted valves_doubted(const std::vector<const Entry*>& entries, const Standing& standing,
                             const EngineState& state, const Drive& drive);

// Of an engine whose drive is right: only what is bad speaks, a valve seen bad or a cylinder that
// leaks, until it is seen sound again.
ValvesDoubted driven_doubted(const std::vector<const Entry*>& entries, const Drive& drive);

// Of valves that no camshaft presses, before the crankshaft turns alone: a bent one hangs open.
// With a standing as above, in force or not; without one only what is bad speaks, and with marks
// that are wrong (`is_off`) that it was cranked, or a
// state that says so.
ValvesDoubted closed_doubted(const std::vector<const Entry*>& entries, const EngineState& state,
                             const Drive& drive, bool is_off);

}  // namespace tautmark
