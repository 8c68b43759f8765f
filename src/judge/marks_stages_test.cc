// SPDX-License-Identifier: Apache-2.0
// Marks and counts of chains in series, of chains without a camshaft, and of counts that contradict
// each other.
#include <gmock/gmock.h>

#include "judge/chain_marks.h"
#include "judge/drive_paths.h"
#include "judge/marks_standing.h"
#include "judge/marks_test_support.h"

namespace tautmark {
namespace {

using namespace test;
using ::testing::AllOf;
using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

// 20 to 30 teeth, then 21 to 28: the idler makes 2/3 turns, the camshaft 1/2.
std::string series(const std::string& more = "") {
  return R"(tautmark: drive/1
name: small
source: {origin: maker, document: manual}
checked_by: second reader
crankshaft: {rotation: clockwise, seen_from: front, sprockets: [{chain: first, teeth: 20}]}
chains:
  - name: first
    links: 64
    counted: pitches
    strands: [{from: crank, to: idler, links: 34}, {from: idler, to: crank, links: 30}]
    marks: [{at: crank, links: 1, clock: 0 deg}, {at: idler, links: 1, clock: 0 deg}]
  - name: second
    links: 74
    counted: pitches
    strands: [{from: idler, to: bank 1 / camshaft, links: 39}, {from: bank 1 / camshaft, to: idler, links: 35}]
    marks: [{at: idler, links: 1, clock: 0 deg}, {at: bank 1 / camshaft, links: 1, clock: 0 deg}]
)" + more +
         R"(idlers: [{name: idler, driven_by: first, teeth_in: 30, drives: second, teeth_out: 21}]
banks: [{number: 1, camshafts: [{name: camshaft, chain: second, sprocket_teeth: 28}]}]
)";
}
std::string first(int out, int back) {
  return two_strands("e1", "first", "crank", "idler", out, back);
}
std::string second(int out, int back) {
  return two_strands("e2", "second", "idler", "bank 1 / camshaft", out, back);
}
constexpr const char* kCam = "bank 1 / camshaft";

MarksStanding standing(const std::string& case_text, const std::string& drive) {
  const TempFolder folder;
  folder.write("small.drive.yaml", drive);
  const auto loaded = load_case(folder.write("case.yaml", case_text), {});
  EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
  return loaded ? marks_standing(check_input(*loaded, &loaded->drives.front())) : MarksStanding{};
}

TEST(CountsThatDiffer, AreCountedAgain) {
  for (const std::string& text :
       {counts(61, 17, 60) + counts(61, 16, 61, "e9"),
        counts(61, 16, 61) + counts(60, 17, 61, "e9"),
        counts(60, 17, 61) +
            fmt::format("  - {{kind: marks, id: e8, chain: chain, counted: pitches, strands: "
                        "[{{from: crank, to: {}, links: 61}}, {{from: {}, to: {}, links: 16}}]}}\n",
                        kIntake, kIntake, kExhaust)}) {
    const Judgement judgement = judged(with(text), four());
    for (const char* subject : {"chain", kIntake, kExhaust}) {
      const Finding finding = find(judgement, "link-counts", subject);
      EXPECT_EQ(verdict_text(finding), "open: implausible readings") << subject;
      EXPECT_THAT(finding.next, Contains(HasSubstr("count again")));
    }
    EXPECT_EQ(standing(with(text), four()).proof, MarksProof::unknown);
  }
  EXPECT_THAT(find(judged(with(counts(61, 17, 60) + counts(61, 16, 61, "e9")), four()),
                   "link-counts", "chain")
                  .why,
              AllOf(HasSubstr("bank 1 / exhaust camshaft: counted 17 and 16"),
                    HasSubstr("nothing touched the drive between")));
}

TEST(CountsThatDiffer, AreDecidedByAThirdOrByACorrection) {
  const Finding third =
      find(judged(with(counts(60, 17, 61) + counts(61, 16, 61, "e8") + counts(61, 16, 61, "e9")),
                  four()),
           "link-counts", kIntake);
  EXPECT_EQ(verdict_text(third), "pass");
  EXPECT_THAT(third.why, HasSubstr("counted 17 and 16 and 16; 16 is used, said most often"));
  std::string corrected = counts(61, 16, 61, "e9");
  corrected.insert(corrected.find("id: e9") + 6, ", replaces: e1");
  EXPECT_EQ(verdict_text(
                find(judged(with(counts(60, 17, 61) + corrected), four()), "link-counts", kIntake)),
            "pass");
  // The same twice is no doubt.
  EXPECT_EQ(standing(with(counts(61, 16, 61) + counts(61, 16, 61, "e9")), four()).proof,
            MarksProof::right);
}

