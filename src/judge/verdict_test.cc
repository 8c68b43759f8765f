// SPDX-License-Identifier: Apache-2.0
// Rules that hold for every check, each with the smallest case that shows it.
#include "judge/verdict.h"

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

std::string bore_and_journal(const std::string& bore, const std::string& journal,
                             const std::string& cap = "cap: torqued") {
  return reading("id: b, quantity: bore diameter, place: bank 1 / camshaft / journal 1, values: " +
                 bore + ", instrument: bore gauge of the shop, temperature: 20 degC" +
                 (cap.empty() ? "" : ", " + cap)) +
         reading(
             "id: j, quantity: journal diameter, place: bank 1 / camshaft / journal 1, values: " +
             journal + ", instrument: mic, temperature: 20 degC");
}

TEST(Missing, AJournalWithoutItsBoreIsOpenAndSaysWhatToMeasure) {
  const Judgement judgement =
      judged(std::string(kCaseHead) +
                 reading("id: j, quantity: journal diameter, place: bank 1 / camshaft / journal 1, "
                         "values: 27.970 27.971 27.970 mm, instrument: mic"),
             small_drive(kFits));
  const Finding finding = find(judgement, "journal-clearance", kJournal1);
  EXPECT_EQ(verdict_text(finding), "open: not measured");
  EXPECT_THAT(finding.next.front(), HasSubstr("bore gauge"));
  // The sibling that was not touched is open too: the area was begun.
  EXPECT_EQ(verdict_text(find(judgement, "journal-diameter", "bank 1 / camshaft / journal 2")),
            "open: not measured");
}

TEST(Missing, AnUntouchedAreaGivesOneLineNotAFinding) {
  const Judgement judgement = judged(
      std::string(kCaseHead) + reading("id: e, quantity: end play, place: bank 1 / camshaft, "
                                       "values: 0.11 0.12 0.11 mm, instrument: dial indicator"),
      small_drive(kFits));
  ASSERT_EQ(judgement.findings.size(), 1U);
  EXPECT_EQ(verdict_text(judgement.findings.front()), "pass");
  EXPECT_EQ(exit_status(judgement), 0);
  EXPECT_THAT(judgement.not_looked_at,
              ::testing::Contains(::testing::Field(&NotLookedAt::check, "journal-clearance")));
}

TEST(Missing, ACheckThatWasAskedForIsOpenWhenNothingWasMeasured) {
  const Judgement judgement =
      judged(std::string(kCaseHead) + "  - {kind: note, id: n, words: nothing yet}\n",
             small_drive(kFits), {{"end-play"}});
  ASSERT_EQ(judgement.findings.size(), 1U);
  EXPECT_EQ(verdict_text(judgement.findings.front()), "open: not measured");
}

TEST(Cap, ABoreWithoutItsCapTorquedNeverPasses) {
  for (const std::string cap : {"", "cap: unknown", "cap: hand tight", "cap: \"off\""}) {
    const Judgement judgement =
        judged(std::string(kCaseHead) +
                   bore_and_journal("28.030 28.031 28.030 mm", "27.970 27.970 27.971 mm", cap),
               small_drive(kFits));
    EXPECT_EQ(find(judgement, "bore-diameter", kJournal1).verdict, Verdict::open) << cap;
    EXPECT_EQ(find(judgement, "journal-clearance", kJournal1).verdict, Verdict::open) << cap;
    EXPECT_THAT(find(judgement, "bore-diameter", kJournal1).why, HasSubstr("torque")) << cap;
  }
}

TEST(Strip, ConfirmsAndNeverPassesAlone) {
  const std::string strip = reading(
      "id: s, quantity: journal clearance, place: bank 1 / camshaft / journal 1, values: 0.051 mm, "
      "instrument: plastic strip");
  const Judgement alone = judged(std::string(kCaseHead) + strip, small_drive(kFits));
  EXPECT_EQ(find(alone, "journal-clearance", kJournal1).verdict, Verdict::open);
  const Judgement both =
      judged(std::string(kCaseHead) +
                 bore_and_journal("28.030 28.031 28.030 mm", "27.970 27.970 27.971 mm") + strip,
             small_drive(kFits));
  EXPECT_EQ(verdict_text(find(both, "journal-clearance", kJournal1)), "pass");
  EXPECT_THAT(find(both, "journal-clearance", kJournal1).why, HasSubstr("confirms"));
  const std::string far = reading(
      "id: s, quantity: journal clearance, place: bank 1 / camshaft / journal 1, values: 0.150 mm, "
      "instrument: plastic strip");
  const Judgement contradicted =
      judged(std::string(kCaseHead) +
                 bore_and_journal("28.030 28.031 28.030 mm", "27.970 27.970 27.971 mm") + far,
             small_drive(kFits));
  EXPECT_EQ(verdict_text(find(contradicted, "journal-clearance", kJournal1)),
            "open: implausible readings");
}

