// SPDX-License-Identifier: Apache-2.0
#include "procedure/walk.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "procedure/test_bay.h"

namespace tautmark::procedure {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::SizeIs;

using test::Bay;

TEST(Walk, BeginsWithTheFirstStepOfAWholeEngine) {
  const Bay bay;
  const Walk walk = bay.walked();
  EXPECT_THAT(bay.next(walk), ElementsAre("Identify the engine and read its codes"));
  EXPECT_TRUE(walk.state.holds(test::fact("chain as found")));
  EXPECT_THAT(walk.open, IsEmpty());
}

TEST(Walk, GoesToTheEndWithNothingOpen) {
  Bay bay;
  bay.done_before("");
  const Walk walk = bay.walked();
  EXPECT_THAT(walk.said, IsEmpty());
  EXPECT_THAT(walk.open, IsEmpty());
  EXPECT_THAT(walk.next, IsEmpty());
  EXPECT_TRUE(walk.state.holds(test::fact("handed over")));
}

TEST(Walk, MarksWhatWasEnteredLate) {
  Bay bay;
  bay.done("Identify the engine and read its codes",
           test::make<StepDone>([](StepDone& it) { it.late = true; }));
  const Walk walk = bay.walked();
  EXPECT_TRUE(walk.steps.front().late);
  EXPECT_EQ(walk.steps.front().status, StepStatus::done);
}

TEST(Walk, NothingIsCrankedAfterSomethingWasLostOrResistanceFelt) {
  for (const bool is_lost : {true, false}) {
    Bay bay;
    bay.done_before("Prime the oil");
    EXPECT_THAT(bay.at(bay.walked(), "Prime the oil").missing, IsEmpty());
    bay.state([&](EngineState& it) { (is_lost ? it.dropped : it.resistance) = true; });
    bay.done("Prime the oil");
    const Walk walk = bay.walked();
    EXPECT_EQ(bay.at(walk, "Prime the oil").status, StepStatus::blocked) << is_lost;
    EXPECT_FALSE(walk.state.holds(test::fact("oil primed")));
  }
}

TEST(Walk, LeavesAGateOpenThatNothingShows) {
  Bay bay;
  bay.done_before("Pull the pin");
  bay.add(test::make<StepDone>([&](StepDone& it) { it.step = "Pull the pin"; }));
  Walk walk = bay.walked();
  EXPECT_EQ(bay.at(walk, "Pull the pin").status, StepStatus::done);
  ASSERT_THAT(walk.open, SizeIs(1));
  EXPECT_THAT(walk.open.front().words, HasSubstr("its gate wants a photo"));
  // A reading is no photo; an entry that is not there shows nothing.
  bay.value.entries.pop_back();
  const std::string reading = bay.reading();
  bay.add(test::make<StepDone>([&](StepDone& it) {
    it.step = "Pull the pin";
    it.shown_by = {reading, "e999"};
  }));
  EXPECT_THAT(bay.walked().open, SizeIs(1));
}

StepDone shown_by(const std::string& id) {
  return test::make<StepDone>([&](StepDone& it) { it.shown_by = {id}; });
}

TEST(Walk, MarksAreProvenOnlyByMarksReadSinceTheLastTurn) {
  const auto length = [](Bay& bay) {
    return bay.add(test::make<Reading>([](Reading& it) { it.place = "timing chain"; }));
  };
  const auto empty = [](Bay& bay) {
    return bay.add(test::make<MarksSeen>([](MarksSeen& it) { it.chain = "timing chain"; }));
  };
  const auto of_link = [](Bay& bay) {
    return bay.add(test::make<MarksSeen>([](MarksSeen& it) {
      it.chain = "timing chain";
      it.sprockets = {{"crank", "right", MarkAgainst::link, {}}};
    }));
  };
  const auto off = [](Bay& bay) { return bay.marks(60); };
  const auto right = [](Bay& bay) { return bay.marks(61); };
  const auto proven_by = [](auto enter, const char* entered_before) {
    Bay bay;
    bay.done_before(entered_before);
    const std::string id = enter(bay);
    if (entered_before != std::string("Prove the marks")) bay.done("Turn two turns by hand");
    bay.done("Prove the marks", shown_by(id));
    for (const char* step : {"Account for everything", "Put the sealant on", "Close the covers",
                             "Fill the oil", "Prime the oil"})
      bay.done(step);
    const Walk walk = bay.walked();
    EXPECT_EQ(walk.state.holds(test::fact("oil primed")), walk.open.empty());
    return walk.open.empty() ? std::string() : walk.open.front().gate;
  };
  const char* now = "Prove the marks";
  EXPECT_EQ(proven_by(right, now), "");
  EXPECT_THAT(proven_by(right, "Turn two turns by hand"), HasSubstr("since the engine was last"));
  EXPECT_THAT(proven_by(length, now), HasSubstr("marks or counts of bank 1"));
  EXPECT_THAT(proven_by(empty, now), HasSubstr("marks or counts of bank 1"));
  EXPECT_THAT(proven_by(of_link, now), HasSubstr("marks or counts of bank 1"));
  EXPECT_THAT(proven_by(off, now), HasSubstr("was counted 60, the definition has 61"));
}

TEST(Walk, MarksReadOffLaterAreProvenNoMore) {
  Bay bay;
  bay.done_before("Prime the oil");
  bay.marks(61);
  EXPECT_THAT(bay.at(bay.walked(), "Prime the oil").missing, IsEmpty());
  bay.marks(60);
  const Walk walk = bay.walked();
  EXPECT_THAT(walk.said, ElementsAre(HasSubstr("the marks count as set no more")));
  EXPECT_THAT(bay.at(walk, "Prime the oil").missing, Not(IsEmpty()));
}

TEST(Walk, AfterAPinPulledEarlyTheTensionerIsPinnedAgain) {
  Bay bay;
  bay.done_before("Confirm the marks");
  bay.done("Pull the pin");
  bay.done("Confirm the marks");
  bay.done("Let the camshafts go");
  const Walk walk = bay.walked();
  const auto& missing = bay.at(walk, "Pull the pin").missing;
  ASSERT_THAT(missing, SizeIs(1));
  EXPECT_EQ(fact_text(missing.front().missing), "bank 1: tensioner pinned");
  EXPECT_THAT(missing.front().why, HasSubstr("pressed back as the maker says"));
  bay.state([](EngineState& it) { it.pin = InOut::in; });
  EXPECT_THAT(bay.at(bay.walked(), "Pull the pin").missing, IsEmpty());
}

TEST(Walk, OilIsPrimedByAPressure) {
  Bay bay;
  bay.done_before("Prime the oil");
  bay.done("Prime the oil", shown_by(bay.reading()));
  ASSERT_THAT(bay.walked().open, SizeIs(1));
  EXPECT_EQ(bay.walked().open.front().gate,
            "a pressure read since the engine was last turned, named under shown_by");
  EXPECT_THAT(bay.at(bay.walked(), "Start the engine").missing, Not(IsEmpty()));
}

TEST(Walk, TheSecondNameIsAnothers) {
  for (const auto& [name, wants] :
       {std::pair{"a.", "both names are the same"}, std::pair{" A ", "both names are the same"},
        std::pair{"", "a second person who looked"}}) {
    Bay bay;
    bay.done_before("Confirm the marks");
    StepDone confirmed;
    confirmed.step = "Confirm the marks";
    confirmed.second_name = name;
    bay.add(std::move(confirmed));
    ASSERT_THAT(bay.walked().open, SizeIs(1));
    EXPECT_THAT(bay.walked().open.front().words, HasSubstr(wants));
  }
}

TEST(Walk, StartsNothingOnMarksWhoseGateIsOpen) {
  Bay bay;
  bay.done_before("Prove the marks");
  bay.add(test::make<StepDone>([&](StepDone& it) { it.step = "Prove the marks"; }));
  for (const char* name :
       {"Account for everything", "Put the sealant on", "Close the covers", "Fill the oil"})
    bay.done(name);
  const Walk walk = bay.walked();
  EXPECT_THAT(bay.next(walk), ElementsAre("Prime the oil"));
  const StepAt& prime = bay.at(walk, "Prime the oil");
  ASSERT_FALSE(prime.missing.empty());
  EXPECT_EQ(fact_text(prime.missing.front().missing), "bank 1: marks proven");
  EXPECT_FALSE(prime.missing.front().may_override);
}

TEST(Walk, TakesNoFactsOfAStepThatWasBlocked) {
  Bay bay;
  bay.done_before("Confirm the marks");
  bay.done("Pull the pin");
  const Walk walk = bay.walked();
  EXPECT_EQ(bay.at(walk, "Pull the pin").status, StepStatus::blocked);
  EXPECT_FALSE(walk.state.holds(test::fact("tensioner released")));
  EXPECT_FALSE(walk.state.holds(test::fact("tensioner pinned")));  // who knows, now
  ASSERT_THAT(walk.said, SizeIs(1));
  EXPECT_THAT(walk.said.front(), HasSubstr("\"Pull the pin\" was entered while it was blocked"));
  EXPECT_THAT(bay.next(walk), ElementsAre("Confirm the marks"));
}

TEST(Walk, OverridesWantReasonAndName) {
  for (const auto& [reason, by] : {std::pair{"no light", ""}, std::pair{"", "C."}}) {
    Bay bay;
    bay.done_before("Confirm the marks");
    bay.done("Pull the pin", bay.allowed(reason, by));
    const Walk walk = bay.walked();
    EXPECT_EQ(bay.at(walk, "Pull the pin").status, StepStatus::blocked);
    EXPECT_THAT(walk.said.front(), HasSubstr("an override wants"));
  }
}

TEST(Walk, AnOverrideStaysOpenUntilItsConditionIsShown) {
  Bay bay;
  bay.done_before("Confirm the marks");
  bay.done("Pull the pin", bay.allowed("no light", "C."));
  Walk walk = bay.walked();
  EXPECT_EQ(bay.at(walk, "Pull the pin").status, StepStatus::overridden);
  EXPECT_TRUE(walk.state.holds(test::fact("tensioner released")));
  ASSERT_THAT(walk.open, SizeIs(2));  // the marks, and the step that lets the camshafts go
  EXPECT_THAT(
      walk.open.front().words,
      HasSubstr("C. allowed \"Pull the pin\" without \"bank 1: marks confirmed\": no light"));
  EXPECT_THAT(walk.open.front().words, HasSubstr("On it rests: bank 1: tensioner released"));
  // What was released too early is put right by a release under its own conditions, not before.
  bay.done("Confirm the marks");
  bay.done("Let the camshafts go");
  ASSERT_THAT(bay.walked().open, SizeIs(1));
  EXPECT_THAT(bay.walked().open.front().next, HasSubstr("press the plunger back"));
  bay.state([](EngineState& it) { it.pin = InOut::in; });
  bay.done("Pull the pin");
  EXPECT_THAT(bay.walked().open, IsEmpty());
}

TEST(Walk, NoOverrideExistsForTheStart) {
  Bay bay;
  bay.done_before("Turn two turns by hand");
  bay.done("Start the engine", bay.allowed("in a hurry", "C."));
  const Walk walk = bay.walked();
  EXPECT_EQ(bay.at(walk, "Start the engine").status, StepStatus::blocked);
  EXPECT_THAT(walk.said.front(), HasSubstr("no override exists here"));
  EXPECT_FALSE(walk.state.holds(test::fact("engine started")));
}

TEST(Walk, AnInterruptedAngleIsNotFoundAgain) {
  Bay bay;
  bay.done_before("Tighten the phaser bolts");
  bay.done("Tighten the phaser bolts", Bay::interrupted());
  Walk walk = bay.walked();
  EXPECT_EQ(bay.at(walk, "Tighten the phaser bolts").status, StepStatus::interrupted);
  ASSERT_THAT(walk.interrupted, SizeIs(1));
  EXPECT_THAT(walk.interrupted.back().words, HasSubstr("begin with a new one"));
  EXPECT_FALSE(walk.state.holds(test::fact("phaser bolt final")));
  EXPECT_FALSE(walk.state.holds(test::fact("phaser bolt snug")));
  bay.done("Fit the phasers");
  walk = bay.walked();
  EXPECT_THAT(walk.interrupted, SizeIs(1));
}

TEST(Walk, TheMakersRestartRuleIsForBoltsThatGoInAgain) {
  Bay bay;
  for (Fastener& bolt : bay.loaded.drive.fasteners)
    if (bolt.name == "phaser bolt") {
      bolt.single_use = false;
      bolt.restart = "Loosen a full turn, then from the first stage again.";
    }
  bay.done_before("Tighten the phaser bolts");
  bay.done("Tighten the phaser bolts", Bay::interrupted());
  EXPECT_THAT(bay.walked().interrupted.back().words, HasSubstr("Loosen a full turn"));
  for (Fastener& bolt : bay.loaded.drive.fasteners) bolt.restart.reset();
  EXPECT_THAT(bay.walked().interrupted.back().words, HasSubstr("has no restart rule"));
  for (Fastener& bolt : bay.loaded.drive.fasteners) bolt.single_use.reset();
  EXPECT_THAT(bay.walked().interrupted.back().words, HasSubstr("nobody says otherwise"));
}

TEST(Walk, SuggestsTheStepThatIsMeant) {
  Bay bay;
  bay.done("Pull the pni");
  EXPECT_THAT(bay.walked().said, ElementsAre("e1: the procedure has no step \"Pull the pni\"; did "
                                             "you mean \"Pull the pin\"?"));
}

TEST(Walk, AnEngineThatCameInApartBeginsWithWhatIsKnown) {
  Bay bay;
  bay.add(test::make<EngineState>([&](EngineState& it) {
    it.apart = YesNo::yes;
    it.chain = OnOff::off;
    it.pin = InOut::in;
    it.phaser = Locked::unknown;
  }));
  const Walk walk = bay.walked();
  EXPECT_THAT(state_text(walk.state), ElementsAre("bank 1: chain off", "bank 1: tensioner pinned"));
}

TEST(Walk, AStateEnteredLaterOverridesTheSteps) {
  Bay bay;
  bay.done_before("Prove the marks");
  bay.done("Prove the marks");
  EXPECT_TRUE(bay.walked().state.holds(test::fact("marks proven")));
  bay.add(test::make<EngineState>([&](EngineState& it) {
    it.chain = OnOff::off;
    it.dropped = true;
  }));
  const Walk walk = bay.walked();
  EXPECT_TRUE(walk.state.holds(test::fact("chain off")));
  EXPECT_FALSE(walk.state.holds(test::fact("marks proven")));
  EXPECT_FALSE(walk.state.holds(test::fact("two turns done")));
  EXPECT_TRUE(walk.state.holds(test::fact("something lost")));
  bay.add(test::make<EngineState>([&](EngineState& it) { it.dropped = false; }));
  EXPECT_FALSE(bay.walked().state.holds(test::fact("something lost")));
}

TEST(Walk, NamesTheStepToDoAgainWhenWhatItGaveIsLost) {
  Bay bay;
  bay.done_before("Prove the marks");
  bay.add(test::make<EngineState>([](EngineState& it) { it.phaser = Locked::not_locked; }));
  EXPECT_THAT(bay.next(bay.walked()), ElementsAre("Prove the marks", "Check the phasers"));
}

TEST(Walk, TurnedInBetweenLeavesMarksToBeReadAgain) {
  for (const Turned turned : {Turned::by_hand_running_direction, Turned::by_starter,
                              Turned::by_hand_backwards, Turned::unknown}) {
    Bay bay;
    bay.done_before("Account for everything");
    bay.add(test::make<EngineState>([&](EngineState& it) { it.turned = turned; }));
    EXPECT_FALSE(bay.walked().state.holds(test::fact("marks confirmed")));
  }
}

TEST(Walk, TheTurningAnswerDecidesAlone) {
  Bay bay;
  bay.done_before("Turn two turns by hand");
  EXPECT_THAT(bay.at(bay.walked(), "Turn two turns by hand").missing, IsEmpty());
  const Walk walk = procedure::walk(bay.plan, bay.loaded.drive, bay.value, "DO NOT TURN: a doubt");
  EXPECT_THAT(bay.next(walk), ElementsAre("Turn two turns by hand"));
  const std::vector<Blocked>& missing = bay.at(walk, "Turn two turns by hand").missing;
  ASSERT_THAT(missing, SizeIs(1));
  EXPECT_EQ(missing.front().why, "DO NOT TURN: a doubt");
  EXPECT_FALSE(missing.front().may_override);
}

TEST(Walk, ATurnToBeDoneAgainIsNotOfferedAgainstTheTurningAnswer) {
  const std::string turn = "Turn two turns by hand";
  Bay bay;
  bay.done_before("Prove the marks");
  bay.add(test::make<EngineState>([](EngineState& it) { it.pin = InOut::in; }));
  for (const char* again : {"Confirm the marks", "Pull the pin"}) bay.done(again);
  ASSERT_THAT(bay.next(bay.walked()), ElementsAre("Prove the marks", turn));
  const Walk walk = procedure::walk(bay.plan, bay.loaded.drive, bay.value, "DO NOT TURN: a doubt");
  EXPECT_THAT(bay.next(walk), ElementsAre("Prove the marks"));
}

TEST(Walk, ACorrectionStandsWhereTheEntryStood) {
  Bay bay;
  bay.done_before("Prove the marks");
  const std::string plain =
      bay.add(test::make<StepDone>([&](StepDone& it) { it.step = "Prove the marks"; }));
  bay.done("Account for everything");
  EXPECT_THAT(bay.walked().open, SizeIs(1));
  const std::string shown = bay.reading();
  bay.add(test::make<StepDone>([&](StepDone& it) {
    it.step = "Prove the marks";
    it.shown_by = {shown};
  }));
  bay.value.entries.back().replaces = plain;
  EXPECT_THAT(bay.walked().open, IsEmpty());
  EXPECT_THAT(bay.walked().said, IsEmpty());
}

}  // namespace
}  // namespace tautmark::procedure
