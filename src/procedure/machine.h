// SPDX-License-Identifier: Apache-2.0
// The procedure as a machine: which step may be done now, what it changes, and the rules that no
// procedure can lift.
//
// Rules of the trade (common practice, no source; the engine maker's procedure comes first), held
// whatever the definition says; those marked * no override lifts either:
//
//   marks recorded         chain as found, covers off
//   extension read         chain as found, tensioner released, covers off
//   tensioner pinned, out  extension read, covers off
//   chain off              marks recorded, extension read, tensioner pinned or out, camshaft held,
//                          covers off
//   chain on               tensioner pinned or out, covers off
//   phaser bolt out        camshaft held, tensioner pinned or out
//   phaser bolt final      camshaft held at its flats, phaser locked
//   caps loose             tensioner pinned or out, covers off
//   marks set              chain on, phaser locked
//   marks confirmed        as set, and crank at reference, covers off
//   tensioner released     tensioner pinned, chain on, slack on its strand, marks confirmed, phaser
//                          locked, phaser bolt and caps final
//   turning the crank *    chain on, tensioner released, camshaft free, caps and phaser bolt final,
//                          phaser locked, marks confirmed (with the chain as found: recorded),
//                          nothing lost; and the turning answer of the case, which decides alone
//   marks proven *         two turns by hand since the chain went on, as confirmed, tensioner
//                          released
//   covers on              two turns, marks proven, camshaft free, everything accounted for
//   oil primed *           as covers on, and covers on: priming turns the engine on its starter
//   engine started *       as oil primed, and oil primed
//   relearn, recording     engine started
//   handed over *          engine started, marks proven, covers on, relearn done, recorded after
//
// Nothing lost is wanted by oil primed, engine started and handed over too: a lost part lifts the
// chain over a tooth on the starter as well.
//
// What a step undoes by itself: turning the crank leaves marks to be read again, and moves it from
// its reference unless it makes two full turns from there; a chain that comes off or goes on takes
// slack, marks and turns with it; a tensioner pinned again or taken out takes the turns; a phaser
// that is freed takes the marks; a phaser bolt or caps loosened take marks and turns; what takes
// the turns also takes priming, start, relearn and second recording; covers that come off take the
// account of what lies about. Two turns are done only by a step that turns them.
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
  bool left_out = false;  // by a decision, see decided.h: needs, gives and ends nothing
};

struct Plan {
  std::vector<int> banks{};
  std::vector<int> phaser_banks{};  // with a phaser; rules about phasers are of these
  std::vector<Step> steps{};
  // Conditions that could not be read: step, field ("needs"), which of its words, why.
  struct Unread {
    std::size_t step = 0;
    std::string field{};
    std::size_t word = 0;
    std::string words{}, why{};
  };
  std::vector<Unread> unread{};
};
// Of the drive's procedure; a drive without one gives no steps. The drive must outlive the plan.
Plan plan_of(const Drive& drive);

// An engine that came in whole and was not touched: chain as found, tensioner released, camshafts
// free, caps and phaser bolts final, covers on. Of phasers, marks and oil nothing is known.
State state_of_whole(const Plan& plan);

// Why a step may not be done now. Empty: it may.
struct Blocked {
  Fact missing{};
  bool by_rule = false;      // one of the rules above, not only the definition
  bool may_override = true;  // by name and reason
  std::string why{};         // "the pin comes out only when the marks are confirmed"
};
std::vector<Blocked> blocked(const Plan& plan, const Step& step, const State& state);

// The same without the reasons.
bool may_do(const Plan& plan, const Step& step, const State& state);

// The facts that the rules want before this step, whatever the state; of a need that two values
// satisfy, the first.
std::vector<Fact> needs_by_rule(const Plan& plan, const Step& step);

// The state after the step. Does not ask whether it may be done.
State after(const Plan& plan, const Step& step, State state);

// The states of the written order, each step taken as done: before the first step, then after each.
std::vector<State> states_in_order(const Plan& plan);

bool gives_item(const Step& step, Item item, int value);

}  // namespace tautmark::procedure
