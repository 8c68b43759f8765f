// SPDX-License-Identifier: Apache-2.0
// No sequence of allowed steps, without override, reaches a forbidden state: every sequence of the
// steps of both demo procedures, in any order and any number of times.
//
// The procedures' own conditions are left out, so that nothing but the rules of machine.h stands in
// the way: that allows every sequence that the procedures allow, and many more. What is forbidden
// is written down here a second time, from trade.md 2.4, 2.7 and 2.8, by an oracle that reads the
// words of the steps and keeps its own history; it knows nothing of machine_rules.cc.
//
// A second search keeps those conditions, for every way to decide on parts: a part that is off is
// on again before anything rests on it.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <deque>
#include <map>
#include <set>
#include <unordered_set>

#include "base/text.h"
#include "procedure/decided.h"
#include "procedure/test_drives.h"
#include "support/long_tests.h"

namespace tautmark::procedure {
namespace {

// What happened to one bank, as somebody would tell it who stood beside the engine.
struct BankHistory {
  bool on = true, ever_off = false, slack = false, released = true, locked = false, held = false;
  bool cam_let_go = true, bolt_final = true, caps_final = true;
  bool recorded_as_found = false, extension_read_as_found = false;
  bool confirmed = false;  // since anything moved
  bool proven = false;     // since anything moved, after two turns
};
struct History {
  std::map<int, BankHistory> banks{};
  bool two_turns = false;  // since a chain, tensioner, phaser bolt or cap was last touched
  bool covers_on = true, accounted = false, primed = false, started = false, relearned = false;
  bool recorded_after = false;
  bool head_off = false, sprocket_off = false;
};

struct Oracle {
  History now{};
  std::vector<std::string> wrong{};
  bool has_phasers = true;

  void expect(bool holds, std::string_view what) {
    if (!holds) wrong.emplace_back(what);
  }
  template <class Holds>
  bool every(Holds holds) const {
    return std::all_of(now.banks.begin(), now.banks.end(),
                       [&](const auto& bank) { return holds(bank.second); });
  }

  void touched(BankHistory& bank) {
    bank.confirmed = bank.proven = false;
    now.two_turns = now.primed = now.started = now.relearned = now.recorded_after = false;
  }

  void turn(StepTurns how_far) {
    expect(!now.head_off && !now.sprocket_off, "turned with a part off");
    for (auto& [number, bank] : now.banks) {
      expect(bank.on, "turned with the chain off");
      expect(bank.released, "turned with the tensioner not released");
      expect(bank.locked, "turned with a phaser that is not locked");
      expect(bank.cam_let_go && !bank.held, "turned with a camshaft held");
      expect(bank.bolt_final && bank.caps_final, "turned with a loose phaser bolt or caps");
      expect(bank.confirmed || (!bank.ever_off && bank.recorded_as_found),
             "turned with marks that nobody looked at");
      bank.confirmed = bank.proven = false;
    }
    if (how_far == StepTurns::two_turns) now.two_turns = true;
  }

  void of_bank(const std::string& words, BankHistory& bank) {
    if (words == "chain off") {
      expect(bank.ever_off || bank.extension_read_as_found, "chain off, extension never read");
      expect(bank.ever_off || bank.recorded_as_found, "chain off, marks never recorded");
      expect(bank.held, "chain off, camshaft not held");
      expect(!bank.released, "chain off under a released tensioner");
      bank.on = bank.slack = false;
      bank.ever_off = true;
      touched(bank);
    } else if (words == "chain on") {
      expect(!now.head_off && !now.sprocket_off, "chain laid on with a part off");
      expect(!bank.released, "chain laid on with the plunger out");
      bank.on = true;
      bank.slack = false;
      touched(bank);
    } else if (words == "slack on the tensioner strand") {
      bank.slack = true;
    } else if (words == "tensioner released") {
      expect(bank.on, "pin pulled with the chain off");
      expect(bank.slack, "pin pulled with the slack elsewhere");
      expect(bank.confirmed, "pin pulled before the marks were confirmed");
      expect(bank.locked, "pin pulled with a phaser that is not locked");
      bank.released = true;
    } else if (words == "tensioner pinned" || words == "tensioner out") {
      expect(bank.extension_read_as_found, "tensioner relieved, extension never read");
      if (bank.released)
        now.two_turns = now.primed = now.started = now.relearned = now.recorded_after = false;
      bank.released = false;
    } else if (words == "phaser locked") {
      bank.locked = true;
    } else if (words == "phaser bolt final") {
      expect(bank.held, "phaser bolt final, camshaft not held");
      bank.bolt_final = true;
    } else if (words == "phaser bolt out" || words == "phaser bolt snug") {
      bank.bolt_final = false;
      touched(bank);
    } else if (words == "camshaft held") {
      bank.held = true;
      bank.cam_let_go = false;
    } else if (words == "camshaft free") {
      bank.held = false;
      bank.cam_let_go = true;
    } else if (words == "caps loose") {
      bank.caps_final = false;
      touched(bank);
    } else if (words == "caps final") {
      expect(!now.head_off, "caps drawn down with the head off");
      bank.caps_final = true;
    } else if (words == "marks recorded") {
      expect(!bank.ever_off, "marks recorded as found after the chain was off");
      bank.recorded_as_found = true;
    } else if (words == "extension read") {
      expect(!bank.ever_off && bank.released, "extension read after it was relieved");
      bank.extension_read_as_found = true;
    } else if (words == "marks set") {
      bank.confirmed = bank.proven = false;
    } else if (words == "marks confirmed") {
      expect(bank.on && bank.locked, "marks confirmed off the chain or off the lock");
      bank.confirmed = true;
      bank.proven = false;
    } else if (words == "marks proven") {
      expect(now.two_turns, "marks proven without two turns");
      expect(bank.released, "marks proven with the tensioner pinned");
      bank.confirmed = bank.proven = true;
    } else {
      FAIL() << "the oracle does not know \"" << words << "\"";
    }
  }