// Common practice, no source: a hot-idle minimum of 25 psi taken with the specified oil says
// nothing about camshaft journal clearance. The two are findings of their own.
TEST(Pressure, AGoodGaugeNeverTurnsAClearanceIntoPass) {
  const std::string oil = R"(oil:
  grade: 5W-30
  ports: [main gallery]
  pressures: [{at: main gallery, limit: at least 25 psi, speed: 650 ± 25 1/min, oil_temperature: at least 90 degC}]
)";
  const std::string good =
      "  - {kind: pressure, id: p, place: main gallery, values: 27 27 27 psi, speed: 650 1/min, "
      "oil_temperature: 95 degC, thermometer: thermometer, oil: as specified, instrument: gauge}\n";
  const Judgement judgement =
      judged(std::string(kCaseHead) + good +
                 bore_and_journal("28.100 28.101 28.100 mm", "27.957 27.957 27.958 mm"),
             small_drive(kFits + oil));
  EXPECT_EQ(verdict_text(find(judgement, "oil-pressure", "main gallery")), "pass");
  EXPECT_EQ(verdict_text(find(judgement, "journal-clearance", kJournal1)), "fail");
  const Judgement pressure_only =
      judged(std::string(kCaseHead) + good, small_drive(kFits + oil), {{"journal-clearance"}});
  EXPECT_EQ(pressure_only.findings.front().verdict, Verdict::open);
}

TEST(Pressure, OtherConditionsMakeItOpenWhateverTheNumber) {
  const std::string oil = R"(oil:
  grade: 5W-30
  ports: [main gallery]
  pressures: [{at: main gallery, limit: at least 140 kPa, speed: 650 ± 25 1/min, oil_temperature: at least 90 degC}]
)";
  const auto verdict = [&](const std::string& values, const std::string& conditions) {
    const Judgement judgement =
        judged(std::string(kCaseHead) +
                   "  - {kind: pressure, id: p, place: main gallery, values: " + values +
                   ", instrument: gauge" + conditions + "}\n",
               small_drive(kFits + oil));
    return verdict_text(find(judgement, "oil-pressure", "main gallery"));
  };
  const std::string right =
      ", speed: 650 1/min, oil_temperature: 95 degC, thermometer: thermometer, oil: as specified";
  EXPECT_EQ(verdict("185 kPa", right), "pass");
  EXPECT_EQ(verdict("100 kPa", right), "fail");
  EXPECT_EQ(
      verdict("185 kPa",
              ", speed: 650 1/min, oil_temperature: 95 degC, thermometer: thermometer, oil: other"),
      "open: outside the model");
  EXPECT_EQ(verdict("185 kPa", ", speed: 650 1/min, oil_temperature: 60 degC, oil: as specified"),
            "open: outside the model");
  EXPECT_EQ(verdict("185 kPa",
                    ", speed: 230 1/min, oil_temperature: 95 degC, thermometer: thermometer, oil: "
                    "as specified"),
            "open: outside the model");
  EXPECT_EQ(verdict("185 kPa",
                    ", speed: 650 1/min, oil_temperature: 90.5 degC, thermometer: thermometer, "
                    "oil: as specified"),
            "open: too close to call");
  EXPECT_EQ(verdict("185 kPa", ", speed: 650 1/min, oil: as specified"), "open: not measured");
  EXPECT_EQ(
      verdict("185 kPa", ", speed: 650 1/min, oil_temperature: 95 degC, thermometer: thermometer"),
      "open: not measured");
  EXPECT_EQ(verdict("100 kPa", ", speed: 650 1/min, oil_temperature: 60 degC, oil: as specified"),
            "open: outside the model");
}

