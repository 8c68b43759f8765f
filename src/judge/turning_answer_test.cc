// SPDX-License-Identifier: Apache-2.0
// From the entries of a case to the facts of turning.
#include "judge/turning_answer.h"

#include <gmock/gmock.h>

#include <tuple>

#include "judge/judge_test_support.h"

namespace tautmark {
namespace {

using ::testing::HasSubstr;

const std::string kDrive = R"(tautmark: drive/1
name: small
crankshaft: {rotation: clockwise, seen_from: flywheel end, sprockets: [{teeth: 21}]}
oil: {ports: [{name: main gallery}]}
chains: [{name: chain, type: roller, links: 124}]
)";
const std::string kHead = "tautmark: case/1\nname: test\ndrive: small\nentries:\n";
const std::string kState =
    "  - {kind: state, id: s1, apart: partly, turned: no, chain: on, pin: out, phaser: locked, "
    "phaser_checked_how: \"does not move by hand, both ways\", valves: worked by camshafts, "
    "resistance: false, dropped: false}\n";

TurningFacts facts_of(const std::string& entries, const std::string& drive = kDrive) {
  const test::TempFolder folder;
  folder.write("small.drive.yaml", drive);
  const auto loaded = load_case(folder.write("case.yaml", kHead + entries), {});
  EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
  return loaded ? turning_facts(*loaded, &loaded->drives.front()) : TurningFacts{};
}

// With the marks counted right, as turning_facts sets them once they are proven.
std::string_view forbidden_with_marks(const std::string& entries) {
  TurningFacts facts = facts_of(entries);
  facts.marks = MarksNow::counted;
  return forbidden_by(facts);
}

TEST(TurningFacts, AreTakenFromTheStateAndTheDrive) {
  const TurningFacts facts = facts_of(kState);
  EXPECT_EQ(facts.apart, YesNo::partly);
  EXPECT_EQ(facts.chain, OnOff::on);
  EXPECT_EQ(facts.tensioner, TensionerNow::released);
  EXPECT_EQ(facts.phasers, PhasersNow::locked_checked);
  EXPECT_EQ(facts.loop, Loop::chain);
  EXPECT_EQ(facts.rotation, Rotation::counterclockwise);  // clockwise from the flywheel end
  EXPECT_TRUE(facts.variant_known);
  EXPECT_EQ(forbidden_with_marks(kState), "");
}

// Rule (b) of a drive that is right: a bent valve meets its piston all the same. A borescope that
// sees the cylinder's valves sound afterwards ends it.
TEST(TurningFacts, ALeakingCylinderForbidsTurningUntilItIsSeenSound) {
  const std::string drive = kDrive + "cylinders: {count: 2}\n";
  const std::string leak =
      "  - {kind: reading, id: r1, quantity: leak-down, place: cylinder 2, values: 95 %}\n";
  const std::string sound =
      "  - {kind: observation, id: o1, place: cylinder 2, aspect: valves, condition: sound}\n";
  const auto forbidden = [&](const std::string& entries) {
    TurningFacts facts = facts_of(entries, drive);
    facts.marks = MarksNow::counted;
    return forbidden_by(facts);
  };
  EXPECT_EQ(forbidden(leak + kState), "valves-bent");
  EXPECT_EQ(forbidden(leak + sound + kState), "");
  EXPECT_EQ(forbidden(sound + leak + kState), "valves-bent");
}

// A state entered in good faith does not know that the phaser bolt is only snug.
TEST(TurningFacts, StepsThatLeftTheDriveLooseForbidTurning) {
  const std::string drive =
      kDrive + R"(banks: [{number: 1, camshafts: [{name: camshaft, phaser: {}}]}]
procedure:
  - {name: Snug, what: w, gives: [phaser bolt snug]}
  - {name: Hold, what: w, gives: [camshaft held]}
  - {name: Let go, what: w, gives: [camshaft free]}
  - {name: Tighten, what: w, gives: [phaser bolt final]}
)";
  const auto forbidden = [&](const std::string& entries) {
    TurningFacts facts = facts_of(entries + kState, drive);
    facts.marks = MarksNow::counted;
    return std::pair{std::string(forbidden_by(facts)), facts.work};
  };
  const auto step = [](const char* id, const char* name, const char* more = "") {
    return std::string("  - {kind: step, id: ") + id + ", step: " + name + more + "}\n";
  };
  EXPECT_EQ(forbidden("").first, "");
  EXPECT_EQ(forbidden(step("a", "Snug")),
            (std::pair<std::string, std::string>("work", "bank 1: phaser bolt snug")));
  EXPECT_EQ(forbidden(step("a", "Hold")).second, "bank 1: camshaft held");
  EXPECT_EQ(forbidden(step("a", "Hold") + step("b", "Let go")).first, "");
  EXPECT_EQ(forbidden(step("a", "Let go", ", interrupted: true")).second, "\"Let go\" is not done");
  // Loose, then tightened while the camshaft was not held: whether the bolt holds, nobody knows.
  EXPECT_EQ(
      forbidden(step("a", "Snug") + step("b", "Tighten")).second,
      "bank 1: nobody has said that the phaser bolt is final, \"Tighten\" was entered while it "
      "was blocked");
}

