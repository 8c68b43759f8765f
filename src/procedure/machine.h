// SPDX-License-Identifier: Apache-2.0
// The procedure as a machine: which step may be done now, what it changes, and the rules that no
// procedure and no override can lift.
//
// Rules of the trade (common practice, no source; the engine maker's procedure comes first), held
// whatever the definition says:
//
//   tensioner released   chain on, slack on its strand, marks confirmed, phaser locked
//   phaser bolt final    camshaft held at its flats
//   marks confirmed      chain on, phaser locked
//   marks proven         two turns by hand since the chain went on, tensioner released
//   chain off            extension read, camshaft held, marks recorded
//   turning the crank    chain on, tensioner released, phaser locked, marks confirmed, nothing
//   lost;
//                        and the turning answer of the case, which decides alone
//   covers on            two turns, marks proven, everything accounted for
//   engine started       covers on, marks proven, phaser bolt final, oil primed   (no override)
//   relearn, recording   engine started
//   handed over          engine started, marks proven, relearn done, recording after (no override)
//
// What a step undoes by itself: turning the crank moves it from its reference and leaves confirmed
// marks to be read again; a chain that comes off takes slack, marks and turns with it; a tensioner
// pinned again takes the turns; a phaser that is freed takes the marks; covers that come off take
// the account of what lies about. Two turns are done only by a step that turns them.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "drive/drive.h"
#include "procedure/facts.h"

namespace tautmark::procedure {

struct Step {
  const ProcedureStep* written = nullptr;
  std::vector<Fact> needs{}, gives{}, ends{};
};

struct Plan {
  std::vector<int> banks{};
  std::vector<int> phaser_banks{};  // with a phaser; rules about phasers are of these
  std::vector<Step> steps{};
  // Conditions that could not be read: step, field, word, why.
  struct Unread {
    std::size_t step = 0;
    std::string words{}, why{};
  };
  std::vector<Unread> unread{};
};
// Of the drive's procedure; a drive without one gives no steps. The drive must outlive the plan.
Plan plan_of(const Drive& drive);

// Why a step may not be done now. Empty: it may.
struct Blocked {
  Fact missing{};
  bool by_rule = false;      // one of the rules above, not only the definition
  bool may_override = true;  // by name and reason
  std::string why{};         // "the pin comes out only when the marks are confirmed"
};
std::vector<Blocked> blocked(const Plan& plan, const Step& step, const State& state);

// The state after the step. Does not ask whether it may be done.
State after(const Plan& plan, const Step& step, State state);

}  // namespace tautmark::procedure
