// SPDX-License-Identifier: Apache-2.0
// Questions 2, 3, 21 and 22 of the trade, and scenario B's teardown. The practitioner wrote down
// beforehand what the answer must be.
#include <gmock/gmock.h>

#include "judge/marks_test_support.h"

namespace tautmark {
namespace {

using namespace test;
using ::testing::AllOf;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;

TEST(ScenarioB, TheIntakeIsOneToothLateExhaustAndCrankAreRight) {
  const Judgement judgement = judged_demo("quellmere");
  const Finding intake = find(judgement, "link-counts", kIntake);
  EXPECT_EQ(verdict_text(intake), "fail");
  EXPECT_THAT(intake.why, HasSubstr("1 tooth late (9.474° cam, 18.947° crank) against crank"));
  EXPECT_THAT(intake.why, HasSubstr("60 + 17 + 61 = 138"));
  ASSERT_TRUE(intake.value);
  EXPECT_NEAR(intake.value->value / kRadiansPerDegree, -18.947, 5e-4);
  ASSERT_FALSE(intake.follows.empty());
  EXPECT_EQ(intake.follows[0],
            "move in the chain: bank 1 / intake camshaft 1 tooth with rotation; nothing else");
  EXPECT_THAT(intake.follows,
              Contains(HasSubstr("61 pitches from crank to bank 1 / intake camshaft, 16 pitches")));
  EXPECT_EQ(verdict_text(find(judgement, "link-counts", kExhaust)), "pass");
  EXPECT_EQ(verdict_text(find(judgement, "link-counts", "timing chain")), "pass");
}

// Question 21: 61 + 60 + 17 = 138 shows a moved sprocket; a sum of 137 a miscount or a wrong chain.
TEST(Questions, Number21IsAMovedSprocketOrAMiscount) {
  const Judgement moved = judged(with(counts(60, 17, 61)), four());
  EXPECT_EQ(verdict_text(find(moved, "link-counts", kIntake)), "fail");
  const Judgement less = judged(with(counts(60, 16, 61)), four());
  const Finding sum = find(less, "link-counts", "chain");
  EXPECT_EQ(verdict_text(sum), "open: implausible readings");
  EXPECT_THAT(sum.why,
              HasSubstr("137 pitches, 1 link fewer than the chain has links: a miscount or "
                        "another chain, not a jumped tooth"));
  EXPECT_THAT(sum.next, Contains(HasSubstr("count the strand crank to bank 1 / intake camshaft")));
  EXPECT_EQ(find(less, "link-counts", kIntake).verdict, Verdict::open);
  // The same counts said as what they are not: 61 + 18 + 62 with both marked links is 138.
  EXPECT_EQ(verdict_text(find(judged(with(counts(61, 18, 62, "e1", "both marks")), four()),
                              "link-counts", kIntake)),
            "fail");
}

// Both camshafts late by one tooth is the crank's error: it stands still, and it is said once.
TEST(LinkCounts, NeverTellOneToTurnTheCrankWithTheChainOff) {
  const Judgement both = judged(with(counts(60, 16, 62)), four());
  const Finding intake = find(both, "link-counts", kIntake);
  EXPECT_EQ(verdict_text(intake), "fail");
  EXPECT_THAT(intake.follows, Contains(AllOf(HasSubstr("lift the chain off crank, which stands "
                                                       "still"),
                                             HasSubstr("every valve"))));
  EXPECT_THAT(intake.follows, Not(Contains(HasSubstr("against rotation"))));
  EXPECT_THAT(find(both, "link-counts", kExhaust).follows,
              ElementsAre("what to move: at bank 1 / intake camshaft"));
}

TEST(LinkCounts, PassOnlyWithEveryStrandCounted) {
  const Judgement right = judged(with(counts(61, 16, 61)), four());
  for (const char* subject : {"chain", kIntake, kExhaust})
    EXPECT_EQ(verdict_text(find(right, "link-counts", subject)), "pass") << subject;

  const std::string two = fmt::format(
      "  - {{kind: marks, id: e1, chain: chain, counted: pitches, strands: [{{from: crank, to: {}, "
      "links: {}}}, {{from: {}, to: crank, links: 61}}]}}\n",
      kIntake, 60, kExhaust);
  const Judgement missing = judged(with(two), four());
  const Finding intake = find(missing, "link-counts", kIntake);
  EXPECT_EQ(verdict_text(intake), "open: not measured");
  EXPECT_THAT(intake.why, HasSubstr("1 tooth late"));
  EXPECT_THAT(intake.next, Contains(HasSubstr("bank 1 / intake camshaft to bank 1 / exhaust")));
  EXPECT_THAT(find(missing, "link-counts", "chain").why,
              HasSubstr("computed from the others, not counted"));
  EXPECT_EQ(find(missing, "link-counts", kExhaust).verdict, Verdict::open);
}

// Link numbers under every mark close by themselves: 1, 61, 78 of 138 are 60 + 17 + 61.
TEST(LinkCounts, ByNumbersOfLinksProveNothing) {
  const Finding numbers = find(
      judged(with("  - {kind: marks, id: e1, chain: chain, sprockets: [{at: crank, stands: right, "
                  "against: casting, link: 1}, {at: bank 1 / intake camshaft, stands: cannot see, "
                  "link: 61}, {at: bank 1 / exhaust camshaft, stands: right, link: 78}]}\n"),
             four()),
      "link-counts", "chain");
  EXPECT_EQ(verdict_text(numbers), "open: not measured");
  EXPECT_THAT(numbers.why,
              AllOf(HasSubstr("60 + 17 + 61 = 138; bank 1 / intake camshaft 1 tooth late"),
                    HasSubstr("hide a miscount")));
}

TEST(LinkCounts, RestOnTheDrivesSource) {
  EXPECT_EQ(verdict_text(find(judged(with(counts(61, 16, 61)), four("", "common practice")),
                              "link-counts", kIntake)),
            "open: limit without authority");
  // Without counts in the drive nothing is judged.
  const Judgement bare =
      judged(with(counts(61, 16, 61)),
             "tautmark: drive/1\nname: small\nchains: [{name: chain, links: 138}]\n"
             "banks: [{number: 1, camshafts: [{name: intake camshaft}, {name: "
             "exhaust camshaft}]}]\n");
  EXPECT_EQ(verdict_text(find(bare, "link-counts", "chain")), "open: not in the drive");
}

// A drive of twenty lines: links but no counts.
TEST(LinkCounts, AddUpEvenWhereTheDriveGivesNone) {
  const std::string thin =
      "tautmark: drive/1\nname: small\ncrankshaft: {sprockets: [{teeth: 19}]}\nchains: [{name: "
      "chain, "
      "links: 138}]\nbanks: [{number: 1, camshafts: [{name: intake camshaft, sprocket_teeth: 38}, "
      "{name: "
      "exhaust camshaft, sprocket_teeth: 38}]}]\n";
  const Finding sum = find(judged(with(counts(60, 17, 61)), thin), "link-counts", "chain");
  EXPECT_EQ(verdict_text(sum), "open: not in the drive");
  EXPECT_THAT(sum.why,
              HasSubstr("60 + 17 + 61 = 138 pitches, the chain has 138 links: they add up"));
  EXPECT_EQ(verdict_text(find(judged(with(counts(60, 16, 61)), thin), "link-counts", "chain")),
            "open: implausible readings");
  EXPECT_EQ(verdict_text(find(judged(with(seen("1 tooth late")), thin), "marks-seen", kIntake)),
            "open: not in the drive");
}

TEST(LinkCounts, WithoutADriveAreOpen) {
  EXPECT_EQ(
      verdict_text(find(judged("tautmark: case/1\nname: test\nentries:\n" + counts(61, 16, 61), ""),
                        "link-counts", "chain")),
      "open: not in the drive");
}

// A drive that inherits the counts unconfirmed leaves them open, and so does one of another length.
TEST(LinkCounts, OfAnUnconfirmedVariantStayOpen) {
  const std::string variant =
      "tautmark: drive/1\nname: variant\nbased_on: small\nsource: {origin: maker, document: "
      "manual}\n";
  std::string text = with(counts(61, 16, 61));
  text.replace(text.find("drive: small"), 12, "drive: variant");
  const Judgement judgement = judged(text, four(), {}, {{"variant", variant}});
  EXPECT_EQ(verdict_text(find(judgement, "link-counts", kIntake)),
            "open: not confirmed for this variant");
}

TEST(LinkCounts, OfAnEarlierTimeDoNotPass) {
  const std::string fitted = "  - {kind: part, id: e8, part: chain, action: fitted}\n";
  const std::string ordered = "  - {kind: part, id: e8, part: chain, action: ordered}\n";
  EXPECT_EQ(verdict_text(
                find(judged(with(counts(61, 16, 61) + ordered), four()), "link-counts", kIntake)),
            "pass");
  const Finding stale =
      find(judged(with(counts(61, 16, 61) + fitted), four()), "link-counts", kIntake);
  EXPECT_EQ(verdict_text(stale), "open: not measured");
  EXPECT_THAT(stale.why, HasSubstr("e8 touched the drive since"));
  // Counted again, the earlier counts are gone.
  const Judgement again =
      judged(with(counts(60, 17, 61) + fitted + counts(61, 16, 61, "e9")), four());
  EXPECT_EQ(verdict_text(find(again, "link-counts", kIntake)), "pass");
}

// With 19 teeth on the crank one crank turn passes 19 links: each cam mark stands half a turn off.
TEST(LinkCounts, KnowTheOtherCrankTurn) {
  const Judgement other = judged(with(counts(80, 16, 42)), four());
  const Finding intake = find(other, "link-counts", kIntake);
  EXPECT_EQ(verdict_text(intake), "open: outside the model");
  EXPECT_THAT(intake.why, HasSubstr("one crank turn away"));
  EXPECT_THAT(intake.next, Contains(HasSubstr("only if the turning answer allows it")));
}

// Question 2: colored links away after two turns: normal, they return after 124 and 138 turns;
// sprocket marks away: wrong.
TEST(Questions, Number2TellsLinksFromSprocketMarks) {
  const Finding links = find(judged(with(seen("two teeth ahead", "settled: yes", "link")), four()),
                             "marks-seen", kIntake);
  EXPECT_EQ(links.verdict, Verdict::open);
  EXPECT_THAT(links.why,
              HasSubstr("marked links away from the marks are no fault: marked links return "
                        "after 138 turns of crank, sprocket marks after 2"));
  // 38 links on: 38 of 61, 22 past the exhaust's 77, 38 past it.
  EXPECT_THAT(links.next,
              Contains(HasSubstr("the link of crank 38 pitches on from the mark of crank, "
                                 "the link of bank 1 / intake camshaft 22 pitches on from "
                                 "the mark of bank 1 / exhaust camshaft")));
  const Finding wrong = find(judged(with(seen("1 tooth late")), four()), "marks-seen", kIntake);
  EXPECT_EQ(verdict_text(wrong), "fail");
  EXPECT_THAT(wrong.why, HasSubstr("1 tooth late (9.474° cam, 18.947° crank)"));
  EXPECT_EQ(verdict_text(find(judged(with(seen("right")), four()), "marks-seen", kIntake)), "pass");

  // Vessgarth: 124 links, 21 and 42 teeth.
  const std::string root = TAUTMARK_SOURCE_DIR;
  const test::TempFolder folder;
  const auto loaded =
      load_case(folder.write("case.yaml",
                             "tautmark: case/1\nname: a\ndrive: vessgarth-v6-12\nentries:\n  - "
                             "{kind: marks, id: e1, chain: bank 1 chain, sprockets: [{at: bank 1 "
                             "/ camshaft, stands: colored link 3 teeth late}]}\n"),
                {{root + "/drives"}});
  ASSERT_TRUE(loaded) << diagnostics_text(loaded.error());
  EXPECT_THAT(find(*judge(*loaded), "marks-seen", "bank 1 / camshaft").why,
              HasSubstr("marked links return after 124 turns"));
}

// Question 3: half a tooth: not fine, not necessarily a tooth; slack, phaser, chain, not the deck.
TEST(Questions, Number3ReadsHalfAToothAgain) {
  for (const char* words :
       {"half a tooth early", "about half a tooth early", "about 1 tooth late"}) {
    const Finding half =
        find(judged(with(seen(words, "settled: yes")), four()), "marks-seen", kIntake);
    EXPECT_EQ(verdict_text(half), "open: too close to call") << words;
    EXPECT_THAT(half.next,
                Contains(HasSubstr("after two turns forward with the tensioner in work")));
    EXPECT_THAT(half.next, Contains(HasSubstr("count the links")));
  }
  const Finding half =
      find(judged(with(seen("half a tooth early", "settled: no")), four()), "marks-seen", kIntake);
  EXPECT_THAT(half.next, Contains(HasSubstr("press the strand that pulls")));
  EXPECT_THAT(half.next, Contains(HasSubstr("phaser of bank 1 / intake camshaft is locked")));
}

// Question 22: a short extension proves nothing while pawl and check valve are not sound.
TEST(Questions, Number22DoesNotTrustAShortExtension) {
  const Finding stroke =
      find(judged_demo("quellmere"), "tensioner-extension", "timing chain / tensioner");
  EXPECT_NE(stroke.verdict, Verdict::pass);
  EXPECT_THAT(stroke.why, HasSubstr("a short extension proves nothing"));
  EXPECT_THAT(stroke.next, Contains(AllOf(HasSubstr("push test"), HasSubstr("40 links"))));
}

TEST(MarksSeen, AreOpenWithoutTheirConditions) {
  const auto of_intake = [](const std::string& entry) {
    return find(judged(with(entry), four()), "marks-seen", kIntake);
  };
  EXPECT_THAT(of_intake(seen("right", "settled: no, phaser: locked")).why,
              HasSubstr("two turns forward"));
  EXPECT_THAT(of_intake(seen("right", "settled: yes")).why,
              HasSubstr("phaser is not said to be locked"));
  EXPECT_EQ(of_intake(seen("1 tooth late", "settled: no")).verdict, Verdict::open);
  EXPECT_EQ(of_intake(seen("late")).verdict, Verdict::open);
  for (const char* words : {"cannot see", "paint gone"}) {
    const Finding blind = of_intake(seen(words));
    EXPECT_EQ(verdict_text(blind), "open: not measured");
    EXPECT_THAT(blind.next, Contains(HasSubstr("paint one link")));
  }
  const Finding alone =
      of_intake(fmt::format("  - {{kind: marks, id: e1, chain: chain, settled: yes, sprockets: "
                            "[{{at: {}, stands: 1 tooth "
                            "late, against: casting}}]}}\n",
                            kIntake));
  EXPECT_THAT(alone.why, HasSubstr("where the mark of crank stands is not said"));
}

TEST(MarksSeen, OfAnotherPatternAreLaidByCounts) {
  const Finding other = find(judged(with("  - {kind: marks, id: e1, chain: chain, links_found: two "
                                         "blue links side by side}\n"),
                                    four()),
                             "marks-seen", "chain");
  EXPECT_EQ(other.verdict, Verdict::open);
  EXPECT_THAT(other.next,
              Contains(HasSubstr("61 from crank to bank 1 / intake camshaft, 16 from")));
  EXPECT_THAT(other.next, Contains(HasSubstr("paint one link")));
}

// What was seen in one entry is not made firm by what stands in another.
TEST(MarksSeen, RestOnTheirOwnEntry) {
  std::string later = seen("right");
  later.replace(later.find("id: e2"), 6, "id: e3");
  const std::string only_crank =
      "  - {kind: marks, id: e3, chain: chain, settled: yes, phaser: locked, sprockets: [{at: "
      "crank, "
      "stands: right, against: casting}]}\n";
  EXPECT_EQ(
      find(judged(with(seen("right", "settled: no") + only_crank), four()), "marks-seen", kIntake)
          .verdict,
      Verdict::open);
  EXPECT_EQ(
      find(judged(with(seen("1 tooth late", "settled: no") + later), four()), "marks-seen", kIntake)
          .verdict,
      Verdict::pass);
}

TEST(MarksSeen, CarryBothWhereTheViewIsNotKnown) {
  const Finding both = find(judged(with(seen("1 tooth left")), four()), "marks-seen", kIntake);
  EXPECT_THAT(both.why,
              AllOf(HasSubstr("1 tooth early (9.474° cam, 18.947° crank) or 1 tooth late"),
                    HasSubstr("you said: “1 tooth left”")));
  EXPECT_THAT(both.next, Contains(HasSubstr("front or from the flywheel end?")));
  const Finding front =
      find(judged(with(seen("1 tooth left", "settled: yes, seen_from: front")), four()),
           "marks-seen", kIntake);
  EXPECT_THAT(front.why, AllOf(HasSubstr("1 tooth late"), Not(HasSubstr(" or 1 tooth"))));
}

TEST(MarksSeen, AndCountsThatContradictProveNothing) {
  const Finding off =
      find(judged(with(counts(61, 16, 61) + seen("1 tooth late")), four()), "marks-seen", kIntake);
  EXPECT_EQ(verdict_text(off), "open: implausible readings");
  EXPECT_THAT(off.next, Contains(HasSubstr("key, dowel and bolt")));
  const Finding same =
      find(judged(with(counts(60, 17, 61) + seen("1 tooth late")), four()), "marks-seen", kIntake);
  EXPECT_EQ(verdict_text(same), "fail");
}

// Common practice: crank mark right and cam marks half a cam turn away is one crank turn away.
TEST(WhichCrankTurn, IsToldFromTheCamMarks) {
  const Judgement away =
      judged(with(seen("half a turn away", "settled: yes", "casting", "upside down")), four());
  const Finding turn = find(away, "marks-seen", "which of the two");
  EXPECT_EQ(turn.verdict, Verdict::open);
  EXPECT_THAT(
      turn.next,
      Contains(HasSubstr("one crank turn in running direction, only if the turning answer")));
  const Judgement mixed = judged(with(seen("half a turn away")), four());
  EXPECT_THAT(find(mixed, "marks-seen", "which of the two").why,
              HasSubstr("not in one crank turn"));
  const Judgement clock =
      judged(with(seen("at 6 o'clock", "seen_from: front", "casting", "at 6 o'clock")), four());
  EXPECT_THAT(find(clock, "marks-seen", "which of the two").why, HasSubstr("one crank turn from"));
}

}  // namespace
}  // namespace tautmark