TEST(Origin, OnlyMakerAndShopCarryAPass) {
  const auto verdict = [&](const std::string& origin) {
    std::string drive = small_drive(kFits);
    drive.replace(drive.find("origin: maker"), 13, "origin: " + origin);
    const Judgement judgement =
        judged(std::string(kCaseHead) +
                   bore_and_journal("28.030 28.031 28.030 mm", "27.970 27.970 27.971 mm"),
               drive);
    return verdict_text(find(judgement, "journal-clearance", kJournal1));
  };
  EXPECT_EQ(verdict("maker"), "pass");
  EXPECT_EQ(verdict("shop"), "pass");
  EXPECT_EQ(verdict("common practice"), "open: limit without authority");
  EXPECT_EQ(verdict("program default"), "open: limit without authority");
  EXPECT_EQ(verdict("unknown"), "open: limit without authority");
}

TEST(NoDrive, AReadingMayCarryItsOwnLimit) {
  const std::string head = "tautmark: case/1\nname: test\nentries:\n";
  const std::string with_source =
      head + reading(
                 "id: a, quantity: end play, place: intake camshaft, values: 0.11 0.12 0.11 mm, "
                 "instrument: dial indicator, limit: 0.05..0.20 mm, limit_source: {origin: maker, "
                 "document: manual}");
  EXPECT_EQ(verdict_text(find(judged(with_source, ""), "end-play", "intake camshaft")), "pass");
  const std::string without_source =
      head + reading(
                 "id: a, quantity: end play, place: intake camshaft, values: 0.11 0.12 0.11 mm, "
                 "instrument: dial indicator, limit: 0.05..0.20 mm");
  EXPECT_EQ(verdict_text(find(judged(without_source, ""), "end-play", "intake camshaft")),
            "open: limit without authority");
  const std::string without_limit =
      head + reading(
                 "id: a, quantity: end play, place: intake camshaft, values: 0.11 0.12 0.11 mm, "
                 "instrument: dial indicator");
  const Judgement none = judged(without_limit, "");
  EXPECT_EQ(verdict_text(find(none, "end-play", "intake camshaft")), "open: not in the drive");
  EXPECT_EQ(exit_status(none), 3);
}

TEST(Meaning, ALimitThatDoesNotSayMeanOrWorstMustHoldBothWays) {
  const std::string fits =
      "fits:\n  - {quantity: journal diameter, at: every journal, service: at least 27.950 mm}\n";
  const auto two = [&](const std::string& vertical, const std::string& horizontal) {
    const std::string entries = reading(
                                    "id: v, quantity: journal diameter, place: bank 1 / camshaft / "
                                    "journal 1, direction: vertical, values: " +
                                    vertical + ", instrument: mic, temperature: 20 degC") +
                                reading(
                                    "id: h, quantity: journal diameter, place: bank 1 / camshaft / "
                                    "journal 1, direction: horizontal, values: " +
                                    horizontal + ", instrument: mic, temperature: 20 degC");
    return verdict_text(find(judged(std::string(kCaseHead) + entries, small_drive(fits)),
                             "journal-diameter", kJournal1));
  };
  EXPECT_EQ(two("27.970 27.970 27.971 mm", "27.969 27.970 27.970 mm"), "pass");
  EXPECT_EQ(two("27.970 27.970 27.971 mm", "27.940 27.940 27.941 mm"), "open: too close to call");
  EXPECT_EQ(two("27.930 27.930 27.931 mm", "27.928 27.928 27.928 mm"), "fail");
}

TEST(NewRange, AloneCannotFailAUsedPart) {
  const std::string fits =
      "fits:\n  - {quantity: journal diameter, at: every journal, new: 27.960..27.980 mm, "
      "applies_to: mean}\n";
  const auto one = [&](const std::string& values) {
    return verdict_text(find(
        judged(std::string(kCaseHead) + reading("id: j, quantity: journal diameter, place: bank 1 "
                                                "/ camshaft / journal 1, values: " +
                                                values + ", instrument: mic, temperature: 20 degC"),
               small_drive(fits)),
        "journal-diameter", kJournal1));
  };
  EXPECT_EQ(one("27.970 27.970 27.970 mm"), "pass");
  EXPECT_EQ(one("27.930 27.930 27.930 mm"), "open: not in the drive");
}

TEST(Plausibility, AnInchTypedAsMillimeterIsAskedBackNotJudged) {
  const Judgement judgement =
      judged(std::string(kCaseHead) +
                 reading("id: j, quantity: journal diameter, place: bank 1 / camshaft / journal 1, "
                         "values: 1.101 1.101 1.102 mm, instrument: mic"),
             small_drive(kFits));
  EXPECT_EQ(verdict_text(find(judgement, "journal-diameter", kJournal1)),
            "open: implausible readings");
}

