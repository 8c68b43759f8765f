// SPDX-License-Identifier: Apache-2.0
// Decisions, ticks, times, interruptions and late entries: what the walk makes of a whole story.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "procedure/decided.h"
#include "procedure/shown.h"
#include "procedure/test_bay.h"
#include "procedure/walk.h"

namespace tautmark::procedure {
namespace {

using test::Bay;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::SizeIs;

constexpr const char* kOff = "Take the crank sprocket off";
constexpr const char* kFit = "Fit the crank sprocket";

StepDone ticked(int count) {
  return test::make<StepDone>([&](StepDone& it) { it.fasteners = count; });
}
StepDone late() {
  return test::make<StepDone>([](StepDone& it) { it.late = true; });
}

TEST(Decided, NoDecisionBlocksTheStep) {
  Bay bay;
  bay.done_before(kOff);
  const Walk walk = bay.walked();
  EXPECT_THAT(bay.next(walk), ElementsAre(kOff));
  ASSERT_THAT(bay.at(walk, kOff).missing, SizeIs(1));
  EXPECT_EQ(fact_text(bay.at(walk, kOff).missing.front().missing), "crank sprocket decided");
  EXPECT_THAT(bay.at(walk, "Clean and check the seats").missing, Not(IsEmpty()));
}

TEST(Decided, RejectedIsNeededReusedIsLeftOutAndTheLastWordCounts) {
  Bay bay;
  bay.done_before(kOff);
  bay.part("crank sprocket", PartAction::rejected);
  EXPECT_THAT(bay.next(bay.walked()), ElementsAre(kOff));
  EXPECT_THAT(bay.at(bay.walked(), kOff).missing, IsEmpty());
  bay.part("Crank sprockets", PartAction::reused);
  const Walk walk = bay.walked();
  EXPECT_EQ(bay.at(walk, kOff).status, StepStatus::left_out);
  EXPECT_EQ(bay.at(walk, kFit).status, StepStatus::left_out);
  EXPECT_THAT(bay.next(walk), ElementsAre("Clean and check the seats"));
  bay.part("crank sprocket", PartAction::in_the_box);  // decides nothing
  EXPECT_EQ(bay.at(bay.walked(), kOff).status, StepStatus::left_out);
}

TEST(Decided, LeftOutTheWorkGoesToTheEndAndNoFactIsClaimed) {
  Bay bay;
  bay.part("crank sprocket", PartAction::reused);
  for (const ProcedureStep& step : bay.loaded.drive.procedure)
    if (!step.if_decided) bay.done(step.name);
  const Walk walk = bay.walked();
  EXPECT_THAT(walk.said, IsEmpty());
  EXPECT_THAT(walk.open, IsEmpty());
  EXPECT_THAT(walk.next, IsEmpty());
  EXPECT_TRUE(walk.state.holds(test::fact("handed over")));
  EXPECT_FALSE(walk.state.holds(test::fact("crank sprocket fitted")));
}

TEST(Decided, DoneThoughReusedCountsAsNeeded) {
  Bay bay;
  bay.part("crank sprocket", PartAction::reused);
  bay.done_before(kOff);
  bay.done(kOff);
  const Walk walk = bay.walked();
  EXPECT_THAT(walk.said, ElementsAre(HasSubstr("it counts as needed")));
  EXPECT_EQ(bay.at(walk, kOff).status, StepStatus::done);
  EXPECT_EQ(bay.at(walk, kFit).status, StepStatus::to_do);
  EXPECT_FALSE(walk.state.holds(test::fact("crank sprocket fitted")));
}

TEST(Decided, APartDecidedLateComesBeforeTheCovers) {
  Bay bay;
  bay.part("crank sprocket", PartAction::reused);
  for (const ProcedureStep& step : bay.loaded.drive.procedure) {
    if (step.name == "Close the covers") break;
    if (!step.if_decided) bay.done(step.name);
  }
  bay.part("crank sprocket", PartAction::rejected);
  const Walk walk = bay.walked();
  EXPECT_EQ(bay.next(walk).front(), kOff);
  const auto& missing = bay.at(walk, "Close the covers").missing;
  ASSERT_THAT(missing, SizeIs(2));
  EXPECT_THAT(fact_text(missing.front().missing), HasSubstr(kOff));
  bay.done("Close the covers");
  EXPECT_EQ(bay.at(bay.walked(), "Close the covers").status, StepStatus::blocked);
}

TEST(Decided, OneBankIsEnoughToNeedItBothAreWantedToLeaveItOut) {
  const LoadedDrive loaded = test::loaded_demo("vessgarth-v6-12");
  const Plan plan = plan_of(loaded.drive);
  ProcedureStep step;
  step.if_decided = "cylinder head";
  const auto part = [](PartAction action, std::optional<int> bank) {
    return test::make<PartEntry>([&](PartEntry& it) {
      it.part = "cylinder head";
      it.action = action;
      it.bank = bank;
    });
  };
  const PartEntry first = part(PartAction::reused, 1), second = part(PartAction::rejected, 2),
                  both = part(PartAction::reused, {});
  EXPECT_EQ(decided(plan, step, {}), Decided::open);
  EXPECT_EQ(decided(plan, step, {&first}), Decided::open);
  EXPECT_EQ(decided(plan, step, {&second}), Decided::needed);
  EXPECT_EQ(decided(plan, step, {&first, &second}), Decided::needed);
  EXPECT_EQ(decided(plan, step, {&both}), Decided::left_out);
  EXPECT_EQ(decided(plan, step, {&both, &second}), Decided::needed);
  step.bank = 1;
  EXPECT_EQ(decided(plan, step, {&first, &second}), Decided::left_out);
}

TEST(Ticks, FewerThanThereAreIsNotDone) {
  const std::string name = "Draw the caps down evenly";
  Bay bay;
  const auto& fasteners = bay.loaded.drive.fasteners;
  const auto caps = std::find_if(fasteners.begin(), fasteners.end(), [](const Fastener& one) {
    return one.name == "camshaft cap bolts";
  });
  const int count = caps->count.value();
  bay.done_before(name);
  bay.done(name, ticked(count - 1));
  Walk walk = bay.walked();
  EXPECT_EQ(bay.at(walk, name).status, StepStatus::interrupted);
  ASSERT_THAT(walk.interrupted, SizeIs(1));
  EXPECT_THAT(walk.interrupted.front().words,
              HasSubstr(fmt::format("{} of {} fasteners ticked", count - 1, count)));
  EXPECT_FALSE(walk.state.holds(test::fact("caps final")));
  EXPECT_FALSE(walk.state.holds(test::fact("caps loose")));
  EXPECT_EQ(bay.next(walk).front(), name);
  bay.done(name, ticked(count));
  walk = bay.walked();
  EXPECT_EQ(bay.at(walk, name).status, StepStatus::done);
  EXPECT_THAT(walk.interrupted, IsEmpty());
  EXPECT_THAT(walk.said, IsEmpty());
  bay.done(name, ticked(count + 1));
  EXPECT_THAT(bay.walked().said, ElementsAre(HasSubstr("count again")));
  EXPECT_EQ(bay.at(bay.walked(), name).status, StepStatus::done);
}

TEST(Ticks, OfOneBankNoMoreIsKnownThanOneToAll) {
  Drive drive = test::loaded_demo("vessgarth-v6-12").drive;
  ProcedureStep step;
  step.tightens = {{"guide bolts", {}}, {"tensioner bolts", {}}};
  EXPECT_EQ(fasteners_of(drive, step).least, 12);
  step.bank = 1;
  EXPECT_EQ(fasteners_of(drive, step).least, 2);
  EXPECT_EQ(fasteners_of(drive, step).most, 12);
  for (Fastener& fastener : drive.fasteners) fastener.count.reset();
  EXPECT_EQ(fasteners_of(drive, step).most, std::nullopt);
}

Walk closed_at(const std::string& sealed, const std::string& closed) {
  Bay bay;
  bay.done_before("Close the covers");
  const auto set = [&](const std::string& at) {
    bay.value.entries.back().at = at.empty() ? std::nullopt : std::optional(Date{at});
  };
  set(sealed);
  bay.done("Close the covers");
  set(closed);
  return bay.walked();
}

TEST(Times, ATimeKeptIsSilentOneThatIsNotIsOpenAndOneMissingIsSaid) {
  Walk walk = closed_at("2026-03-02T23:55", "2026-03-03T00:04");
  EXPECT_THAT(walk.open, IsEmpty());
  EXPECT_THAT(walk.said, IsEmpty());
  for (const char* at : {"2026-03-03T00:05", "2026-03-03T00:30", "2026-03-02T23:50"}) {
    walk = closed_at("2026-03-02T23:55", at);
    ASSERT_THAT(walk.open, SizeIs(1)) << at;
    EXPECT_THAT(walk.open.front().words, HasSubstr("within 10 min of \"Put the sealant on\""));
    EXPECT_THAT(walk.open.front().next, HasSubstr("do \"Put the sealant on\" again"));
  }
  for (const char* at : {"", "2026-03-02", "2026-03-02T23:56+01:00"}) {
    walk = closed_at("2026-03-02T23:55", at);
    EXPECT_THAT(walk.open, IsEmpty()) << at;
    EXPECT_THAT(walk.said, ElementsAre(HasSubstr("no times of entries show it"))) << at;
  }
}

// Somebody else took the engine apart; the tablet comes, steps are entered late, the work goes on,
// is interrupted twice, and somebody looks at the engine again.
TEST(Story, TheStateIsKnownAndRightThroughInterruptionsAndLateEntries) {
  Bay bay;
  bay.state([](EngineState& it) {
    it.apart = YesNo::partly;
    it.chain = OnOff::off;
    it.pin = InOut::in;
  });
  EXPECT_THAT(state_text(bay.walked().state),
              ElementsAre("bank 1: chain off", "bank 1: tensioner pinned"));
  // More is told of it; what was told before stays.
  bay.state([](EngineState& it) {
    it.apart = YesNo::partly;
    it.phaser = Locked::locked;
  });
  EXPECT_THAT(
      state_text(bay.walked().state),
      ElementsAre("bank 1: chain off", "bank 1: tensioner pinned", "bank 1: phaser locked"));
  // Done before, entered now: the chain is off, whatever was done before it came off.
  bay.done("Identify the engine and read its codes", late());
  bay.done("Loosen the caps evenly", late());  // blocked: nothing shows what it needs
  Walk walk = bay.walked();
  EXPECT_TRUE(walk.state.holds(test::fact("chain off")));
  EXPECT_TRUE(walk.state.holds(test::fact("tensioner pinned")));
  EXPECT_FALSE(walk.state.holds(test::fact("caps final")));
  EXPECT_FALSE(walk.state.holds(test::fact("caps loose")));
  // By reason and name: taken, and open.
  StepDone allowed = bay.allowed("came in like this", "C.");
  bay.done("Draw the caps down evenly", allowed);
  EXPECT_TRUE(bay.walked().state.holds(test::fact("caps final")));
  // Interrupted: neither old nor new is known, all else is.
  bay.done("Fit the phasers", allowed);
  bay.done("Tighten the phaser bolts", Bay::interrupted());
  bay.done("Fit the guides", Bay::interrupted());
  walk = bay.walked();
  EXPECT_EQ(walk.state.value_of(Item::phaser_bolt, 1), std::nullopt);
  EXPECT_TRUE(walk.state.holds(test::fact("camshaft held")));
  EXPECT_TRUE(walk.state.holds(test::fact("chain off")));
  ASSERT_THAT(walk.interrupted, SizeIs(2));
  // One of two finished: the other one is still shown.
  bay.done("Fit the guides", allowed);
  walk = bay.walked();
  ASSERT_THAT(walk.interrupted, SizeIs(1));
  EXPECT_THAT(walk.interrupted.front().words, HasSubstr("Tighten the phaser bolts"));
  // A look at the engine stands over the steps before it, not over those after it.
  bay.state([](EngineState& it) { it.phaser = Locked::not_locked; });
  EXPECT_TRUE(bay.walked().state.holds(test::fact("phaser free")));
  bay.done("Fit the phasers", allowed);
  EXPECT_TRUE(bay.walked().state.holds(test::fact("phaser locked")));
}

TEST(Story, ALateStepAgainstAStateLeavesBothUnknownUntilSomebodyLooks) {
  Bay bay;
  bay.done_before("Lay the chain on");
  const std::string seen = bay.state([](EngineState& it) { it.chain = OnOff::off; });
  bay.done("Lay the chain on", late());
  Walk walk = bay.walked();
  EXPECT_EQ(walk.state.value_of(Item::chain, 1), std::nullopt);
  ASSERT_THAT(walk.said, SizeIs(1));
  EXPECT_THAT(walk.said.front(), HasSubstr("the state in " + seen + " says otherwise"));
  bay.state([](EngineState& it) { it.chain = OnOff::on; });
  walk = bay.walked();
  EXPECT_TRUE(walk.state.holds(test::fact("chain on")));
  EXPECT_THAT(walk.said, SizeIs(1));
}

TEST(Story, ALateStepThatAgreesWithTheStateIsTaken) {
  Bay bay;
  bay.done_before("Lay the chain on");
  bay.state([](EngineState& it) { it.chain = OnOff::on; });
  bay.done("Lay the chain on", late());
  const Walk walk = bay.walked();
  EXPECT_TRUE(walk.state.holds(test::fact("chain on")));
  EXPECT_THAT(walk.said, IsEmpty());
  EXPECT_THAT(bay.next(walk), ElementsAre("Put the slack on the tensioner strand"));
}

// A late step never makes good what was done without it.
TEST(Story, ALateStepDoesNotStandBeforeAStepThatMissedIt) {
  Bay bay;
  bay.done_before("Confirm the marks");
  bay.done("Pull the pin");
  bay.done("Confirm the marks", late());
  EXPECT_EQ(bay.at(bay.walked(), "Pull the pin").status, StepStatus::blocked);
}

// "Prove the marks" gives confirmed marks too, and comes too late to give them here.
TEST(Again, NamesTheGiverThatTheProcedureHasBeforeTheStep) {
  Bay bay;
  bay.done_before("Pull the pin");
  bay.state([](EngineState& it) {
    it.turned = Turned::by_hand_running_direction;
    it.crank_at = "reference";
    it.crank_proven_how = "dot at the mark";
  });
  EXPECT_THAT(bay.next(bay.walked()), ElementsAre("Pull the pin", "Confirm the marks"));
}

}  // namespace
}  // namespace tautmark::procedure
