// SPDX-License-Identifier: Apache-2.0
// The top dead center of a case: what its `stop` entries say, and what of it cannot be relied on.
#pragma once

#include <optional>
#include <string>

#include "base/finding.h"
#include "clearance/top_dead_center.h"
#include "judge/check.h"

namespace tautmark {

struct TopKnown {
  EntryOf<StopReading> from{};
  std::optional<clearance::TopFound> found{};
  CrankAngle U{};  // k = 2
  // Why it is not to be relied on, and what would help; empty: nothing is against it.
  std::string doubt{};
  OpenBecause because{};
  std::string next{};
  // The wheel was off by more than U, and nobody entered that it was set.
  bool wheel_still_off = false;
};

// Of the last stop before `entry` in order of work (null: of all), the drive not opened between
// them: a wheel that was taken off has lost its zero. Empty: there is none.
std::optional<TopKnown> top_known(const CheckInput& input, const Entry* entry = nullptr);

// How far a center line may be off to its narrower side, the least of all camshafts of the drive;
// empty: no limit.
std::optional<CrankAngle> center_line_room(const CheckInput& input);

}  // namespace tautmark
