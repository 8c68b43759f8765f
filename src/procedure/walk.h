// SPDX-License-Identifier: Apache-2.0
// The work on one engine, step by step: what its case says was done, where that leaves the engine,
// what comes next and what is still open.
//
// Entries are taken in order of work, each on the state that those before it left. Nothing that is
// not entered is taken as done, but for one: with no state entered the engine came in whole
// (state_of_whole). One that came in apart, or of which that is not known, begins with nothing
// known but what its state says; a later state entry overrides what the steps left. A step entered
// late stands before the states entered since the last step that was not; where the two say
// different things, neither is taken and the state is asked again.
//
//   done         facts taken; late ones marked
//   gate open    done without what its gate wants: it counts, but what it proves is shown by
//                nothing, and no step that no override lifts rests on it
//   interrupted  not done, or fewer fasteners ticked than it has; what it was about to change is
//                unknown
//   left out     a decision on a part makes it unnecessary, see decided.h
//   blocked      entered while it was not allowed: kept and said, facts not taken, and what it
//                would have changed is unknown
//   overridden   against its condition, by name and reason, where that may be: facts taken, and an
//                open item that stays until the condition is shown later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "casework/case.h"
#include "procedure/machine.h"

namespace tautmark::procedure {

enum class StepStatus { to_do, done, interrupted, blocked, overridden, left_out };

struct StepAt {
  StepStatus status = StepStatus::to_do;
  std::string entry{};  // id of the entry that counts; empty where none
  bool late = false;
  std::string gate_open{};         // what its gate still wants; empty: nothing
  std::vector<Blocked> missing{};  // why it may not be done now, or was not allowed when entered
};

struct OpenItem {
  std::size_t step = 0;
  std::string entry{};
  std::string gate{};   // "marks confirmed", what the gate wants to see, or the time that was meant
  std::string words{};  // one sentence with the name, the reason and what rests on it
  std::string next{};   // what closes it
};

struct Interrupted {
  std::size_t step = 0;
  std::string entry{};
  std::string words{};  // one sentence: what to do with what was begun
};

struct Walk {
  State state{};
  std::vector<StepAt> steps{};  // as in the plan
  // Steps that may be done now; where the first one that is not done is blocked, it leads, and
  // steps once done follow that would give again what it lacks.
  std::vector<std::size_t> next{};
  std::optional<std::size_t> last_done{};
  std::vector<OpenItem> open{};
  std::vector<Interrupted> interrupted{};  // each as long as it is not done, the last one last
  std::vector<std::string> said{};         // entries that could not be taken as written
};

// `do_not_turn`: why the turning answer of the case forbids it now; blocks every step that turns.
Walk walk(const Plan& plan, const Drive& drive, const Case& value,
          const std::optional<std::string>& do_not_turn = {});

std::string_view status_text(StepStatus status);

// What a gate wants, said to the person: "a reading, named under shown_by".
std::string_view gate_wants_text(GateWants gate);

// The state as an entry says it, laid over what was known.
State with_entered_state(const Plan& plan, const EngineState& entered, State state);

}  // namespace tautmark::procedure
