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
      drive, "      - {at: bank 1 / exhaust camshaft, links: 1, on: tooth, clock: 0 deg}\n", "");
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

// 138 links, 19 teeth: back after 138 turns, geometry.md 4.5.
TEST(TurningDoubt, TheCardSaysWhenTheColoredLinksReturn) {
  const TurningAnswer answer = asked(kRight);
  EXPECT_THAT(answer.answer, HasSubstr("stop when the marks of crank and camshafts are back"));
  EXPECT_THAT(answer.instead,
              HasSubstr("the colored links of chain do not, they are back after 138 turns"));
}

}  // namespace
}  // namespace tautmark
