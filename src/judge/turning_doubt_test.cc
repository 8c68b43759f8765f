// SPDX-License-Identifier: Apache-2.0
// What a case can hold beside right counts that must keep the engine from being turned.
#include <gmock/gmock.h>

#include "judge/marks_test_support.h"

namespace tautmark {
namespace {

using namespace test;
using ::testing::HasSubstr;
using ::testing::Not;

const std::string kState =
    "  - {kind: state, id: s1, apart: partly, turned: no, chain: on, pin: out, phaser: locked, "
    "phaser_checked_how: \"does not move by hand, both ways\", valves: worked by camshafts, "
    "resistance: false, dropped: false}\n";

std::string with_text(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return at == std::string::npos ? text : text.replace(at, from.size(), to);
}

TurningAnswer asked(const std::string& entries, const std::string& drive = four()) {
  return judged(with(entries), drive).turning;
}

MATCHER(MayTurn, "") { return arg.answer.starts_with("TURN ONLY"); }

TEST(TurningDoubt, NothingDoubtfulMayTurn) {
  EXPECT_THAT(asked(kState + counts(61, 16, 61)), MayTurn());
}

// The intake alone on the chain; the exhaust in the drive, by gears or by nothing.
std::string intake_only(const std::string& gears) {
  std::string drive = with_text(four(gears),
                                "      - {from: bank 1 / intake camshaft, to: bank 1 / "
                                "exhaust camshaft, links: 16}\n",
                                "");
  drive = with_text(drive, "{from: bank 1 / exhaust camshaft, to: crank, links: 61}",
                    "{from: bank 1 / intake camshaft, to: crank, links: 77}");
  return with_text(
      drive, "      - {at: bank 1 / exhaust camshaft, links: 1, sits: tooth, clock: 0 deg}\n", "");
}

TEST(TurningDoubt, ACamshaftThatNoStrandNamesIsNotProven) {
  const std::string counted =
      "  - {kind: marks, id: m1, chain: chain, counted: pitches, strands: "
      "[{from: crank, to: bank 1 / intake camshaft, links: 61}, {from: bank 1 / intake camshaft, "
      "to: crank, links: 77}]}\n";
  const TurningAnswer skipped = asked(kState + counted, intake_only(""));
  EXPECT_THAT(skipped, Not(MayTurn()));
  EXPECT_THAT(skipped.because, HasSubstr(kExhaust));

  const std::string geared = intake_only(
      "gears:\n  - {driver: bank 1 / intake camshaft, driver_teeth: 40, driven: bank 1 / exhaust "
      "camshaft, driven_teeth: 40, backlash: 0.08 mm, radius: 60 mm}\n");
  const TurningAnswer unseen = asked(kState + counted, geared);
  EXPECT_THAT(unseen, Not(MayTurn()));
  EXPECT_THAT(unseen.because, HasSubstr(kExhaust));
  const auto gear_marks = [](const std::string& condition) {
    return "  - {kind: observation, id: o1, place: bank 1 / exhaust camshaft, aspect: gear marks, "
           "condition: " +
           condition + "}\n";
  };
  EXPECT_THAT(asked(kState + counted + gear_marks("sound"), geared), MayTurn());
  EXPECT_THAT(asked(kState + counted + gear_marks("unknown"), geared), Not(MayTurn()));
  EXPECT_THAT(asked(gear_marks("sound") + kState + counted, geared), Not(MayTurn()));
}

const std::string kRight = kState + counts(61, 16, 61);

TEST(TurningDoubt, WhatIsEnteredAfterTheStateAsksForItAgain) {
  for (const char* later : {
           "kind: note, words: it went tight at 90 degrees",
           "kind: complaint, words: \"rattled, then bang\"",
           "kind: previous work, words: bay 2 turned it backwards a little",
           "kind: oil, smell: burnt",
           "kind: codes, codes: [P0016]",
           "kind: part, part: tensioner, action: old one kept",
           "kind: part, part: tensioner, action: rejected",
           "kind: part, part: tensioner, action: reused",
           "kind: part, part: tensioner, action: fitted",
           "kind: part, part: chain, action: ordered, reason: the old one hangs",
           "kind: decision, about: turning, decided: \"turned it twice, it went tight\", reason: x",
           "kind: quick, question: \"may it be turned?\", asked: [resistance yes], answer: [DO NOT "
           "TURN]",
           "kind: observation, place: chain, aspect: chain, condition: damaged",
           "kind: observation, place: chain, aspect: ratchet, condition: worn",
           "kind: observation, place: bank 1 / intake camshaft / phaser, aspect: pin, condition: "
           "missing",
           "kind: observation, place: chain, aspect: chain, condition: unknown",
           "kind: observation, place: chain, aspect: chain, condition: sound, words: hangs a bit",
           "kind: identification, variant: small, remark: not sure",
       }) {
    const TurningAnswer answer = asked(kRight + "  - {id: l9, " + later + "}\n");
    EXPECT_THAT(answer, Not(MayTurn())) << later;
    EXPECT_THAT(answer.because, HasSubstr("l9")) << later;
  }
  for (const char* later :
       {"kind: part, part: chain, action: ordered", "kind: identification, variant: small",
        "kind: observation, place: chain, aspect: chain, condition: sound"})
    EXPECT_THAT(asked(kRight + "  - {id: l9, " + later + "}\n"), MayTurn()) << later;
}

// What was said on the phone forbids until a younger state and counts show the drive right.
TEST(TurningDoubt, WhatAQuickAnswerFoundOffIsTheReason) {
  const std::string said =
      "  - {id: q1, kind: quick, question: teeth, asked: [angle 38 deg crank late, teeth 38], "
      "answer: [2 teeth late.], forbids: \"a camshaft is off: 2 teeth late\"}\n";
  for (const std::string& entries :
       {said, said + kState, said + counts(61, 16, 61), kRight + said}) {
    const TurningAnswer answer = asked(entries);
    EXPECT_EQ(answer.answer, "DO NOT TURN");
    EXPECT_THAT(answer.because, HasSubstr("a camshaft is off: 2 teeth late (q1)")) << entries;
  }
  EXPECT_THAT(asked(said + kRight), MayTurn());
  const std::string corrected =
      "  - {id: q2, kind: quick, replaces: q1, question: teeth, asked: [], answer: [No tooth.]}\n";
  EXPECT_THAT(asked(said + corrected).because, Not(HasSubstr("camshaft is off")));
}

TEST(TurningDoubt, ARemarkIsReadByAPerson) {
  for (const std::string& entries :
       {with_text(kRight, "id: s1", "id: s1, remark: not sure about the phaser"),
        with_text(kRight, "id: e1", "id: e1, remark: \"counted twice, got 60 once\"")}) {
    EXPECT_THAT(asked(entries), Not(MayTurn()));
    EXPECT_THAT(asked(entries).because, HasSubstr("remark"));
  }
}

TEST(TurningDoubt, APartFoundBadStaysSoUntilSeenSound) {
  const auto seen = [](const std::string& id, const std::string& condition) {
    return "  - {kind: observation, id: " + id + ", place: chain, aspect: ratchet, " +
           "condition: " + condition + "}\n";
  };
  const TurningAnswer bad = asked(seen("o1", "damaged") + kRight);
  EXPECT_THAT(bad, Not(MayTurn()));
  EXPECT_THAT(bad.because, HasSubstr("o1"));
  EXPECT_THAT(asked(seen("o1", "damaged") + seen("o2", "sound") + kRight), MayTurn());
  // With the chain off and every valve closed the crank may be turned all the same.
  const std::string off = with_text(with_text(kState, "chain: on", "chain: off"),
                                    "worked by camshafts", "followers out");
  EXPECT_THAT(asked(seen("o1", "damaged") + off), MayTurn());
  EXPECT_THAT(asked(off + seen("o1", "damaged")), Not(MayTurn()));
}

TEST(TurningDoubt, MarksSeenWithThePhaserOffItsLockContradictTheState) {
  for (const char* phaser : {"not locked", "unknown"})
    EXPECT_THAT(asked(with_text(kRight, "id: e1", std::string("id: e1, phaser: ") + phaser)),
                Not(MayTurn()))
        << phaser;
  EXPECT_THAT(asked(with_text(kRight, "id: e1", "id: e1, phaser: locked")), MayTurn());
  // Read after two turns, while the state says that nobody turned it.
  const std::string settled = with_text(kRight, "id: e1", "id: e1, settled: true");
  EXPECT_THAT(asked(settled), Not(MayTurn()));
  EXPECT_THAT(asked(with_text(settled, "turned: no", "turned: by hand in running direction")),
              MayTurn());
}

// Written in one order, timed in another.
TEST(TurningDoubt, TimesThatContradictTheOrderProveNothing) {
  const auto timed = [](const std::string& state, const std::string& marks,
                        const std::string& before = "") {
    return before + with_text(with_text(kRight, "id: s1", "id: s1, at: " + state), "id: e1",
                              "id: e1, at: " + marks);
  };
  EXPECT_THAT(asked(timed("2026-04-14T08:00", "2026-04-14T08:10")), MayTurn());
  EXPECT_THAT(asked(timed("2026-04-14T08:00", "2026-04-14")), MayTurn());
  const TurningAnswer late = asked(timed("2026-04-14T09:00", "2026-04-14T08:00"));
  EXPECT_THAT(late, Not(MayTurn()));
  EXPECT_THAT(late.because, HasSubstr("e1 stands after s1 and carries an earlier time"));
  EXPECT_THAT(asked(timed("2026-04-14T09:00", "2026-04-13")), Not(MayTurn()));
  // A step of later that day, written down before the state.
  const std::string step = "  - {kind: step, id: p1, at: 2026-04-14T10:00, step: chain lifted}\n";
  EXPECT_THAT(asked(timed("2026-04-14T08:00", "2026-04-14T08:10", step)), Not(MayTurn()));
  EXPECT_THAT(asked(timed("2026-04-14T11:00", "2026-04-14T11:10", step)), MayTurn());
}

TEST(TurningDoubt, CountsOfALoopThatIsOffProveNothing) {
  const std::string off = with_text(with_text(kRight, "chain: on", "chain: off"),
                                    "worked by camshafts", "followers out");
  const TurningAnswer answer = asked(off);
  EXPECT_THAT(answer, Not(MayTurn()));
  EXPECT_THAT(answer.because, HasSubstr("e1 counts links of a loop that is off"));
  const std::string crank_off =
      "  - {kind: marks, id: e2, chain: chain, sprockets: [{at: crank, stands: 1 tooth late, "
      "against: casting}]}\n";
  EXPECT_THAT(asked(kRight + crank_off), Not(MayTurn()));
  EXPECT_THAT(asked(kRight + crank_off).because, HasSubstr("the mark of crank was seen otherwise"));
}

TEST(TurningDoubt, AMarkThatIsNotSeenRightDoubtsTheCounts) {
  for (const char* stands :
       {"cannot see", "paint gone", "\"right, I think\"", "half a tooth late"}) {
    const std::string seen = fmt::format(
        "  - {{kind: marks, id: e2, chain: chain, sprockets: [{{at: {}, stands: {}, against: "
        "casting}}]}}\n",
        kIntake, stands);
    EXPECT_THAT(asked(kRight + seen), Not(MayTurn())) << stands;
  }
}

TEST(TurningDoubt, ADefinitionThatContradictsItselfAllowsNothing) {
  // Three centers in a row of known distances, but far too many links for them.
  const std::string path = R"(    path:
      - {name: crank, kind: sprocket, x: 0 mm, y: 0 mm}
      - {name: bank 1 / intake camshaft, kind: sprocket, x: -60 mm, y: 200 mm}
      - {name: bank 1 / exhaust camshaft, kind: sprocket, x: 60 mm, y: 200 mm}
)";
  const std::string drive = with_text(four(), "banks:\n", path + "banks:\n");
  const TurningAnswer answer = asked(kRight, drive);
  EXPECT_THAT(answer, Not(MayTurn()));
  EXPECT_THAT(answer.because, HasSubstr("the definition contradicts itself: "));
}

TEST(TurningDoubt, ADriveWithoutPhasersHasNoneToLock) {
  std::string drive = with_text(four(), ", phaser: {base: full retard, range: 45 deg crank}", "");
  const std::string state = with_text(
      kRight, "phaser: locked, phaser_checked_how: \"does not move by hand, both ways\", ", "");
  EXPECT_THAT(asked(state, drive), Not(MayTurn()));  // the exhaust still has one
  drive = with_text(drive, ", phaser: {base: full advance, range: 30 deg crank}", "");
  EXPECT_THAT(asked(state, drive), MayTurn());
  EXPECT_THAT(asked(state, drive).because, HasSubstr("no phaser fitted"));
  EXPECT_THAT(asked(with_text(kRight, "phaser: locked", "phaser: not locked"), drive),
              Not(MayTurn()));
}

// 138 links, 19 teeth: back after 138 turns, geometry.md 4.5.
TEST(TurningDoubt, TheCardSaysWhenTheColoredLinksReturn) {
  const TurningAnswer answer = asked(kRight);
  EXPECT_THAT(answer.answer, HasSubstr("stop when the marks of crank and camshafts are back"));
  EXPECT_THAT(answer.instead,
              HasSubstr("the colored links of chain do not, they are back after 138 turns"));
}

}  // namespace
}  // namespace tautmark