TEST(Plausibility, IdenticalDigitsEverywhereAreRemarked) {
  std::string entries;
  for (int i = 0; i < 4; ++i)
    entries += reading("id: r" + std::to_string(i) +
                       ", quantity: journal diameter, place: bank 1 / camshaft / journal " +
                       std::to_string(1 + i % 2) + ", direction: d" + std::to_string(i) +
                       ", values: 27.970 27.970 27.970 mm, instrument: mic");
  EXPECT_EQ(verdict_text(find(judged(std::string(kCaseHead) + entries, small_drive(kFits)),
                              "readings-plausible", "journal diameter")),
            "open: implausible readings");
}

TEST(Blades, AreAnIntervalDecidedByOverlap) {
  // measurement.md M1.31: passes 0.20, not 0.28, upper limit 0.25: probability inside 0.625.
  const std::string fits =
      "fits:\n  - {quantity: end play, at: every camshaft, service: at most 0.25 mm}\n";
  const auto finding = [&](const std::string& passes, const std::string& stops) {
    return find(judged(std::string(kCaseHead) +
                           reading("id: f, quantity: end play, place: bank 1 / camshaft, passes: " +
                                   passes + ", stops: " + stops + ", instrument: feeler blades"),
                       small_drive(fits)),
                "end-play", "bank 1 / camshaft");
  };
  EXPECT_EQ(verdict_text(finding("0.20 mm", "0.28 mm")), "open: too close to call");
  EXPECT_NEAR(*finding("0.20 mm", "0.28 mm").probability_within, 0.625, 1e-9);
  EXPECT_EQ(verdict_text(finding("0.10 mm", "0.15 mm")), "pass");
  EXPECT_EQ(verdict_text(finding("0.30 mm", "0.35 mm")), "fail");
}

TEST(OneReading, IsAcceptedWithALargerUncertainty) {
  const auto U = [&](const std::string& values) {
    return find(judged(std::string(kCaseHead) +
                           reading("id: j, quantity: journal diameter, place: bank 1 / camshaft / "
                                   "journal 1, values: " +
                                   values + ", instrument: mic, temperature: 20 degC"),
                       small_drive(kFits)),
                "journal-diameter", kJournal1)
        .value->U;
  };
  EXPECT_GT(U("27.970 mm"), 1.2 * U("27.970 27.970 27.970 mm"));
}

TEST(Correction, TheReplacedEntryNoLongerCounts) {
  const std::string entries =
      reading(
          "id: a, quantity: end play, place: bank 1 / camshaft, values: 0.31 0.31 0.31 mm, "
          "instrument: dial indicator") +
      reading(
          "id: b, replaces: a, quantity: end play, place: bank 1 / camshaft, values: 0.11 0.11 "
          "0.12 mm, instrument: dial indicator");
  const Finding finding = find(judged(std::string(kCaseHead) + entries, small_drive(kFits)),
                               "end-play", "bank 1 / camshaft");
  EXPECT_EQ(verdict_text(finding), "pass");
  EXPECT_THAT(finding.evidence, ::testing::ElementsAre("b"));
}

TEST(Tensioner, AShortExtensionProvesNothingUntilRatchetAndCheckValveAreSound) {
  const std::string extension = reading(
      "id: x, quantity: tensioner extension, place: chain / tensioner, values: 4.0 mm, instrument: "
      "depth gauge");
  const auto verdict = [&](const std::string& more) {
    return verdict_text(find(judged(std::string(kCaseHead) + extension + more, small_drive(kFits)),
                             "tensioner-extension", "chain / tensioner"));
  };
  const std::string ratchet =
      "  - {kind: observation, id: r, place: chain / tensioner, aspect: ratchet, condition: "
      "sound}\n";
  const std::string valve =
      "  - {kind: observation, id: v, place: chain / tensioner, aspect: check valve, condition: "
      "sound}\n";
  const std::string broken =
      "  - {kind: observation, id: w, place: chain / tensioner, aspect: ratchet, condition: "
      "damaged}\n";
  EXPECT_EQ(verdict(""), "open: not measured");
  EXPECT_EQ(verdict(ratchet), "open: not measured");
  EXPECT_EQ(verdict(ratchet + valve), "pass");
  EXPECT_EQ(verdict(ratchet + valve + broken), "open: outside the model");
}