TEST(TurningFacts, ALaterEntryThatTouchesTheDriveWithdrawsTheState) {
  for (const char* later :
       {"  - {kind: step, id: l, step: tensioner pinned}\n",
        "  - {kind: part, id: l, part: phaser, action: fitted}\n",
        "  - {kind: state, id: l, turned: by starter}\n",
        "  - {kind: reading, id: l, quantity: chain length, place: chain, values: 320.6 mm, links: "
        "40}\n",
        "  - {kind: pressure, id: l, place: main gallery, values: 95 kPa}\n"})
    EXPECT_EQ(forbidden_with_marks(kState + later), "chain-unknown") << later;
  EXPECT_EQ(
      forbidden_with_marks(kState + "  - {kind: part, id: l, part: phaser, action: ordered}\n"),
      "");
}

TEST(TurningFacts, ACorrectionStandsWhereTheCorrectedEntryStood) {
  std::string corrected = kState;
  corrected.replace(corrected.find("id: s1"), 6, "id: s2, replaces: s1");
  EXPECT_EQ(forbidden_with_marks(kState + corrected), "");
  EXPECT_EQ(
      forbidden_with_marks(kState + "  - {kind: step, id: l, step: chain lifted}\n" + corrected),
      "chain-unknown");
}

// Anything but a sentence of the closed list proves nothing, negations above all.
TEST(TurningFacts, OnlyAKnownProofChecksThePhasers) {
  const auto with_proof = [](const std::string& how) {
    std::string state = kState;
    const std::string said = "does not move by hand, both ways";
    state.replace(state.find(said), said.size(), how);
    return forbidden_with_marks(state);
  };
  for (const char* how : {".",
                          "x",
                          "n/a",
                          "tbd",
                          "will check later",
                          "did not check",
                          "not sure",
                          "cannot be checked",
                          "customer says so",
                          "forgot",
                          "it moves by hand",
                          "to be checked",
                          "without checking",
                          "by eye",
                          "yes",
                          "pending",
                          "later",
                          "I think so",
                          "no idea",
                          "never checked",
                          "not checked",
                          "unknown",
                          "by hand?",
                          "assumed",
                          "none fitted",
                          "lock tool not fitted",
                          "no lock tool",
                          "lock tool does not engage",
                          "lock tool fitted?",
                          "maker's lock check not done",
                          "maker's lock check failed",
                          "moves by hand, both ways",
                          "does not move by hand",
                          "does not move by hand, one way",
                          "does not move by hand, both ways, I think",
                          "lock tool; not checked",
                          "lock tool;"})
    EXPECT_EQ(with_proof(how), "phaser-unchecked") << how;
  for (const char* how :
       {"does not move by hand, both ways", "Does not move, by hand, both ways.",
        "no play, both ways", "by hand both ways", "lock tool", "lock tool fitted and engages",
        "lock pin tool fitted and engages", "maker's lock check",
        "engine maker\u2019s lock check done", "lock tool fitted; no play, both ways"})
    EXPECT_EQ(with_proof(how), "") << how;
}

TEST(TurningFacts, AnotherIdentificationMakesTheVariantUnknown) {
  EXPECT_EQ(forbidden_with_marks(kState + "  - {kind: identification, id: i, variant: small}\n"),
            "");
  const test::TempFolder folder;
  folder.write("small.drive.yaml", kDrive);
  auto loaded = load_case(folder.write("case.yaml", kHead + kState), {});
  ASSERT_TRUE(loaded);
  Entry other;
  other.id = "i";
  other.body = Identification{"other", std::nullopt};
  loaded->value.entries.push_back(other);
  EXPECT_FALSE(turning_facts(*loaded, &loaded->drives.front()).variant_known);
}

TEST(TurningFacts, ADriveWithoutRotationLeavesItUnknown) {
  std::string drive = kDrive;
  drive.replace(drive.find("rotation"), drive.find("sprockets") - drive.find("rotation"), "");
  EXPECT_FALSE(facts_of(kState, drive).rotation);
}

