// SPDX-License-Identifier: Apache-2.0
#include "procedure/machine.h"

#include <algorithm>

namespace tautmark::procedure {
namespace {

// A rule: who gives the first fact needs the others, of the same bank where they are of banks.
struct RuleNeed {
  Item item{};
  int value = 0;
};
struct Rule {
  Item item{};
  int value = 0;
  std::vector<RuleNeed> needs;
  bool may_override = true;
  std::string_view why;
};

const std::vector<Rule>& rules() {
  static const std::vector<Rule> kRules = {
      {Item::tensioner,
       1,
       {{Item::chain, 0}, {Item::slack, 0}, {Item::marks, 2}, {Item::phaser, 0}},
       true,
       "the tensioner is released only with the chain on, the slack on its strand, the marks "
       "confirmed and the phaser locked"},
      {Item::phaser_bolt,
       2,
       {{Item::camshaft, 0}},
       true,
       "the phaser bolt gets its final tightening only against the flats of the camshaft"},
      {Item::marks,
       2,
       {{Item::chain, 0}, {Item::phaser, 0}},
       true,
       "marks are confirmed with the chain on and the phaser locked"},
      {Item::marks,
       3,
       {{Item::turned, 0}, {Item::tensioner, 1}},
       true,
       "marks are proven after two turns by hand with the tensioner released"},
      {Item::chain,
       1,
       {{Item::extension, 0}, {Item::camshaft, 0}, {Item::marks, 0}},
       true,
       "before the chain comes off the marks are recorded, the plunger's extension is read and the "
       "camshaft is held: it can snap round"},
      {Item::covers,
       1,
       {{Item::turned, 0}, {Item::marks, 3}, {Item::accounted, 0}},
       true,
       "the covers go on after two turns by hand, with the marks proven and everything accounted "
       "for"},
      {Item::engine,
       0,
       {{Item::marks, 3},
        {Item::turned, 0},
        {Item::phaser_bolt, 2},
        {Item::covers, 1},
        {Item::primed, 0}},
       false,
       "the engine is started only with the sprocket marks proven after two turns, the phaser "
       "bolts "
       "tightened, the covers on and the oil primed"},
      {Item::handed_over,
       0,
       {{Item::marks, 3}, {Item::engine, 0}, {Item::relearn, 0}, {Item::recording, 1}},
       false,
       "handed over with the sprocket marks proven after two turns, the relearn done and a second "
       "recording"},
      {Item::relearn, 0, {{Item::engine, 0}}, true, "the relearn needs the running engine"},
      {Item::recording,
       1,
       {{Item::engine, 0}},
       true,
       "the second recording is of the running engine"},
  };
  return kRules;
}

constexpr RuleNeed kTurnNeeds[] = {
    {Item::chain, 0}, {Item::tensioner, 1}, {Item::phaser, 0}, {Item::marks, 2}};
constexpr std::string_view kTurnWhy =
    "the crankshaft is turned by hand only with the chain on, the tensioner released, the phasers "
    "locked and the marks confirmed, and only as the turning answer allows";

bool of_bank(Item item) {
  const auto facts = all_facts();
  return std::any_of(facts.begin(), facts.end(),
                     [&](const FactWords& f) { return f.item == item && f.of_bank; });
}

// The banks for which a need of a rule counts: the fact's own, or every one.
std::vector<int> banks_of(const Plan& plan, Item item, int bank) {
  if (!of_bank(item)) return {0};
  const bool of_phaser = item == Item::phaser || item == Item::phaser_bolt;
  const std::vector<int>& meant = of_phaser ? plan.phaser_banks : plan.banks;
  if (bank == 0) return meant;
  const bool has = std::find(meant.begin(), meant.end(), bank) != meant.end();
  return has ? std::vector<int>{bank} : std::vector<int>{};
}

void add_missing(std::vector<Blocked>& out, const Plan& plan, const State& state, int bank,
                 std::span<const RuleNeed> needs, bool may_override, std::string_view why) {
  for (const RuleNeed& need : needs) {
    for (const int of : banks_of(plan, need.item, bank)) {
      const Fact fact{.item = need.item, .value = need.value, .bank = of};
      if (state.holds(fact)) continue;
      out.push_back({fact, true, may_override, std::string(why)});
    }
  }
}

void chain_comes_off(State& state, int bank) {
  state.forget(Item::slack, bank);
  state.forget(Item::marks, bank);
  state.forget(Item::turned);
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
    const auto read = [&](const std::vector<std::string>& words, std::vector<Fact>& facts) {
      for (const std::string& one : words) {
        if (const auto fact = read_fact(one, written.bank, plan.banks)) {
          facts.insert(facts.end(), fact->begin(), fact->end());
        } else {
          plan.unread.push_back({plan.steps.size(), one, fact.error().why});
        }
      }
    };
    read(written.needs, step.needs);
    read(written.gives, step.gives);
    read(written.ends, step.ends);
    plan.steps.push_back(std::move(step));
  }
  return plan;
}

std::vector<Blocked> blocked(const Plan& plan, const Step& step, const State& state) {
  std::vector<Blocked> out;
  for (const Fact& give : step.gives) {
    if (!give.own.empty()) continue;
    for (const Rule& rule : rules()) {
      if (rule.item != give.item || rule.value != give.value) continue;
      add_missing(out, plan, state, give.bank, rule.needs, rule.may_override, rule.why);
    }
  }
  if (step.written->turns) {
    add_missing(out, plan, state, 0, kTurnNeeds, false, kTurnWhy);
  }
  const bool says_turned = std::any_of(step.gives.begin(), step.gives.end(), [](const Fact& give) {
    return give.own.empty() && give.item == Item::turned;
  });
  if (says_turned && step.written->turns != StepTurns::two_turns) {
    out.push_back(
        {{.item = Item::turned}, true, false, "two turns are done only by a step that turns them"});
  }
  for (const Fact& need : step.needs) {
    if (state.holds(need)) continue;
    const bool said =
        std::any_of(out.begin(), out.end(), [&](const Blocked& b) { return b.missing == need; });
    if (!said) out.push_back({need, false, true, "the procedure wants it before this step"});
  }
  return out;
}

State after(const Plan& plan, const Step& step, State state) {
  if (step.written->turns) {
    state.forget(Item::crank);
    for (const int bank : plan.banks) state.forget(Item::marks, bank);
    if (step.written->turns == StepTurns::two_turns) state.set({.item = Item::turned});
    if (step.written->turns == StepTurns::to_reference) state.set({.item = Item::crank});
  }
  for (const Fact& end : step.ends) state.end(end);
  for (const Fact& give : step.gives) {
    if (give.own.empty() && give.item == Item::chain && give.value == 1) {
      chain_comes_off(state, give.bank);
    }
    const bool loses_turns =
        give.own.empty() && ((give.item == Item::tensioner && give.value != 1) ||
                             (give.item == Item::chain && give.value == 0));
    if (loses_turns) state.forget(Item::turned);
    if (give.own.empty() && give.item == Item::phaser && give.value == 1) {
      state.forget(Item::marks, give.bank);
    }
    if (give.own.empty() && give.item == Item::covers && give.value == 0) {
      state.forget(Item::accounted);
    }
    state.set(give);
  }
  return state;
}

}  // namespace tautmark::procedure