TEST(SinkTime, HoldsForItsOwnWayAndForceOnly) {
  const auto verdict = [&](const std::string& rest) {
    return verdict_text(
        find(judged(std::string(kCaseHead) +
                        reading("id: s, quantity: sink time, place: chain / tensioner, values: 20 "
                                "21 20 s, instrument: stopwatch" +
                                rest),
                    small_drive(kFits)),
             "tensioner-sink-time", "chain / tensioner"));
  };
  EXPECT_EQ(verdict(", drop: 2 mm, force: 60 N"), "pass");
  EXPECT_EQ(verdict(", drop: 2 mm, force: 30 N"), "open: outside the model");
  EXPECT_EQ(verdict(""), "open: not measured");
}

TEST(Chain, AWrongNumberOfLinksIsNoticed) {
  const Finding finding = find(
      judged(std::string(kCaseHead) + reading("id: c, quantity: chain length, place: chain, "
                                              "values: 320.90 mm, links: 38, instrument: caliper"),
             small_drive(kFits)),
      "chain-elongation", "chain");
  EXPECT_EQ(verdict_text(finding), "open: implausible readings");
}

// M4-style what-if needs new ranges; a limit that is measured in another kind is refused as input.
TEST(Input, AReadingOfTheWrongKindIsRefusedWithItsPlace) {
  const std::string text = test::refusal(
      std::string(kCaseHead) + reading("id: j, quantity: journal diameter, place: bank 1 / "
                                       "camshaft / journal 1, values: 185 kPa"),
      small_drive(kFits));
  EXPECT_THAT(text, HasSubstr("case.yaml:9:"));
  EXPECT_THAT(text, HasSubstr("pressure"));
}

TEST(Variants, SameAnswerStandsAndDifferentAnswersWait) {
  std::string other = small_drive(kFits);
  other.replace(other.find("name: small"), 11, "name: other");
  other.replace(other.find("at most 0.110 mm"), 16, "at most 0.050 mm");
  std::string head = kCaseHead;
  head.replace(head.find("drive: small"), 12, "candidates: [small, other]");
  const std::string entries =
      bore_and_journal("28.030 28.031 28.030 mm", "27.970 27.970 27.971 mm");
  const Judgement judgement = judged(head + entries, small_drive(kFits), {}, {{"other", other}});
  EXPECT_EQ(verdict_text(find(judgement, "journal-clearance", kJournal1)), "open: variants differ");
  EXPECT_FALSE(find(judgement, "journal-clearance", kJournal1).limit);
  EXPECT_EQ(find(judgement, "journal-clearance", kJournal1).variants.size(), 2U);
  EXPECT_EQ(verdict_text(find(judgement, "journal-diameter", kJournal1)), "pass");
  EXPECT_THAT(find(judgement, "journal-diameter", kJournal1).why,
              HasSubstr("the same for all candidate variants"));
  const Judgement identified = judged(
      head + entries + "  - {kind: identification, id: i, variant: other, how: cast letter}\n",
      small_drive(kFits), {}, {{"other", other}});
  EXPECT_EQ(verdict_text(find(identified, "journal-clearance", kJournal1)), "fail");
}

TEST(Variants, WhatIsInheritedUnconfirmedKeepsFindingsOpen) {
  const std::string variant =
      "tautmark: drive/1\nname: variant\nbased_on: small\nsource: {origin: maker, document: "
      "manual}\n";
  std::string head = kCaseHead;
  head.replace(head.find("drive: small"), 12, "drive: variant");
  const std::string chain = reading(
      "id: c, quantity: chain length, place: chain, values: 320.20 320.21 320.20 mm, links: 40, "
      "instrument: caliper");
  const auto verdict = [&](const std::string& text) {
    return verdict_text(find(judged(head + chain, small_drive(kFits), {}, {{"variant", text}}),
                             "chain-elongation", "chain"));
  };
  EXPECT_EQ(verdict(variant), "open: not confirmed for this variant");
  EXPECT_EQ(verdict(variant + "confirms: [chain pitch]\n"), "pass");
  EXPECT_EQ(verdict(variant + "chains: [{name: chain, pitch: 8.00 mm}]\n"), "pass");
}

TEST(Definition, AnUncheckedDefinitionIsNamedOnEveryFinding) {
  std::string drive = small_drive(kFits);
  drive.erase(drive.find("checked_by: second reader\n"), 26);
  for (const Finding& finding :
       judged(std::string(kCaseHead) + bore_and_journal("28.030 mm", "27.970 mm"), drive).findings)
    EXPECT_THAT(finding.sources, ::testing::Contains(HasSubstr("not checked")));
}

}  // namespace
}  // namespace tautmark
