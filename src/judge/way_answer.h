// SPDX-License-Identifier: Apache-2.0
// The way of a case: from where its engine stands (the `standing` entry in force) to where it
// should, as moves each with the least gap along it, or what forbids looking for one.
//
// Everything that is not known forbids: which way a camshaft is off, whether a phaser is locked
// (its whole travel then applies), the variant, the place of the crankshaft (a positive stop of
// this case, with U), how the engine was turned since the timing was off, whether the valves are
// straight after it ran, adjusters, surfaced head or block, other parts, debris, and any figure
// that missing_for_proof() or ValvesOfCam::not_proven names. The answer goes with the next thing
// that is turned, loosened or entered.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "clearance/path_search.h"
#include "judge/judge.h"
#include "judge/valve_gaps.h"

namespace tautmark {

struct WayMove {
  clearance::Move move{};
  std::string camshaft{};  // "bank 1 / intake camshaft"; empty: the crankshaft, or all together
  std::string words{};     // "turn the crankshaft 30 deg in running direction ..."
};

struct WayAnswer {
  std::string answer{"DO NOT TURN"};     // or "TURN ONLY ...", with moves
  std::string entry{};                   // id of the standing; empty: nobody entered one
  std::vector<std::string> forbidden{};  // one clause each, the gravest first; empty: none
  std::vector<std::string> ask{};        // what to find out or measure next, a sentence each
  std::string no_way{};                  // all is known and yet no way: one sentence
  std::vector<WayMove> moves{};          // empty where there is none, or where nothing has to move
  std::optional<Length> least{};         // on the whole way
  clearance::PathEngine engine{};        // as searched; without camshafts where it was not
  clearance::PathQuery query{};
  std::vector<std::string> explained{};  // a sentence each: what each error alone does to the gaps
  std::vector<std::string> held_for{};   // entries that it rests on, for `holds_for`
  // Chain on and every camshaft said right: the way would only turn on, and the marks have to be
  // proven as without it.
  bool only_turns_on = false;
  bool may() const { return !entry.empty() && forbidden.empty() && no_way.empty(); }
};

// Null drive: the case names none.
WayAnswer way_answer(const LoadedCase& loaded, const LoadedDrive* drive);

}  // namespace tautmark
