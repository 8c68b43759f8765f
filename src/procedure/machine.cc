// SPDX-License-Identifier: Apache-2.0
#include "procedure/machine.h"

#include <algorithm>

#include "procedure/machine_rules.h"

namespace tautmark::procedure {
namespace {

bool of_bank(Item item) {
  static const std::vector<bool> kOfBank = [] {
    std::vector<bool> of(static_cast<std::size_t>(Item::handed_over) + 1, false);
    for (const FactWords& fact : all_facts())
      if (fact.of_bank) of[static_cast<std::size_t>(fact.item)] = true;
    return of;
  }();
  return kOfBank[static_cast<std::size_t>(item)];
}

// The banks for which a need of a rule counts: the fact's own, or every one.
std::span<const int> banks_of(const Plan& plan, Item item, int bank) {
  static constexpr int kEngine[] = {0};
  if (!of_bank(item)) return kEngine;
  const bool of_phaser = item == Item::phaser || item == Item::phaser_bolt;
  const std::span<const int> meant = of_phaser ? plan.phaser_banks : plan.banks;
  if (bank == 0) return meant;
  const auto own = std::find(meant.begin(), meant.end(), bank);
  return own == meant.end() ? std::span<const int>() : std::span<const int>(&*own, 1);
}

bool satisfied(const State& state, const RuleNeed& need, int bank) {
  return state.holds({.item = need.item, .value = need.value, .bank = bank}) ||
         (need.or_value >= 0 &&
          state.holds({.item = need.item, .value = need.or_value, .bank = bank}));
}

void add_once(std::vector<Blocked>& out, Blocked one) {
  const auto same = std::find_if(out.begin(), out.end(),
                                 [&](const Blocked& b) { return b.missing == one.missing; });
  if (same == out.end()) {
    out.push_back(std::move(one));
  } else if (!one.may_override) {
    *same = std::move(one);
  }
}

constexpr std::size_t kEvery = static_cast<std::size_t>(-1);

void add_missing(std::vector<Blocked>& out, const Plan& plan, const State& state, const Rule& rule,
                 int bank, std::size_t most = kEvery) {
  for (const RuleNeed& need : rule.needs) {
    if (out.size() >= most) return;
    for (const int of : banks_of(plan, need.item, bank)) {
      if (satisfied(state, need, of)) continue;
      add_once(out, {{.item = need.item, .value = need.value, .bank = of},
                     true,
                     rule.may_override,
                     std::string(rule.why)});
    }
  }
}

// Nobody has wrong marks as found confirmed: whether they may be turned is the turning answer's.
bool recorded_as_found(const State& state, int bank) {
  return state.holds({.item = Item::chain, .value = 2, .bank = bank}) &&
         state.holds({.item = Item::as_found, .bank = bank});
}

void add_turn_needs(std::vector<Blocked>& out, const Plan& plan, const State& state) {
  for (const RuleNeed& need : turn_needs()) {
    for (const int bank : banks_of(plan, need.item, 0)) {
      if (satisfied(state, need, bank)) continue;
      if (need.item == Item::marks && recorded_as_found(state, bank)) continue;
      add_once(out, {{.item = need.item, .value = need.value, .bank = bank},
                     true,
                     false,
                     std::string(kTurnWhy)});
    }
  }
}

// Of steps that turn the engine, on its starter too, or give it away.
bool wants_nothing_lost(const Step& step) {
  return step.written->turns || gives_item(step, Item::primed, 0) ||
         gives_item(step, Item::engine, 0) || gives_item(step, Item::handed_over, 0);
}
void add_lost(std::vector<Blocked>& out, const State& state) {
  if (state.holds({.item = Item::accounted, .value = 1}))
    add_once(out, {{.item = Item::accounted}, true, false, std::string(kLostWhy)});
}

template <class Use>
void each_rule(const Step& step, Use use) {
  for (const Fact& give : step.gives) {
    if (!give.own.empty()) continue;
    for (const Rule& rule : rules())
      if (rule.item == give.item && rule.value == give.value) use(rule, give.bank);
  }
}

bool gives_in(const Step& step, Item item, int value, int bank) {
  return std::any_of(step.gives.begin(), step.gives.end(), [&](const Fact& give) {
    return give.own.empty() && give.item == item && give.value == value && give.bank == bank;
  });
}

// What needs an engine in order, once more.
void undo_running(State& state) {
  for (const Item item :
       {Item::turned, Item::primed, Item::engine, Item::relearn, Item::handed_over})
    state.forget(item);
  if (state.value_of(Item::recording) == 1) state.set({.item = Item::recording});
}

void undo_of_bank(State& state, const State& before, const Step& step, int bank) {
  const auto lost = [&](Item item, int value) {
    const Fact fact{.item = item, .value = value, .bank = bank};
    return before.holds(fact) && !state.holds(fact);
  };
  const auto given = [&](Item item, int value) { return gives_in(step, item, value, bank); };
  const bool chain = lost(Item::chain, 0) || given(Item::chain, 0) || given(Item::chain, 1);
  const bool loose = lost(Item::phaser_bolt, 2) || given(Item::phaser_bolt, 0) ||
                     given(Item::phaser_bolt, 1) || lost(Item::caps, 1) || given(Item::caps, 0);
  const bool tensioner = lost(Item::tensioner, 1);
  if (chain) state.forget(Item::slack, bank);
  if (chain || loose || lost(Item::phaser, 0)) state.forget(Item::marks, bank);
  if (chain || loose || tensioner) undo_running(state);
}

void undo(const Plan& plan, const Step& step, const State& before, State& state) {
  for (const int bank : plan.banks) undo_of_bank(state, before, step, bank);
  if (gives_item(step, Item::covers, 0)) {
    state.end({.item = Item::accounted});
    state.forget(Item::handed_over);
  }
  if (gives_item(step, Item::engine, 0)) {
    for (const int bank : plan.banks) state.forget(Item::phaser, bank);
    state.forget(Item::crank);
  }
}

void turn(const Plan& plan, StepTurns how_far, State& state) {
  const bool from_reference = state.holds({.item = Item::crank});
  state.forget(Item::crank);
  for (const int bank : plan.banks) state.forget(Item::marks, bank);
  if (how_far == StepTurns::two_turns) state.set({.item = Item::turned});
  if (how_far == StepTurns::to_reference || (how_far == StepTurns::two_turns && from_reference))
    state.set({.item = Item::crank});
}

// Ends as soon as there are `most`: who only asks whether it may be done needs no list.
std::vector<Blocked> first_blocked(const Plan& plan, const Step& step, const State& state,
                                   std::size_t most) {
  std::vector<Blocked> out, own;
  each_rule(step,
            [&](const Rule& rule, int bank) { add_missing(out, plan, state, rule, bank, most); });
  for (const Fact& need : step.needs)
    if (out.size() < most && !state.holds(need))
      own.push_back({need, false, true, "the procedure wants it before this step"});
  if (out.size() + own.size() >= most) return out.empty() ? own : out;
  std::optional<State> then;
  each_rule(step, [&](const Rule& rule, int bank) {
    if (!rule.holds_after) return;
    if (!then) then = after(plan, step, state);
    add_missing(out, plan, *then, rule, bank, most);
  });
  if (step.written->turns) add_turn_needs(out, plan, state);
  if (wants_nothing_lost(step)) add_lost(out, state);
  if (gives_item(step, Item::turned, 0) && step.written->turns != StepTurns::two_turns)
    add_once(
        out,
        {{.item = Item::turned}, true, false, "two turns are done only by a step that turns them"});
  if (gives_item(step, Item::chain, 2))
    add_once(out, {{.item = Item::chain, .value = 2},
                   true,
                   false,
                   "the chain is as found only until somebody takes it off"});
  for (Blocked& one : own) add_once(out, std::move(one));
  return out;
}

}  // namespace

Plan plan_of(const Drive& drive) {
  Plan plan;
  for (const Bank& bank : drive.banks) plan.banks.push_back(bank.number);
  if (plan.banks.empty()) plan.banks.push_back(1);
  for (const Bank& bank : drive.banks) {
    const bool fitted = std::any_of(bank.camshafts.begin(), bank.camshafts.end(),
                                    [](const Camshaft& cam) { return cam.phaser.has_value(); });
    if (fitted) plan.phaser_banks.push_back(bank.number);
  }
  for (const ProcedureStep& written : drive.procedure) {
    Step step{.written = &written};
    const auto read = [&](std::string_view field, const std::vector<std::string>& words,
                          std::vector<Fact>& facts) {
      for (std::size_t word = 0; word < words.size(); ++word) {
        const std::string& one = words[word];
        if (const auto fact = read_fact(one, written.bank, plan.banks)) {
          facts.insert(facts.end(), fact->begin(), fact->end());
        } else {
          plan.unread.push_back(
              {plan.steps.size(), std::string(field), word, one, fact.error().why});
        }
      }
    };
    read("needs", written.needs, step.needs);
    read("gives", written.gives, step.gives);
    read("ends", written.ends, step.ends);
    plan.steps.push_back(std::move(step));
  }
  return plan;
}

State state_of_whole(const Plan& plan) {
  State state;
  for (const int bank : plan.banks) {
    state.set({.item = Item::chain, .value = 2, .bank = bank});
    state.set({.item = Item::tensioner, .value = 1, .bank = bank});
    state.set({.item = Item::camshaft, .value = 1, .bank = bank});
    state.set({.item = Item::caps, .value = 1, .bank = bank});
  }
  for (const int bank : plan.phaser_banks)
    state.set({.item = Item::phaser_bolt, .value = 2, .bank = bank});
  state.set({.item = Item::covers, .value = 1});
  return state;
}

std::vector<State> states_in_order(const Plan& plan) {
  std::vector<State> states = {state_of_whole(plan)};
  for (const Step& step : plan.steps) states.push_back(after(plan, step, states.back()));
  return states;
}

bool gives_item(const Step& step, Item item, int value) {
  return std::any_of(step.gives.begin(), step.gives.end(), [&](const Fact& give) {
    return give.own.empty() && give.item == item && give.value == value;
  });
}

std::vector<Blocked> blocked(const Plan& plan, const Step& step, const State& state) {
  return first_blocked(plan, step, state, kEvery);
}

bool may_do(const Plan& plan, const Step& step, const State& state) {
  return first_blocked(plan, step, state, 1).empty();
}

std::vector<Fact> needs_by_rule(const Plan& plan, const Step& step) {
  std::vector<Blocked> out;
  each_rule(step, [&](const Rule& rule, int bank) { add_missing(out, plan, {}, rule, bank); });
  if (step.written->turns) add_turn_needs(out, plan, {});
  std::vector<Fact> facts;
  for (const Blocked& one : out) facts.push_back(one.missing);
  return facts;
}

State after(const Plan& plan, const Step& step, State state) {
  const State before = state;
  if (step.written->turns) turn(plan, *step.written->turns, state);
  for (const Fact& end : step.ends) state.end(end);
  for (const Fact& give : step.gives) state.set(give);
  undo(plan, step, before, state);
  for (const Fact& give : step.gives) state.set(give);
  return state;
}

}  // namespace tautmark::procedure
