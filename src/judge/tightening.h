// SPDX-License-Identifier: Apache-2.0
// The fasteners of a definition as cards for the bay: each step in both unit systems spelled out,
// the wrench to take, the order, what is to be asked before anybody turns it.
//
// Nothing is offered that nobody entered: a fastener without steps has none here, a torque that
// cannot be meant shows "check" and its figures as typed, no other. Single use not said counts as
// single use. A clamp load is shown only where pitch, class and friction are known, as a range with
// the friction beside it, and approves nothing. Models: src/tighten.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "casework/case.h"
#include "drive/drive.h"
#include "drive/load.h"
#include "tighten/wrench.h"

namespace tautmark {

// "12 N·m (8.85 lbf·ft, 106 lbf·in)": as typed, then the other units, cut, never rounded up.
std::string torque_spelled(const Written<Torque>& torque);

// For each step, whether its torque cannot be meant for the thread: such a one is shown as it was
// typed, in no other unit and with no wrench.
std::vector<bool> torques_to_check(const Fastener& fastener);

// The same for what a step of the procedure writes again: as the fastener's own step with that
// torque; where it has none, the figures disagree and are to be checked.
std::vector<bool> torques_to_check(const Drive& drive, const Tightens& tightens,
                                   std::optional<int> bank);

// As the definition says; where it does not, one that is tightened by angle and used once, or of
// which that is not said.
bool is_drawn_past_yield(const Fastener& fastener);

// The torque wrenches among instruments: those with a range of torques that has an upper end.
std::vector<tighten::Wrench> torque_wrenches(std::span<const Instrument> instruments);

struct StepCard {
  std::string target{};            // "35 N·m (25.8 lbf·ft, 309 lbf·in)", "then 75 deg further"
  bool to_check = false;           // its torque cannot be meant: the target is as typed
  std::optional<Torque> torque{};  // empty too where it is to be checked
  std::optional<Angle> angle{};
  std::string wrench{};                  // "take the 5 to 25"; empty: no wrenches are listed
  std::vector<std::string> no_wrench{};  // each wrench that does not fit, with the reason
};

struct FastenerCard {
  const Fastener* fastener = nullptr;
  std::vector<StepCard> steps{};
  bool take_new = true;  // single use, or not said
  std::string use{};     // the sentence for it
  std::string order{};   // "maker's order: 3, 4, 1 …", "drawn from the pattern (…): …"
  std::vector<std::string> asks{};  // "check the sheet: …", "ask whether the thread is oiled …"
  std::string clamp_load{};         // a range with its friction, or why there is none
  std::vector<std::string> cautions{};
};

// Warnings of a definition whose torques cannot be meant, or whose thread is not understood.
Diagnostics fastener_lint(const LoadedDrive& loaded);

// Numbers of the bolts from 1 as they are tightened: the maker's order, else drawn from the
// pattern; empty where neither is in the definition.
std::vector<int> bolt_order(const Fastener& fastener);

FastenerCard fastener_card(const Fastener& fastener, std::span<const tighten::Wrench> wrenches);
std::vector<FastenerCard> fastener_cards(const Drive& drive,
                                         std::span<const tighten::Wrench> wrenches);

}  // namespace tautmark
