// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

const Typed kSaid = {{"cam", "bank 1 intake"}, {"phaser", "base"}, {"polarity", "rising"}};

Typed said(std::initializer_list<std::pair<std::string, std::string>> more) {
  return with(kSaid, more);
}

// Source: trade.md 7 question 4 and 6.B: one tooth, and 2.4° of wear if the other cam shows 1.8°;
// strands (366.48 + 124.00)/366.48 = 1.338.
TEST(Phase, SaysOneToothAndWearForQuestionFour) {
  const Answer done = answered(kPhase, said({{"off", "21.4 deg crank late"},
                                             {"cam_teeth", "38"},
                                             {"other", "1.8 deg crank late"},
                                             {"other_on", "same chain"}}));
  EXPECT_THAT(done.lines.front(), HasSubstr("bank 1 intake: 21.4° late (crank), 10.7° cam"));
  EXPECT_THAT(done.lines, Contains(HasSubstr("1 tooth late (18.95° crank, 9.47° cam)")));
  EXPECT_THAT(done.lines,
              Contains(HasSubstr("2.5° late (crank), 1.2° cam left over and the other")));
  EXPECT_THAT(done.lines, Contains(HasSubstr("1.36 times as long")));
  EXPECT_THAT(done.lines, Contains(HasSubstr("1 tooth late and wear, not a second tooth")));
  EXPECT_FALSE(done.verdict);
}

TEST(Phase, DoesNotCallTheLeftOverWearWhenTheOtherCamIsRight) {
  const Answer done = answered(kPhase, said({{"off", "21.4 deg crank late"},
                                             {"cam_teeth", "38"},
                                             {"other", "0.1 deg crank late"},
                                             {"other_on", "same chain"}}));
  EXPECT_THAT(done.lines, Contains(HasSubstr("no wear of the chain")));
}

// Source: trade.md 7 question 5: no jump; wear, key or crank reference; equal on both banks is the
// crank's side.
TEST(Phase, SaysNoJumpWhenBothAreSixLate) {
  const Typed both = said({{"off", "6 deg crank late"}, {"other", "6 deg crank late"}});
  EXPECT_EQ(asked(kPhase, both).input, "other_on");
  const Answer chain =
      answered(kPhase, with(both, {{"other_on", "same chain"}, {"cam_teeth", "38"}}));
  EXPECT_THAT(chain.lines, Contains(HasSubstr("no jump of one of them")));
  EXPECT_THAT(chain.lines, Contains(HasSubstr("the key, or the crank's sensor wheel")));
  EXPECT_THAT(chain.lines, Contains(HasSubstr("compare 1.00 to 1 with the ratio of the spans")));
  const Answer banks = answered(kPhase, with(both, {{"other_on", "other bank"}}));
  EXPECT_THAT(banks.lines, Contains(HasSubstr("the crank's side")));
  EXPECT_THAT(banks.lines, Contains(HasSubstr("invisible")));
}

TEST(Phase, ReadsTheOtherCamWhicheverOfThemMoved) {
  const auto lines = [](const char* own, const char* other, const char* teeth) {
    return all_of(answered(kPhase, said({{"off", own},
                                         {"other", other},
                                         {"other_on", "same chain"},
                                         {"cam_teeth", teeth}}))
                      .lines);
  };
  EXPECT_THAT(lines("1.8 deg crank late", "21.4 deg crank late", "38"),
              HasSubstr("It is the other camshaft of this chain that is whole teeth off: 1 tooth"));
  EXPECT_THAT(lines("21.4 deg crank late", "1.8 deg crank late", ""),
              HasSubstr("depends on the teeth of the sprocket"));
  EXPECT_THAT(lines("19 deg crank late", "18.9 deg crank late", "38"), HasSubstr("as many teeth"));
  EXPECT_THAT(lines("6 deg crank early", "6 deg crank early", "38"), HasSubstr("never early"));
  EXPECT_THAT(lines("6 deg crank late", "2 deg crank early", "38"), HasSubstr("no wear of their"));
  EXPECT_THAT(lines("11 deg crank late", "2 deg crank late", "38"),
              HasSubstr("5.50 to 1 is no ratio of spans"));
  EXPECT_THAT(lines("11 deg crank late", "0.1 deg crank late", "38"), HasSubstr("this cam alone"));
  EXPECT_THAT(lines("0.1 deg crank late", "11 deg crank late", "38"),
              HasSubstr("the other camshaft, 11.0° late (crank), 5.5° cam, alone"));
}

