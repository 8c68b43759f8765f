// SPDX-License-Identifier: Apache-2.0
// Valves and pistons of a definition as inputs of src/clearance, and the table of gaps by error in
// teeth.
//
// "No contact expected" is said only where lift, piston gap and pocket are the maker's figures for
// this engine, or measured on it (99.9 %); a figure of other origin, or one that is not there, is
// named and leaves the answer not known. A contact that shows is said whatever the origin. One
// camshaft is off at a time: every other one of the bank stands right, anywhere in the travel of
// its phaser. Nothing of this is an answer to "may I turn it": that is turning.h.
#pragma once

#include <string>
#include <vector>

#include "casework/case.h"
#include "clearance/gap_table.h"
#include "clearance/window.h"
#include "drive/load.h"

namespace tautmark {

struct PhaserPlace {
  std::string words{};  // "phaser locked", "full advance", "no phaser"
  CrankAngle early{};   // against the definition's curve; negative: late
};

struct ValvesOfCam {
  std::string camshaft{};           // "bank 1 / intake camshaft"
  std::string name{};               // "intake"
  const Valves* written = nullptr;  // of the definition; valid as long as that is
  int teeth = 0;                    // of its sprocket; 0: not known
  std::vector<PhaserPlace> phaser{};
  clearance::ValveInputs inputs{};
  // Why "no contact expected" is not said although a gap can be computed: figures that are not the
  // maker's, travel of a phaser that is not known.
  std::vector<std::string> not_proven{};
  bool other_on_same_camshaft = false;
  std::vector<int> cylinders{};  // of its bank
  // Ids of the entries that replace figures of the definition; empty: none does.
  std::string gap_from{}, lift_from{};
};
// With a case: what was measured on its engine replaces the definition's gap and lift
// (on_engine.h).
std::vector<ValvesOfCam> valves_of(const LoadedDrive& loaded, const Case* engine = nullptr);

inline constexpr int kTeethInTable = 3;  // either way, in a table

// One place of its phaser. "No contact expected" only where nothing of `not_proven` is left.
clearance::TableCell gap_cell_of(const ValvesOfCam& valves, int teeth, const PhaserPlace& place);

struct GapRow {
  int teeth = 0;                              // positive early
  std::vector<clearance::TableCell> cells{};  // one for each place of the phaser
};
// Empty without the teeth of the sprocket.
std::vector<GapRow> gap_rows(const ValvesOfCam& valves);

// Where each cylinder fires, cylinder 1 first, from the dead center that `fires_at` counts from.
// Refused in the words of what is missing: "cylinders: firing_order and fires_at".
Result<std::vector<CrankAngle>> firing_tops_of(const Drive& drive);

// Where the crankshaft may stand so that every camshaft can turn through a full turn, counted from
// the firing dead center that `fires_at` counts from, modulo one turn. With `not_known` there is no
// answer; with no windows and nothing not known there is no such place.
struct FreeCamshafts {
  std::vector<clearance::CrankWindow> windows{};
  Length least{};  // kept everywhere in them, after what is not known exactly
  std::vector<std::string> not_known{};
};
FreeCamshafts free_camshafts(const LoadedDrive& loaded, const std::vector<ValvesOfCam>& valves);

// "no contact expected", "below the least gap wanted", "contact", "not known".
std::string_view contact_text(clearance::Contact contact);

}  // namespace tautmark