// One tooth of the idler is 12° of its own and 18° crank, which is 9° of the camshaft.
TEST(ChainsInSeries, AreSummedToTheCrank) {
  const Judgement idler = judged(with(first(35, 29) + second(39, 35)), series());
  EXPECT_THAT(find(idler, "link-counts", "idler").why, HasSubstr("1 tooth early (18.000° crank)"));
  const Finding through = find(idler, "link-counts", kCam);
  EXPECT_EQ(verdict_text(through), "fail");
  EXPECT_THAT(through.why, AllOf(HasSubstr("9.000° cam, 18.000° crank early against crank in all"),
                                 HasSubstr("no tooth off against idler, and idler 1 tooth early")));
  ASSERT_TRUE(through.value);
  EXPECT_NEAR(through.value->value / kRadiansPerDegree, 18, 1e-9);
  // One tooth of the camshaft late is 360/28 = 12.857° cam, 25.714° crank: 7.714° crank late left.
  const Finding both =
      find(judged(with(first(35, 29) + second(38, 36)), series()), "link-counts", kCam);
  EXPECT_EQ(verdict_text(both), "fail");
  EXPECT_THAT(both.why, HasSubstr("3.857° cam, 7.714° crank late against crank in all"));
  const Finding right =
      find(judged(with(first(34, 30) + second(39, 35)), series()), "link-counts", kCam);
  EXPECT_EQ(verdict_text(right), "pass");
  EXPECT_THAT(right.why, HasSubstr("idler counted right to the crank through first"));
}

TEST(ChainsInSeries, AreOpenWhileAStageIsNotCounted) {
  for (const int out : {39, 38}) {
    const Finding alone = find(judged(with(second(out, 74 - out)), series()), "link-counts", kCam);
    EXPECT_EQ(verdict_text(alone), "open: not measured");
    EXPECT_THAT(alone.why, HasSubstr("idler against crank is not proven by counts of first"));
    EXPECT_THAT(alone.follows, IsEmpty());
  }
  // Touched between: only the later chain's counts still hold.
  const std::string state = "  - {kind: part, id: e7, part: guide, action: fitted}\n";
  EXPECT_EQ(verdict_text(find(judged(with(first(34, 30) + state + second(39, 35)), series()),
                              "link-counts", kCam)),
            "open: not measured");
}

std::string idler_seen(const std::string& words) {
  return fmt::format(
      "  - {{kind: marks, id: e3, chain: first, settled: yes, seen_from: front, sprockets: [{{at: "
      "crank, stands: right, against: casting}}, {{at: idler, stands: {}, against: casting}}]}}\n",
      words);
}

// 2/3 of a turn for each of the crank: its mark is back after three.
TEST(MarksOfAnIdler, ReturnAfterTheirOwnTurns) {
  for (const char* words : {"10 teeth early", "right", "half a turn away", "1 tooth late"}) {
    const Finding idler = find(judged(with(idler_seen(words)), series()), "marks-seen", "idler");
    EXPECT_EQ(verdict_text(idler), "open: not measured") << words;
    EXPECT_THAT(idler.why,
                AllOf(HasSubstr("the marks of crank and idler stand together every 3 crank turns"),
                      Not(HasSubstr("two crank turns"))));
  }
  // Counted right, an idler's mark elsewhere is no contradiction.
  EXPECT_EQ(verdict_text(find(judged(with(first(34, 30) + idler_seen("10 teeth early")), series()),
                              "marks-seen", "idler")),
            "open: not measured");
  EXPECT_THAT(find(judged(with(seen("1 tooth late")), four()), "marks-seen", kIntake).why,
              HasSubstr("stand together every 2 crank turns"));
}

