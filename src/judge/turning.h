// SPDX-License-Identifier: Apache-2.0
// May the engine be turned? Fixed rules on what can be known on the phone or from a case; no
// probabilities, no valve gaps, no numbers. The answer is `DO NOT TURN`, or `TURN ONLY` with
// direction, amount and where to stop. Missing data is `DO NOT TURN`: each fact begins as unknown,
// and no unknown fact allows what a known one would forbid.
//
// TURN ONLY has three ways, and no other:
//
//   drive intact   the chain on every sprocket, the tensioner released, every phaser locked and
//                  checked (or none fitted), the camshafts working the valves, and the marks right
//                  on every sprocket, seen after the drive was last touched or turned
//   crank alone    the chain off, every valve closed (followers out, or caps loosened): nothing
//                  then stands in the way of the pistons
//   followers out  the chain still on under its released tensioner, every follower out
//
// each with variant and running direction known, the definition of the variant without
// contradiction, nothing dropped into the chain case, no resistance felt, and the engine at least
// partly apart. Choices that someone could ask about:
//
// * Sprocket marks alone carry "right" only if no jump was heard; otherwise link counts or a degree
//   wheel must say it. Colored links never do: they return after many turns only, and belong to the
//   chain.
// * An engine in service, never opened and without complaint, is DO NOT TURN too: nothing has been
//   seen of it, and who asks has a reason to ask. Opening a cover and seeing the marks changes it.
// * Turned twice by hand without resistance does not prove marks: a camshaft one tooth early can
//   turn free with its phaser locked and touch at full advance. Who turned it, and which way, does
//   not decide by itself, since the marks have to be seen after it.
// * A free-running engine, or pistons proven mid-stroke, allow nothing: valve against valve
// remains.
//
// Sources: common practice (no maker's data). The engine maker's procedure comes first.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "casework/case.h"

namespace tautmark {

enum class Loop { unknown, chain, belt };
enum class TensionerNow { unknown, pin_in, released, not_fitted };
enum class PhasersNow { unknown, not_locked, locked_unchecked, locked_checked, none_fitted };
// By what the marks stand right, on every sprocket; the last three were seen after the drive was
// last touched or turned.
enum class MarksNow { unknown, wrong, colored_links, before_last_touch, sprocket_marks, counted };
enum class ShiftTo { unknown, early, late };
enum class CamKind { unknown, intake, exhaust };
enum class PistonsAt { unknown, mid_stroke, near_top };
enum class Wish { turn, backwards, starter, start };

struct TurningFacts {
  YesNo apart = YesNo::unknown;
  Turned turned = Turned::unknown;  // since it was apart, or since the marks were seen
  Loop loop = Loop::unknown;
  OnOff chain = OnOff::unknown;  // on: on every sprocket
  TensionerNow tensioner = TensionerNow::unknown;
  PhasersNow phasers = PhasersNow::unknown;  // every phaser
  std::string phasers_checked_how{};         // shown only
  MarksNow marks = MarksNow::unknown;
  std::string said{};                      // on the phone, that forbids it: one clause
  std::string marks_why{};                 // one clause, shown only
  std::string marks_return{};              // after the turns, one sentence, shown only
  int teeth_off = 0;                       // 0: not known
  ShiftTo shift = ShiftTo::unknown;        // of marks that are wrong
  CamKind cam = CamKind::unknown;          // likewise
  bool variant_known = false;              // the exact engine
  std::string bent{};                      // why a valve may hang open: one clause
  std::string work{};                      // by the steps entered not together: one clause
  std::string contradiction{};             // within its definition; empty: none found
  std::optional<Rotation> rotation{};      // of the crankshaft, seen from the front
  std::optional<bool> resistance{};        // felt at any time since
  std::optional<bool> dropped{};           // something lies in the chain case
  std::optional<bool> jump_heard{};        // rattle, then sudden loss of power
  ValvesNow valves = ValvesNow::unknown;   // of every cylinder
  PistonsAt pistons = PistonsAt::unknown;  // proven
  std::optional<bool> interference{};      // valves can meet pistons
  Wish wish = Wish::turn;
};

struct TurningCard {
  bool may_turn = false;
  std::string answer;      // "DO NOT TURN", "TURN ONLY by hand, clockwise ..."
  std::string because;     // one sentence
  std::string instead;     // what to do instead; of a TURN ONLY: what first and after
  std::string changes_it;  // the fact that would change the answer, and what would still be missing
  std::string say;         // to read aloud
  std::string holds_for;   // the state that the answer is for
  std::vector<std::string> cautions;
};

TurningCard turning_card(const TurningFacts& facts);

// What is asked next, and is DO NOT TURN whatever is known: backwards, on the starter, a start.
struct NeverCard {
  std::string asked;  // "backwards", "starter", "start"
  std::string because, instead, changes_it, say;
};
std::vector<NeverCard> never_cards(Loop loop);

// The name of the first rule that forbids it: "marks-unknown"; empty where none does.
std::string_view forbidden_by(const TurningFacts& facts);

// Seen from the other end, clockwise is counterclockwise.
Rotation from_front(Rotation rotation, ViewedFrom seen_from);

}  // namespace tautmark