// Source: trade.md 7 question 6: 11/18.95 = 0.58 tooth; as cam degrees 22, a tooth and wear.
TEST(Phase, AsksCrankOrCamForQuestionSix) {
  const Ask which = asked(kPhase, said({{"off", "11 deg late"}, {"cam_teeth", "38"}}));
  EXPECT_EQ(which.input, "of");
  EXPECT_THAT(which.sentence, HasSubstr("One cam degree is two crank degrees"));
  const Answer crank =
      answered(kPhase, said({{"off", "11 deg late"}, {"of", "crank"}, {"cam_teeth", "38"}}));
  EXPECT_THAT(crank.lines, Contains(HasSubstr("0.58 tooth: not a whole tooth")));
  EXPECT_THAT(crank.lines, Contains(HasSubstr("moved trigger wheel")));
  const Answer cam =
      answered(kPhase, said({{"off", "11 deg late"}, {"of", "cam"}, {"cam_teeth", "38"}}));
  EXPECT_THAT(cam.lines, Contains(HasSubstr("1 tooth late (18.95° crank")));
}

TEST(Phase, AsksWhatWasNotSaid) {
  EXPECT_EQ(asked(kPhase, {}).input, "cam");
  EXPECT_EQ(asked(kPhase, {{"cam", "bank 2"}}).input, "phaser");
  EXPECT_EQ(asked(kPhase, kSaid).input, "read");
  EXPECT_EQ(asked(kPhase, said({{"read", "times"}})).input, "gap");
  EXPECT_EQ(asked(kPhase, said({{"read", "teeth"}})).input, "teeth");
  EXPECT_EQ(asked(kPhase, said({{"read", "degrees"}})).input, "at");
  EXPECT_EQ(asked(kPhase, said({{"read", "off"}})).input, "off");
  const Typed times = said({{"gap", "0.0 ms"}, {"edge", "13.3 ms"}, {"next_gap", "92.3 ms"}});
  EXPECT_EQ(asked(kPhase, times).input, "next");
  EXPECT_EQ(asked(kPhase, with(times, {{"next", "turn"}, {"polarity", ""}})).input, "polarity");
  EXPECT_EQ(asked(kPhase, said({{"off", "11 deg crank"}})).input, "direction");
  const Typed both = said({{"off", "11 deg crank late"}, {"teeth", "3"}});
  EXPECT_EQ(asked(kPhase, both).input, "read");
  answered(kPhase, with(both, {{"read", "off"}}));
}

// 13.3/92.3 of 360°: 51.9°; at 650 1/min the speed hides 2 · 57.3 · 0.25/(2√2) · (250/650)² = 1.5°,
// the cursors 2 · 360/92.3 · 0.1/√3 · √(1 + 0.856² + 0.144²) = 0.6°; together 1.6°.
TEST(Phase, PlacesTypedTimes) {
  const Answer done = answered(kPhase, said({{"gap", "0.0 ms"},
                                             {"edge", "13.3 ms"},
                                             {"next_gap", "92.3 ms"},
                                             {"next", "turn"},
                                             {"nominal", "52.0 deg crank"},
                                             {"cam_teeth", "42"}}));
  EXPECT_THAT(done.lines.front(), HasSubstr("51.9° ± 1.6° (crank) after the gap"));
  EXPECT_THAT(done.lines.front(), HasSubstr("0.1° early (crank), 0.1° cam against 52.0°"));
  EXPECT_THAT(all_of(done.assumed), HasSubstr("at 650 1/min that can be ± 1.5° of the angle"));
  EXPECT_THAT(all_of(done.assumed), HasSubstr("which of the two turns"));
  EXPECT_THAT(done.lines, Contains(HasSubstr("Nothing is passed")));
  EXPECT_FALSE(done.verdict);
  // One cycle later instead: twice the angle, and cranking slowly the speed hides several degrees.
  const Answer cycle = answered(
      kPhase,
      said({{"gap", "0.00 s"}, {"edge", "0.080 s"}, {"next_gap", "0.521 s"}, {"next", "cycle"}}));
  EXPECT_THAT(cycle.lines.front(), HasSubstr("110.6° ± 1"));  // 0.080/0.521 of 720°
  EXPECT_THAT(all_of(cycle.assumed), HasSubstr("230 1/min"));
  EXPECT_THAT(all_of(cycle.assumed), HasSubstr("± 10.1°"));
  EXPECT_THAT(cycle.lines, Contains(HasSubstr("an error equal on both is invisible")));
}