TEST(MarksOfAWheel, AreMeantModuloItsTeeth) {
  const auto intake = [](const std::string& words) {
    return find(judged(with(seen(words)), four()), "marks-seen", kIntake);
  };
  EXPECT_THAT(intake("37 teeth late").why, HasSubstr("1 tooth early"));
  const Finding half = intake("19 teeth late");
  EXPECT_EQ(half.verdict, Verdict::open);
  EXPECT_THAT(half.why, HasSubstr("half a turn away"));
  const Finding whole = intake("38 teeth late");
  EXPECT_EQ(verdict_text(whole), "open: implausible readings");
  EXPECT_THAT(whole.why, HasSubstr("that is no place"));
}

TEST(TheDrivingMark, IsNotPassedOverInSilence) {
  const auto crank = [](const std::string& text) {
    return find(judged(with(text), four()), "marks-seen", "crank");
  };
  const Finding counted = crank(counts(61, 16, 61) + crank_seen("1 tooth late", "cannot see"));
  EXPECT_EQ(verdict_text(counted), "open: implausible readings");
  EXPECT_THAT(counted.why, AllOf(HasSubstr("1 tooth late (18.947° crank)"),
                                 HasSubstr("yet every strand is counted right")));
  EXPECT_EQ(verdict_text(crank(crank_seen("1 tooth late", "cannot see"))), "open: not measured");
  const Finding beside = crank(crank_seen("1 tooth late", "right"));
  EXPECT_EQ(verdict_text(beside), "fail");
  EXPECT_THAT(beside.why, HasSubstr("while bank 1 / intake camshaft stands right"));
  // One tooth late at the crank is one tooth early at a camshaft that stands right.
  EXPECT_EQ(verdict_text(crank(counts(62, 16, 60) + crank_seen("1 tooth late", "right"))), "fail");
  EXPECT_EQ(verdict_text(crank(counts(61, 16, 61) + crank_seen("1 tooth late", "right"))),
            "open: implausible readings");
  EXPECT_EQ(crank(crank_seen("half a turn away", "right")).verdict, Verdict::open);
  EXPECT_EQ(crank(crank_seen("about 1 tooth late", "right")).verdict, Verdict::open);
}

TEST(AChainWithoutACamshaft, HoldsNothingUp) {
  const std::string pump = series(
      "  - {name: pump chain, links: 70, counted: pitches, strands: [{from: crank, to: pump, "
      "links: "
      "36}, {from: pump, to: crank, links: 34}]}\n");
  EXPECT_EQ(standing(with(first(34, 30) + second(39, 35)), pump).proof, MarksProof::right);
  const Finding sum =
      find(judged(with(two_strands("e1", "pump chain", "crank", "pump", 36, 33)), pump),
           "link-counts", "pump chain");
  EXPECT_EQ(verdict_text(sum), "open: implausible readings");
  const TempFolder folder;
  const auto loaded = load_drive(folder.write("small.drive.yaml", pump), {});
  ASSERT_TRUE(loaded) << diagnostics_text(loaded.error());
  Drive drive = loaded->drive;
  EXPECT_TRUE(drives_a_camshaft(drive, drive.chains[0]));
  EXPECT_TRUE(drives_a_camshaft(drive, drive.chains[1]));
  EXPECT_FALSE(drives_a_camshaft(drive, drive.chains[2]));
  EXPECT_EQ(turns_together(drive, "idler", "crank"), 3);
  EXPECT_EQ(turns_together(drive, "idler", kCam), 6);
  // A camshaft whose chain is not known leaves every chain under suspicion.
  drive.banks[0].camshafts[0].chain.reset();
  EXPECT_TRUE(drives_a_camshaft(drive, drive.chains[2]));
}

TEST(LinkCountsOfAVariant, RestOnRotationAndMarks) {
  const std::string variant =
      "tautmark: drive/1\nname: variant\nbased_on: small\nconfirms: [chain links, link counts]\n"
      "source: {origin: maker, document: manual}\n";
  std::string text = with(counts(60, 17, 61));
  text.replace(text.find("drive: small"), 12, "drive: variant");
  EXPECT_EQ(
      verdict_text(find(judged(text, four(), {}, {{"variant", variant}}), "link-counts", kIntake)),
      "open: not confirmed for this variant");
}

}  // namespace
}  // namespace tautmark