TEST(CardForAll, AllowsOnlyWhatEveryCandidateAllowsInTheSameWords) {
  TurningFacts one = facts_of(kState);
  one.marks = MarksNow::counted;
  TurningFacts other = one;
  EXPECT_TRUE(card_for_all(std::vector{one}).may_turn);
  EXPECT_TRUE(card_for_all(std::vector{one, other}).may_turn);
  other.rotation = Rotation::clockwise;
  EXPECT_EQ(card_for_all(std::vector{one, other}).answer, "DO NOT TURN");
  EXPECT_THAT(card_for_all(std::vector{one, other}).because, HasSubstr("variant"));
  other.marks = MarksNow::wrong;
  EXPECT_THAT(card_for_all(std::vector{one, other}).because, HasSubstr("not every candidate"));
  EXPECT_EQ(card_for_all(std::vector{other, one}).answer, "DO NOT TURN");
}

TEST(TurningAnswer, NamesTheEntryThatWithdrewTheState) {
  const Judgement judgement =
      test::judged(kHead + kState + "  - {kind: step, id: l9, step: chain lifted}\n", kDrive);
  EXPECT_EQ(judgement.turning.answer, "DO NOT TURN");
  EXPECT_THAT(judgement.turning.because, HasSubstr("l9"));
}

TEST(TurningAnswer, AllowsTheCrankAloneOnceEveryValveIsClosed) {
  std::string state = kState;
  state.replace(state.find("chain: on"), 9, "chain: off");
  EXPECT_EQ(test::judged(kHead + state, kDrive).turning.answer, "DO NOT TURN");
  const std::string driven = "worked by camshafts";
  state.replace(state.find(driven), driven.size(), "caps loosened");
  const TurningAnswer turning = test::judged(kHead + state, kDrive).turning;
  EXPECT_THAT(turning.answer,
              HasSubstr("TURN ONLY the crank, by hand in running direction, counterclockwise seen "
                        "from the front; less than one crank turn"));
  EXPECT_FALSE(turning.next.empty());
  state.replace(state.find("dropped: false"), 14, "dropped: true");
  EXPECT_EQ(test::judged(kHead + state, kDrive).turning.answer, "DO NOT TURN");
}

TEST(TurningAnswer, CarriesEveryPartOfTheCard) {
  for (const Judgement& judgement :
       {test::judged(kHead + "  []\n", kDrive), test::judged(kHead + kState, kDrive)}) {
    const TurningAnswer& turning = judgement.turning;
    EXPECT_EQ(turning.answer, "DO NOT TURN");
    for (const std::string& text : {turning.because, turning.next, turning.instead,
                                    turning.changes_it, turning.say, turning.holds_for})
      EXPECT_FALSE(text.empty());
    EXPECT_FALSE(turning.cautions.empty());
  }
}

// trade.md 7, questions 16 and 24, of a case that allows turning and of one that does not.
TEST(TurningAnswer, BackwardsAndAStartAreForbiddenWhateverTheCaseProves) {
  std::string closed = kState;
  const std::string driven = "worked by camshafts";
  closed.replace(closed.find(driven), driven.size(), "followers out");
  const TurningAnswer allowed = test::judged(kHead + closed, kDrive).turning;
  ASSERT_THAT(allowed.answer, HasSubstr("TURN ONLY"));
  for (const TurningAnswer& turning : {allowed, test::judged(kHead + "  []\n", kDrive).turning}) {
    ASSERT_EQ(turning.never.size(), 3U);
    const auto& [backwards, starter, start] =
        std::tie(turning.never[0], turning.never[1], turning.never[2]);
    EXPECT_EQ(backwards.asked, "backwards");
    EXPECT_THAT(backwards.because, HasSubstr("a plunger without ratchet yields"));
    EXPECT_THAT(backwards.instead, HasSubstr("two turns in running direction instead"));
    EXPECT_EQ(starter.asked, "starter");
    EXPECT_EQ(start.asked, "start");
    EXPECT_THAT(start.because, HasSubstr("touch at full advance"));
    EXPECT_THAT(start.instead, HasSubstr("links counted, or a degree wheel right"));
    EXPECT_THAT(start.instead, HasSubstr("then prime the oil; then start"));
  }
}

// trade.md 7, question 13, as far as turning asks it: pinned, with everything else right.
TEST(TurningAnswer, APinnedTensionerSaysWhenThePinComesOut) {
  std::string pinned = kState;
  pinned.replace(pinned.find("pin: out"), 8, "pin: in");
  TurningFacts facts = facts_of(pinned);
  facts.marks = MarksNow::counted;
  const TurningCard card = turning_card(facts);
  EXPECT_EQ(card.answer, "DO NOT TURN");
  EXPECT_THAT(card.instead, HasSubstr("strands seated, slack on the tensioner side, marks and"));
  EXPECT_THAT(card.instead, HasSubstr("then the pin out, push the arm, see it move"));
}

}  // namespace
}  // namespace tautmark
