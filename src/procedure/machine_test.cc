// SPDX-License-Identifier: Apache-2.0
#include "procedure/machine.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "procedure/test_drives.h"

namespace tautmark::procedure {
namespace {

using ::testing::Contains;
using ::testing::IsEmpty;
using ::testing::Not;

struct Machine {
  LoadedDrive loaded = test::loaded_text("");
  std::vector<ProcedureStep> written{};
  Plan plan = plan_of(loaded.drive);
  State state = state_of_whole(plan);

  Step step(const std::vector<std::string>& gives, std::optional<StepTurns> turns = {},
            const std::vector<std::string>& needs = {}) {
    loaded.drive.procedure = {test::written(gives, turns, needs)};
    return plan_of(loaded.drive).steps.front();
  }
  std::vector<std::string> missing(const std::vector<std::string>& gives,
                                   std::optional<StepTurns> turns = {}) {
    std::vector<std::string> texts;
    for (const Blocked& one : blocked(plan, step(gives, turns), state))
      texts.push_back(fact_text(one.missing) + (one.may_override ? "" : " *"));
    return texts;
  }
  void set(std::initializer_list<const char*> words) {
    for (const char* one : words) state.set(test::fact(one));
  }
  void go(const std::vector<std::string>& gives, std::optional<StepTurns> turns = {}) {
    state = after(plan, step(gives, turns), std::move(state));
  }
  [[nodiscard]] bool holds(const char* words) const { return state.holds(test::fact(words)); }
};

// A drive put together, its pin out, its marks confirmed.
Machine together() {
  Machine m;
  m.set({"chain on", "slack on the tensioner strand", "tensioner released", "phaser locked",
         "camshaft free", "caps final", "phaser bolt final", "marks confirmed",
         "crank at reference", "covers off"});
  return m;
}

TEST(Machine, WithSomethingLostNothingIsCrankedNorHandedOver) {
  Machine m = together();
  for (const char* given : {"oil primed", "engine started", "handed over"}) {
    EXPECT_THAT(m.missing({given}), Not(Contains("everything accounted for *"))) << given;
    Machine lost = m;
    lost.set({"something lost"});
    EXPECT_THAT(lost.missing({given}), Contains("everything accounted for *")) << given;
  }
}

TEST(Machine, PullsThePinOnlyOnceEverythingStands) {
  Machine m;
  m.set({"chain on", "slack on the tensioner strand", "marks confirmed", "phaser locked",
         "tensioner pinned"});
  EXPECT_THAT(m.missing({"tensioner released"}), IsEmpty());
  for (const char* needed : {"chain on", "slack on the tensioner strand", "marks confirmed",
                             "phaser locked", "phaser bolt final", "caps final"}) {
    Machine lacks = m;
    lacks.state.end(test::fact(needed));
    EXPECT_THAT(lacks.missing({"tensioner released"}), Contains(fact_text(test::fact(needed))));
  }
}

TEST(Machine, TurnsNothingThatIsNotTogether) {
  Machine m = together();
  EXPECT_THAT(m.missing({}, StepTurns::two_turns), IsEmpty());
  for (const char* needed : {"chain on", "tensioner released", "phaser locked", "camshaft free",
                             "caps final", "phaser bolt final", "marks confirmed"}) {
    Machine lacks = m;
    lacks.state.end(test::fact(needed));
    EXPECT_THAT(lacks.missing({}, StepTurns::two_turns),
                Contains(fact_text(test::fact(needed)) + " *"));
  }
  m.state.set(test::fact("something lost"));
  EXPECT_THAT(m.missing({}, StepTurns::a_little), Contains("everything accounted for *"));
}

TEST(Machine, AsFoundIsTurnedWithMarksRecordedOnly) {
  Machine m;
  m.set({"phaser locked"});
  EXPECT_THAT(m.missing({}, StepTurns::to_reference), Contains("bank 1: marks confirmed *"));
  m.set({"marks recorded"});
  EXPECT_THAT(m.missing({}, StepTurns::to_reference), IsEmpty());
  m.set({"chain on"});  // laid on by somebody: no longer as found
  EXPECT_THAT(m.missing({}, StepTurns::to_reference), Contains("bank 1: marks confirmed *"));
}

TEST(Machine, ATurnLeavesMarksToBeReadAgain) {
  Machine m = together();
  m.go({}, StepTurns::two_turns);
  EXPECT_TRUE(m.holds("two turns done"));
  EXPECT_TRUE(m.holds("crank at reference"));
  EXPECT_FALSE(m.holds("marks confirmed"));
  EXPECT_THAT(m.missing({"marks proven"}), IsEmpty());
  m.go({"marks proven"});
  m.go({}, StepTurns::a_little);
  EXPECT_FALSE(m.holds("crank at reference"));
  EXPECT_FALSE(m.holds("marks proven"));
}

TEST(Machine, LoosenedThingsTakeTheTurnsAndTheStart) {
  for (const char* loosened : {"chain off", "tensioner pinned", "phaser bolt snug", "caps loose"}) {
    Machine m = together();
    m.set({"two turns done", "marks proven", "oil primed", "engine started", "relearn done",
           "recorded after"});
    m.go({loosened});
    for (const char* lost :
         {"two turns done", "oil primed", "engine started", "relearn done", "recorded after"})
      EXPECT_FALSE(m.holds(lost)) << loosened << ", " << lost;
    EXPECT_TRUE(m.holds("recorded before"));
  }
}

TEST(Machine, NoOverrideStartsOrHandsOverWithoutProvenMarks) {
  Machine m = together();
  for (const char* step : {"marks proven", "oil primed", "engine started", "handed over"})
    EXPECT_THAT(m.missing({step}), Contains("two turns done *")) << step;
  EXPECT_THAT(m.missing({"engine started"}), Contains("bank 1: marks proven *"));
  EXPECT_THAT(m.missing({"covers on"}), Contains("bank 1: marks proven"));
  EXPECT_THAT(m.missing({"two turns done"}), Contains("two turns done *"));
}

TEST(Machine, AStepMayNotEndWhatItRestsOn) {
  Machine m = together();
  m.set({"two turns done"});
  EXPECT_THAT(m.missing({"marks proven"}), IsEmpty());
  EXPECT_THAT(m.missing({"marks proven", "phaser bolt out"}), Contains("two turns done *"));
  EXPECT_THAT(m.missing({"chain off", "marks proven"}), Contains("bank 1: chain on *"));
  EXPECT_THAT(m.missing({"chain as found"}), Contains("chain as found *"));
}

TEST(Machine, ReadsTheTensionerBeforeItIsRelieved) {
  Machine m;
  m.set({"covers off", "marks recorded", "camshaft held"});
  EXPECT_THAT(m.missing({"tensioner pinned"}), Contains("bank 1: extension read"));
  EXPECT_THAT(m.missing({"extension read"}), IsEmpty());
  m.go({"tensioner pinned"});
  EXPECT_THAT(m.missing({"extension read"}), Contains("bank 1: tensioner released"));
  EXPECT_THAT(m.missing({"chain off"}), Contains("bank 1: extension read"));
}

TEST(Machine, OwnConditionsMayBeOverridden) {
  Machine m;
  const auto why = blocked(m.plan, m.step({"covers off"}, {}, {"table laid"}), m.state);
  ASSERT_EQ(why.size(), 1U);
  EXPECT_FALSE(why.front().by_rule);
  EXPECT_TRUE(why.front().may_override);
}

TEST(Plan, KeepsWordsThatItCannotRead) {
  const LoadedDrive loaded =
      test::loaded_text("procedure: [{name: a, what: w, gives: [covers off, chian on]}]\n");
  const Plan plan = plan_of(loaded.drive);
  ASSERT_EQ(plan.unread.size(), 1U);
  EXPECT_EQ(plan.unread.front().field, "gives");
  EXPECT_EQ(plan.unread.front().word, 1U);
  EXPECT_EQ(plan.steps.front().gives.size(), 1U);
}

}  // namespace
}  // namespace tautmark::procedure