  bool proven() const {
    return now.two_turns && every([](const BankHistory& b) { return b.proven && b.on; });
  }

  // True: of the engine.
  bool of_engine(const std::string& words) {
    if (words == "covers off") {
      now.covers_on = now.accounted = false;
    } else if (words == "covers on") {
      expect(now.two_turns, "covers on without two turns");
      expect(proven(), "covers on without proven marks");
      expect(now.accounted, "covers on with something unaccounted for");
      now.covers_on = true;
    } else if (words == "oil primed" || words == "engine started") {
      expect(proven(), words + " without sprocket marks proven after two turns");
      expect(every([](const BankHistory& b) { return b.bolt_final && b.caps_final && b.released; }),
             words + " with something loose");
      expect(every([](const BankHistory& b) { return !b.held; }), words + " with a camshaft held");
      expect(now.covers_on, words + " with the covers off");
      if (words == "oil primed") now.primed = true;
      if (words == "engine started") {
        expect(now.primed, "started without priming");
        now.started = true;
        for (auto& [number, bank] : now.banks) bank.locked = false;
      }
    } else if (words == "relearn done") {
      expect(now.started, "relearn of an engine that does not run");
      now.relearned = true;
    } else if (words == "recorded after") {
      now.recorded_after = true;
    } else if (words == "handed over") {
      expect(proven(), "handed over without sprocket marks proven after two turns");
      expect(now.started && now.relearned && now.recorded_after && now.covers_on,
             "handed over unfinished");
    } else if (words == "everything accounted for") {
      now.accounted = true;
    } else {
      return words == "recorded before" || words == "two turns done" ||
             words == "crank at reference";
    }
    return true;
  }

  // True: of the procedure's own words.
  bool own(const std::string& words) {
    if (words == "head off" || words == "head fitted") {
      now.head_off = words == "head off";
      expect(!now.head_off || every([](const BankHistory& b) { return !b.caps_final; }),
             "head off under tightened caps");
    }
    if (words == "crank sprocket off" || words == "crank sprocket fitted")
      now.sprocket_off = words == "crank sprocket off";
    const auto facts = all_facts();
    return std::none_of(facts.begin(), facts.end(),
                        [&](const FactWords& one) { return one.words == words; });
  }

