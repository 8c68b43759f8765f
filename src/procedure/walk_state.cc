// SPDX-License-Identifier: Apache-2.0
#include <vector>

#include "base/text.h"
#include "procedure/walk.h"

namespace tautmark::procedure {
namespace {

// Taken as a step that does just this, so that what follows from it follows here too.
struct Entered {
  const Plan& plan;
  State state;

  void give(Item item, int value, const std::vector<int>& banks) {
    static const ProcedureStep kNothingWritten;
    Step step{.written = &kNothingWritten};
    for (const int bank : banks) {
      const Fact fact{.item = item, .value = value, .bank = bank};
      if (!state.holds(fact)) step.gives.push_back(fact);
    }
    state = after(plan, step, std::move(state));
  }
  void is_unknown(Item item, const std::vector<int>& banks) {
    static const ProcedureStep kNothingWritten;
    Step step{.written = &kNothingWritten};
    for (const int bank : banks)
      if (const auto value = state.value_of(item, bank))
        step.ends.push_back({.item = item, .value = *value, .bank = bank});
    state = after(plan, step, std::move(state));
  }

  void chain(OnOff chain) {
    if (chain == OnOff::unknown) return is_unknown(Item::chain, plan.banks);
    give(Item::chain, chain == OnOff::on ? 0 : 1, plan.banks);
  }

  // A pin that is out of a chain that is off may be out with its plunger, or with the tensioner.
  void pin(InOut pin) {
    if (pin == InOut::in) return give(Item::tensioner, 0, plan.banks);
    for (const int bank : plan.banks) {
      const bool on = state.holds({.item = Item::chain, .bank = bank});
      if (pin == InOut::out && on) {
        give(Item::tensioner, 1, {bank});
      } else if (state.value_of(Item::tensioner, bank) != 2) {
        is_unknown(Item::tensioner, {bank});
      }
    }
  }

  void phaser(Locked locked) {
    if (locked == Locked::unknown) return is_unknown(Item::phaser, plan.phaser_banks);
    give(Item::phaser, locked == Locked::locked ? 0 : 1, plan.phaser_banks);
  }

  void turned() {
    for (const int bank : plan.banks) state.forget(Item::marks, bank);
    state.forget(Item::crank);
  }

  // Turns that met resistance prove nothing, and nothing is cranked on them.
  void resistance() {
    state.forget(Item::turned);
    state.forget(Item::primed);
    turned();
  }

  // Somebody opened an engine whose covers were on: what was proven before is no more, and how far
  // it was taken apart is what this state says.
  void was_opened(YesNo apart) {
    for (const Item item : {Item::covers, Item::accounted, Item::turned, Item::primed, Item::engine,
                            Item::relearn, Item::handed_over, Item::crank})
      state.forget(item);
    if (state.holds({.item = Item::recording, .value = 1})) state.set({.item = Item::recording});
    for (const int bank : plan.banks) {
      state.forget(Item::marks, bank);
      if (apart != YesNo::yes && apart != YesNo::unknown) continue;
      for (const Item item : {Item::chain, Item::slack, Item::tensioner, Item::camshaft,
                              Item::phaser, Item::phaser_bolt, Item::caps})
        state.forget(item, bank);
    }
  }

  void crank(const EngineState& entered) {
    const std::string at = folded(*entered.crank_at);
    state.forget(Item::crank);
    if ((at == "reference" || at == "at reference") && entered.crank_proven_how)
      state.set({.item = Item::crank});
  }
};

}  // namespace

State with_entered_state(const Plan& plan, const EngineState& entered, State state) {
  Entered now{plan, std::move(state)};
  if (entered.apart && *entered.apart != YesNo::no &&
      now.state.holds({.item = Item::covers, .value = 1}))
    now.was_opened(*entered.apart);
  if (entered.chain) now.chain(*entered.chain);
  if (entered.pin) now.pin(*entered.pin);
  if (entered.phaser) now.phaser(*entered.phaser);
  if (entered.valves == ValvesNow::caps_loosened) now.give(Item::caps, 0, plan.banks);
  const bool runs = now.state.holds({.item = Item::engine});
  if (entered.turned && entered.turned != Turned::no && !runs) now.turned();
  if (entered.resistance == true) now.resistance();
  if (entered.crank_at) now.crank(entered);
  if (entered.dropped == true) now.state.set({.item = Item::accounted, .value = 1});
  if (entered.dropped == false) now.state.end({.item = Item::accounted, .value = 1});
  return now.state;
}

}  // namespace tautmark::procedure