TEST(Phase, TakesSeveralCyclesAndRefusesWhatDoesNotBelongTogether) {
  const Typed three = said({{"gap", "0.0 92.3 184.6 ms"},
                            {"edge", "18.6 110.9 203.3 ms"},
                            {"next_gap", "92.3 184.6 276.9 ms"},
                            {"next", "turn"},
                            {"nominal", "52 deg crank"}});
  EXPECT_THAT(answered(kPhase, three).lines.front(), HasSubstr("20.7° late (crank)"));
  EXPECT_EQ(asked(kPhase, with(three, {{"edge", "18.6 110.9 ms"}})).input, "edge");
  EXPECT_EQ(asked(kPhase, with(three, {{"edge", "18.6 110.9 230.0 ms"}})).input, "edge");
  EXPECT_EQ(asked(kPhase, with(three, {{"edge", "18.6 110.9 303.3 ms"}})).input, "edge");
  EXPECT_EQ(asked(kPhase, with(three, {{"next_gap", "92.3 80.0 276.9 ms"}})).input, "next_gap");
  EXPECT_EQ(asked(kPhase, with(three, {{"gap", "0 1 2"}})).input, "gap");
}

// trade.md 6.B: readings of 117.3 … against 96.0°.
TEST(Phase, TakesDegreesOffTheScreen) {
  const Answer done = answered(kPhase, said({{"at", "117.3 117.5 117.2 117.6 117.4 deg crank"},
                                             {"nominal", "96.0 deg crank"},
                                             {"cam_teeth", "38"}}));
  EXPECT_THAT(done.lines.front(), HasSubstr("117.4° ± 0.2°"));
  EXPECT_THAT(done.lines.front(), HasSubstr("21.4° late (crank), 10.7° cam"));
}

// 7 spaces and a fifth on 36-1: 72°, 20° after 52°; a tooth more or less is 10°.
TEST(Phase, ListsTheMiscountWithItsOwnAnswer) {
  const Typed counted = said({{"teeth", "7"},
                              {"fraction", "0.2"},
                              {"wheel", "36-1"},
                              {"nominal", "52 deg crank"},
                              {"cam_teeth", "42"}});
  const Answer done = answered(kPhase, counted);
  EXPECT_THAT(done.lines.front(), HasSubstr("72.0° ± 1.2°"));
  EXPECT_THAT(done.lines.front(), HasSubstr("20.0° late (crank)"));
  EXPECT_THAT(done.lines,
              Contains(HasSubstr("miscount by one tooth of the crank wheel (10.0° crank")));
  EXPECT_THAT(done.lines,
              Contains(HasSubstr("too few was counted: 30.0° late (crank), 15.0° cam")));
  EXPECT_THAT(done.lines,
              Contains(HasSubstr("too many was counted: 10.0° late (crank), 5.0° cam")));
  EXPECT_THAT(done.lines, Contains(HasSubstr("10.00° late (crank), 5.00° cam is 0.58 tooth")));
  EXPECT_EQ(asked(kPhase, with(counted, {{"fraction", ""}})).input, "fraction");
  EXPECT_EQ(asked(kPhase, with(counted, {{"fraction", "1.2"}})).input, "fraction");
  EXPECT_EQ(asked(kPhase, with(counted, {{"wheel", ""}})).input, "wheel");
  EXPECT_EQ(asked(kPhase, with(counted, {{"wheel", "big"}})).input, "wheel");
  EXPECT_EQ(asked(kPhase, with(counted, {{"teeth", "72"}})).input, "teeth");
}

TEST(Phase, NeverPassesAndSaysWhatAPhaserHides) {
  const Typed right = said({{"off", "0 deg crank late"}, {"cam_teeth", "38"}});
  const Answer done = answered(kPhase, right);
  EXPECT_FALSE(done.verdict);
  EXPECT_FALSE(done.finding);
  EXPECT_THAT(answered(kPhase, with(right, {{"phaser", "commanded"}})).cautions,
              Contains(HasSubstr("Read again with it locked")));
  EXPECT_THAT(answered(kPhase, with(right, {{"phaser", "unknown"}})).cautions,
              Contains(HasSubstr("Nothing here is proven")));
  EXPECT_THAT(all_of(done.cautions), Not(HasSubstr("phaser")));
}

}  // namespace
}  // namespace tautmark::quick
