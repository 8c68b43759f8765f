// SPDX-License-Identifier: Apache-2.0
// Readings that contradict each other, cannot be, or were not taken as the limit means: each was a
// pass once, found by trying to break the program.
#include <gmock/gmock.h>

#include "judge/judge_test_support.h"

namespace tautmark {
namespace {

using test::find;
using test::judged;
using test::kCaseHead;
using test::kFits;
using test::small_drive;
using test::verdict_text;
using ::testing::HasSubstr;

constexpr const char* kJournal1 = "bank 1 / camshaft / journal 1";

std::string reading(const std::string& rest) { return "  - {kind: reading, " + rest + "}\n"; }

Finding one(const std::string& check, const std::string& subject, const std::string& entries,
            const std::string& drive = small_drive(kFits)) {
  return find(judged(std::string(kCaseHead) + entries, drive), check, subject);
}

std::string end_play(const std::string& id, const std::string& rest) {
  return reading("id: " + id + ", quantity: end play, place: bank 1 / camshaft, " + rest);
}

std::string clearance(const std::string& id, const std::string& rest) {
  return reading("id: " + id +
                 ", quantity: journal clearance, place: bank 1 / camshaft / journal 1, " + rest);
}

std::string journal(const std::string& rest) {
  return reading(
      "id: j, quantity: journal diameter, place: bank 1 / camshaft / journal 1, instrument: mic, " +
      rest);
}

std::string oil_drive(
    const std::string& limit = "speed: 650 ± 25 1/min, oil_temperature: at least 90 degC") {
  return small_drive(std::string(kFits) +
                     "oil:\n  grade: 5W-30\n  ports: [gallery]\n  pressures: [{at: gallery, limit: "
                     "at least 110 kPa, " +
                     limit + "}]\n");
}

std::string pressure(const std::string& id, const std::string& values,
                     const std::string& oil = ", oil: as specified") {
  return "  - {kind: pressure, id: " + id + ", place: gallery, values: " + values +
         ", speed: 650 1/min, oil_temperature: 96 degC, thermometer: thermometer, instrument: "
         "gauge" +
         oil + "}\n";
}

TEST(Contradiction, BladesDoNotSilenceADial) {
  const std::string dial = end_play("a", "values: 0.30 0.30 0.30 mm, instrument: dial indicator");
  EXPECT_EQ(verdict_text(one("end-play", "bank 1 / camshaft",
                             dial + end_play("b", "passes: 0.10 mm, stops: 0.15 mm"))),
            "open: implausible readings");
  EXPECT_EQ(verdict_text(one("end-play", "bank 1 / camshaft",
                             dial + end_play("b", "passes: 0.28 mm, stops: 0.32 mm"))),
            "fail");
  EXPECT_EQ(verdict_text(one("end-play", "bank 1 / camshaft",
                             end_play("a", "passes: 0.10 mm, stops: 0.15 mm") +
                                 end_play("b", "passes: 0.20 mm, stops: 0.25 mm"))),
            "open: implausible readings");
}

TEST(Contradiction, ReportedValuesFurtherApartThanTheirUncertaintyAreNotAveraged) {
  const Finding finding =
      one("journal-clearance", kJournal1,
          clearance("a", "value: 0.118 ± 0.005 mm") + clearance("b", "value: 0.060 ± 0.005 mm"));
  EXPECT_EQ(verdict_text(finding), "open: implausible readings");
  EXPECT_THAT(finding.why, HasSubstr("contradict"));
}

TEST(Contradiction, AStripNeverEntersAMean) {
  const std::string gauged = clearance("a", "value: 0.118 ± 0.005 mm");
  EXPECT_EQ(verdict_text(one("journal-clearance", kJournal1, gauged)), "fail");
  EXPECT_EQ(
      verdict_text(one("journal-clearance", kJournal1,
                       gauged + clearance("b", "values: 0.050 mm, instrument: plastic strip"))),
      "open: implausible readings");
  const Finding confirmed =
      one("journal-clearance", kJournal1,
          gauged + clearance("b", "values: 0.115 mm, instrument: plastic strip"));
  EXPECT_EQ(verdict_text(confirmed), "fail");
  EXPECT_NEAR(confirmed.value->value, 0.118e-3, 1e-9);
}

TEST(Contradiction, AnAngleAndALengthAreNotAveraged) {
  const std::string play =
      "quantity: lock play, place: bank 1 / camshaft / phaser, instrument: dial indicator, ";
  EXPECT_EQ(verdict_text(one("phaser-lock-play", "bank 1 / camshaft / phaser",
                             reading("id: a, " + play + "values: 1.10 mm, radius: 50 mm") +
                                 reading("id: b, " + play + "values: 1.20 deg cam"))),
            "open: implausible readings");
}

TEST(Contradiction, PressuresUnderTheSameConditionsArePooledOrOpenWhateverTheirOrder) {
  EXPECT_EQ(verdict_text(one("oil-pressure", "gallery",
                             pressure("a", "88 89 88 kPa") + pressure("b", "140 141 140 kPa"),
                             oil_drive())),
            "open: implausible readings");
  EXPECT_EQ(verdict_text(one("oil-pressure", "gallery",
                             pressure("b", "140 141 140 kPa") + pressure("a", "88 89 88 kPa"),
                             oil_drive())),
            "open: implausible readings");
  const Finding both =
      one("oil-pressure", "gallery",
          pressure("a", "139 140 141 kPa") + pressure("b", "141 142 141 kPa"), oil_drive());
  EXPECT_EQ(verdict_text(both), "pass");
  EXPECT_THAT(both.evidence, ::testing::IsSupersetOf({"a", "b"}));
}

TEST(Contradiction, APressureFromBeforeThePartsWentInDoesNotCount) {
  const std::string fitted = "  - {kind: part, id: f, part: oil pump, action: fitted}\n";
  const Finding after =
      one("oil-pressure", "gallery",
          pressure("a", "88 89 88 kPa") + fitted + pressure("b", "140 141 140 kPa"), oil_drive());
  EXPECT_EQ(verdict_text(after), "pass");
  EXPECT_THAT(after.evidence, ::testing::ElementsAre("b"));
}

TEST(Contradiction, TwoExtensionsOfOneTensionerAreNotAveraged) {
  const std::string extension =
      "quantity: tensioner extension, place: chain / tensioner, instrument: depth gauge, ";
  const std::string sound =
      "  - {kind: observation, id: r, place: chain / tensioner, aspect: ratchet, condition: "
      "sound}\n"
      "  - {kind: observation, id: v, place: chain / tensioner, aspect: check valve, condition: "
      "sound}\n";
  EXPECT_EQ(verdict_text(one("tensioner-extension", "chain / tensioner",
                             reading("id: a, " + extension + "values: 4.0 mm") +
                                 reading("id: b, " + extension + "values: 12.0 mm") + sound)),
            "open: implausible readings");
}

TEST(Oil, TheLatestEntryBeforeThePressureCounts) {
  const std::string thin = "  - {kind: oil, id: o1, grade: 5W-30}\n",
                    thick = "  - {kind: oil, id: o2, grade: 20W-50}\n";
  EXPECT_EQ(verdict_text(
                one("oil-pressure", "gallery", thin + pressure("p", "140 kPa", ""), oil_drive())),
            "pass");
  EXPECT_EQ(verdict_text(one("oil-pressure", "gallery", thin + thick + pressure("p", "140 kPa", ""),
                             oil_drive())),
            "open: outside the model");
  EXPECT_EQ(verdict_text(
                one("oil-pressure", "gallery", pressure("p", "140 kPa", "") + thin, oil_drive())),
            "open: not measured");
  EXPECT_EQ(
      verdict_text(one("oil-pressure", "gallery", thick + pressure("p", "140 kPa"), oil_drive())),
      "open: outside the model");
}

TEST(Oil, ALimitWithoutItsConditionsPassesNothing) {
  EXPECT_EQ(verdict_text(one("oil-pressure", "gallery", pressure("p", "400 kPa"),
                             oil_drive("speed: 650 ± 25 1/min"))),
            "open: not in the drive");
}

TEST(Heat, AHotPartWithoutTheGaugesTemperatureIsNotTrusted) {
  EXPECT_EQ(one("journal-diameter", kJournal1,
                journal("values: 27.965 27.965 27.966 mm, temperature: 95 degC"))
                .verdict,
            Verdict::open);
  EXPECT_EQ(verdict_text(one("journal-diameter", kJournal1,
                             journal("values: 27.965 27.965 27.966 mm, temperature: 95 degC, "
                                     "instrument_temperature: 20 degC"))),
            "fail");
  EXPECT_EQ(verdict_text(one("journal-diameter", kJournal1,
                             journal("values: 27.965 27.965 27.966 mm, temperature: 21 degC"))),
            "pass");
}

TEST(Heat, AClearanceTakenHotIsNotComparedWithAColdLimit) {
  EXPECT_EQ(verdict_text(one("journal-clearance", kJournal1,
                             clearance("a", "value: 0.058 ± 0.005 mm, temperature: 95 degC"))),
            "open: outside the model");
  EXPECT_EQ(
      verdict_text(
          one("end-play", "bank 1 / camshaft",
              end_play(
                  "a",
                  "values: 0.11 0.12 0.11 mm, instrument: dial indicator, temperature: 110 degC"))),
      "open: outside the model");
}

TEST(New, NothingWearsBackBeyondIt) {
  EXPECT_EQ(verdict_text(one("journal-diameter", kJournal1,
                             journal("values: 37.990 mm, temperature: 20 degC"))),
            "open: implausible readings");
  EXPECT_EQ(verdict_text(one("journal-diameter", kJournal1,
                             journal("values: 27.995 27.995 27.996 mm, temperature: 20 degC"))),
            "open: implausible readings");
  EXPECT_EQ(verdict_text(one("bore-diameter", kJournal1,
                             reading("id: b, quantity: bore diameter, place: bank 1 / camshaft / "
                                     "journal 1, values: 27.990 27.990 27.991 mm, instrument: bore "
                                     "gauge of the shop, cap: torqued, temperature: 20 degC"))),
            "open: implausible readings");
}

TEST(New, AChainDoesNotShrink) {
  const Finding finding = one("chain-elongation", "chain",
                              reading("id: c, quantity: chain length, place: chain, values: 318.50 "
                                      "mm, links: 40, instrument: caliper"));
  EXPECT_EQ(verdict_text(finding), "open: implausible readings");
  EXPECT_THAT(finding.why, HasSubstr("shorter"));
  EXPECT_THAT(finding.why, ::testing::Not(HasSubstr(" -")));
}

TEST(Limits, TwoThatDisagreeAreNamedAndNotChosen) {
  const Finding finding = one("journal-clearance", kJournal1,
                              clearance("a",
                                        "value: 0.100 ± 0.003 mm, limit: at most 0.080 mm, "
                                        "limit_source: {origin: maker, document: bulletin}"));
  EXPECT_EQ(verdict_text(finding), "open: limit without authority");
  EXPECT_THAT(finding.why, HasSubstr("0.080"));
  EXPECT_THAT(finding.why, HasSubstr("0.110"));
}

TEST(Limits, AMakerWithoutADocumentCarriesNoPass) {
  std::string drive = small_drive(kFits);
  drive.replace(drive.find("{origin: maker, document: manual, page: p. 1}"), 45, "{origin: maker}");
  EXPECT_EQ(verdict_text(one("end-play", "bank 1 / camshaft",
                             end_play("a", "values: 0.11 0.12 0.11 mm, instrument: dial indicator"),
                             drive)),
            "open: limit without authority");
}

TEST(Limits, AnotherDocumentDoesNotInheritTheFilesOrigin) {
  const std::string fits =
      "fits:\n  - {quantity: end play, at: every camshaft, service: 0.05..0.20 mm, source: heard "
      "from somebody}\n";
  EXPECT_EQ(verdict_text(one("end-play", "bank 1 / camshaft",
                             end_play("a", "values: 0.11 0.12 0.11 mm, instrument: dial indicator"),
                             small_drive(fits))),
            "open: limit without authority");
  const std::string page =
      "fits:\n  - {quantity: end play, at: every camshaft, service: 0.05..0.20 mm, source: {page: "
      "p. 7}}\n";
  EXPECT_EQ(verdict_text(one("end-play", "bank 1 / camshaft",
                             end_play("a", "values: 0.11 0.12 0.11 mm, instrument: dial indicator"),
                             small_drive(page))),
            "pass");
}

TEST(Seen, DamageIsNotSavedByAReading) {
  const std::string groove = reading(
      "id: g, quantity: groove depth, place: chain / arm, values: 0.4 0.4 0.4 mm, instrument: "
      "depth gauge");
  EXPECT_EQ(verdict_text(one("guide-groove", "chain / arm", groove)), "pass");
  EXPECT_EQ(verdict_text(one("guide-groove", "chain / arm",
                             groove + "  - {kind: observation, id: s, place: chain / arm, aspect: "
                                      "crack, condition: damaged}\n")),
            "open: outside the model");
}

TEST(Seen, PlayOfAPhaserThatIsNotLockedIsNotJudged) {
  const std::string play = reading(
      "id: l, quantity: lock play, place: bank 1 / camshaft / phaser, values: 0.5 0.5 0.5 deg cam, "
      "instrument: dial indicator");
  EXPECT_EQ(verdict_text(one("phaser-lock-play", "bank 1 / camshaft / phaser",
                             play + "  - {kind: state, id: s, phaser: not locked}\n")),
            "open: outside the model");
}

TEST(Slip, OneReadingInInchesAmongMillimetersIsNoticed) {
  EXPECT_EQ(verdict_text(one("journal-diameter", kJournal1,
                             journal("values: 27.960 1.1008 27.961 mm, temperature: 20 degC"))),
            "open: implausible readings");
}

TEST(Slip, AnOutlierIsShownFirstNotAveragedAway) {
  const Finding finding =
      one("journal-diameter", kJournal1,
          journal("values: 27.960 27.960 27.961 29.960 mm, temperature: 20 degC"));
  EXPECT_EQ(finding.verdict, Verdict::open);
  ASSERT_FALSE(finding.next.empty());
  EXPECT_THAT(finding.next.front(), HasSubstr("read it again"));
}

TEST(Advice, NeverAsksForAGaugeWorseThanTheOneInHand) {
  const Finding finding = one("end-play", "bank 1 / camshaft",
                              end_play("a", "values: 0.30 0.06 mm, instrument: dial indicator"));
  EXPECT_EQ(finding.verdict, Verdict::open);
  for (const std::string& next : finding.next)
    EXPECT_THAT(next, ::testing::Not(HasSubstr("a gauge of")));
}

TEST(Direction, OneAloneCannotPassALimitOfTheWorst) {
  const std::string fits =
      "fits:\n  - {quantity: journal diameter, at: every journal, service: at least 27.950 mm, "
      "applies_to: worst}\n";
  const std::string values = "values: 27.970 27.970 27.971 mm, temperature: 20 degC";
  EXPECT_EQ(verdict_text(one("journal-diameter", kJournal1, journal(values), small_drive(fits))),
            "open: not measured");
}

TEST(Headline, SaysWhenOnlySomeChecksWereAsked) {
  EXPECT_THAT(test::judged_demo("vessgarth", {{"end-play"}}).stop_or_caution,
              HasSubstr("asked for end-play only"));
}

}  // namespace
}  // namespace tautmark