  void step(const ProcedureStep& written) {
    if (written.turns) turn(*written.turns);
    for (const std::string& words : written.ends)
      if (words == "camshaft held")
        for (auto& [number, bank] : now.banks) bank.held = false;
    for (const std::string& words : written.gives) {
      if (own(words) || of_engine(words)) continue;
      for (auto& [number, bank] : now.banks)
        if (!written.bank || *written.bank == number) of_bank(words, bank);
    }
  }
};

bool is_of_the_list(const std::string& words) {
  const auto facts = all_facts();
  return std::any_of(facts.begin(), facts.end(),
                     [&](const FactWords& one) { return one.words == words; });
}

// The drive with nothing but what the rules are about.
Drive bare(Drive drive) {
  std::vector<ProcedureStep> kept;
  for (ProcedureStep& step : drive.procedure) {
    step.needs.clear();
    for (std::vector<std::string>* words : {&step.gives, &step.ends})
      std::erase_if(*words, [](const std::string& one) { return !is_of_the_list(one); });
    if (!step.gives.empty() || !step.ends.empty() || step.turns) kept.push_back(step);
  }
  drive.procedure = kept;
  return drive;
}

// Equal for equal states and histories only.
std::string key_of(const Plan& plan, const std::vector<Fact>& own, const State& state,
                   const History& now) {
  std::string key;
  const auto add = [&](Item item, int bank) {
    key += static_cast<char>('a' + state.value_of(item, bank).value_or(-1));
  };
  for (int item = 0; item <= static_cast<int>(Item::handed_over); ++item) {
    add(static_cast<Item>(item), 0);
    for (const int bank : plan.banks) add(static_cast<Item>(item), bank);
  }
  for (const Fact& fact : own) key += state.holds(fact) ? '1' : '0';
  for (const bool one : {now.two_turns, now.covers_on, now.accounted, now.primed, now.started,
                         now.relearned, now.recorded_after, now.head_off, now.sprocket_off})
    key += one ? '1' : '0';
  for (const auto& [number, b] : now.banks)
    for (const bool one :
         {b.on, b.ever_off, b.slack, b.released, b.locked, b.held, b.cam_let_go, b.bolt_final,
          b.caps_final, b.recorded_as_found, b.extension_read_as_found, b.confirmed, b.proven})
      key += one ? '1' : '0';
  return key;
}

std::vector<Fact> own_facts(const Plan& plan) {
  std::set<Fact> own;
  for (const Step& step : plan.steps)
    for (const Fact& give : step.gives)
      if (!give.own.empty()) own.insert(give);
  return {own.begin(), own.end()};
}

History start(const Plan& plan) {
  History history;
  for (const int bank : plan.banks) history.banks[bank];
  return history;
}

struct Searched {
  std::size_t states = 0;
  std::vector<std::string> wrong{};
  bool handed_over = false;
};

Searched search(const Plan& plan) {
  Searched out;
  std::unordered_set<std::string> seen;
  const std::vector<Fact> own = own_facts(plan);
  const auto is_new = [&](const State& state, const History& now) {
    return seen.insert(key_of(plan, own, state, now)).second;
  };
  std::deque<std::pair<State, History>> waiting = {{state_of_whole(plan), start(plan)}};
  is_new(waiting.front().first, waiting.front().second);
  while (!waiting.empty() && out.wrong.empty()) {
    const auto [state, history] = std::move(waiting.front());
    waiting.pop_front();
    for (const Step& step : plan.steps) {
      if (step.left_out || !may_do(plan, step, state)) continue;
      Oracle oracle{.now = history};
      oracle.step(*step.written);
      State then = after(plan, step, state);
      out.handed_over = out.handed_over || then.holds({.item = Item::handed_over});
      for (const std::string& wrong : oracle.wrong)
        out.wrong.push_back(step.written->name + ": " + wrong + "\n  " +
                            joined(state_text(state), "\n  "));
      if (is_new(then, oracle.now)) waiting.emplace_back(std::move(then), std::move(oracle.now));
    }
  }
  out.states = seen.size();
  return out;
}

class EverySequence : public ::testing::TestWithParam<const char*> {};

// The banks of one engine follow the same rules: the first alone tells in seconds what both tell
// in half a minute.
Drive first_bank_of(Drive drive) {
  drive.banks.resize(1);
  std::erase_if(drive.procedure,
                [](const ProcedureStep& step) { return step.bank.value_or(1) != 1; });
  return drive;
}

TEST_P(EverySequence, ReachesNoForbiddenState) {
  Drive drive = bare(test::loaded_demo(GetParam()).drive);
  if (!tautmark::test::are_long()) drive = first_bank_of(std::move(drive));
  ASSERT_GE(drive.procedure.size(), 20U);
  const Searched found = search(plan_of(drive));
  EXPECT_THAT(found.wrong, ::testing::IsEmpty());
  EXPECT_TRUE(found.handed_over);  // the rules leave a way to the end
  RecordProperty("states", static_cast<int>(found.states));
  std::printf("%s: %zu states\n", GetParam(), found.states);
}

TEST_P(EverySequence, UnderItsOwnConditionsWithAndWithoutEachDecidedPart) {
  const LoadedDrive loaded = test::loaded_demo(GetParam());
  const std::vector<Way> ways = ways_of(plan_of(loaded.drive));
  ASSERT_EQ(ways.size(), 2U);
  for (const Way& way : ways) {
    const Searched found = search(way.plan);
    EXPECT_THAT(found.wrong, ::testing::IsEmpty());
    EXPECT_TRUE(found.handed_over);
    std::printf("%s, %zu left out: %zu states\n", GetParam(), way.left_out.size(), found.states);
  }
}

INSTANTIATE_TEST_SUITE_P(Demo, EverySequence, ::testing::ValuesIn(test::kDemoDrives));

// That the oracle can say no: each forbidden thing done at once on a whole engine, unasked.
TEST(Oracle, SeesEachForbiddenThing) {
  const auto wrong = [](const std::string& gives, std::optional<StepTurns> turns = {}) {
    Oracle oracle;
    oracle.now.banks[1].on = false;
    oracle.step(test::written({gives}, turns));
    return joined(oracle.wrong, "; ");
  };
  using ::testing::HasSubstr;
  EXPECT_THAT(wrong("tensioner released"), HasSubstr("pin pulled with the chain off"));
  EXPECT_THAT(wrong("phaser bolt final"), HasSubstr("camshaft not held"));
  EXPECT_THAT(wrong("covers on"), HasSubstr("covers on without two turns"));
  EXPECT_THAT(wrong("engine started"), HasSubstr("without sprocket marks proven"));
  EXPECT_THAT(wrong("two turns done", StepTurns::two_turns),
              HasSubstr("turned with the chain off"));
  EXPECT_THAT(wrong("handed over"), HasSubstr("handed over without"));
  EXPECT_THAT(wrong("chain off"), HasSubstr("extension never read"));
}

}  // namespace
}  // namespace tautmark::procedure
