// SPDX-License-Identifier: Apache-2.0
#include "judge/marks_standing.h"

#include <gmock/gmock.h>

#include "judge/marks_test_support.h"

namespace tautmark {
namespace {

using namespace test;
using ::testing::Contains;
using ::testing::HasSubstr;

MarksStanding standing(const std::string& case_text, const std::string& drive_text = four()) {
  const test::TempFolder folder;
  folder.write("small.drive.yaml", drive_text);
  const auto loaded = load_case(folder.write("case.yaml", case_text), {});
  EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
  return loaded ? marks_standing(check_input(*loaded, &loaded->drives.front())) : MarksStanding{};
}

TEST(MarksStandingOf, IsRightOnlyWithEverythingCountedSinceTheLastTouch) {
  const std::string state = "  - {kind: state, id: e7, chain: on, turned: no}\n";
  const MarksStanding right = standing(with(state + counts(61, 16, 61)));
  EXPECT_EQ(right.proof, MarksProof::right) << right.why;
  EXPECT_THAT(right.why, HasSubstr("61 + 16 + 61 = 138 of 138"));
  EXPECT_THAT(right.evidence, Contains("e1"));

  EXPECT_EQ(standing(with(counts(61, 16, 61) + state)).proof, MarksProof::unknown);
  EXPECT_EQ(standing(with(counts(61, 16, 61)), four("", "common practice")).proof,
            MarksProof::unknown);
  EXPECT_EQ(standing(with(counts(60, 16, 61))).proof, MarksProof::unknown);
  EXPECT_EQ(standing(with(state)).proof, MarksProof::unknown);
  EXPECT_EQ(standing(with(counts(61, 16, 61) + seen("half a tooth late"))).proof,
            MarksProof::unknown);
  const MarksStanding wrong = standing(with(counts(60, 17, 61) + state));
  EXPECT_EQ(wrong.proof, MarksProof::wrong);
  EXPECT_THAT(wrong.why, HasSubstr("1 tooth late"));
  // A correction of what was counted before the touch stays before it.
  std::string corrected = counts(61, 16, 61, "e8");
  corrected.insert(corrected.find("id: e8") + 6, ", replaces: e1");
  EXPECT_EQ(standing(with(counts(60, 17, 61) + state + corrected)).proof, MarksProof::unknown);
}

// Two banks, one chain each: every chain must be counted.
TEST(MarksStandingOf, NeedsEveryChain) {
  std::string two = R"(tautmark: drive/1
name: small
source: {origin: maker, document: manual}
crankshaft: {sprockets: [{teeth: 21}]}
chains:
  - {name: bank 1 chain, bank: 1, links: 124, counted: pitches, strands: [{from: crank, to: bank 1 / camshaft, links: 64}, {from: bank 1 / camshaft, to: crank, links: 60}]}
  - {name: bank 2 chain, bank: 2, links: 124, counted: pitches, strands: [{from: crank, to: bank 2 / camshaft, links: 61}, {from: bank 2 / camshaft, to: crank, links: 63}]}
banks:
  - {number: 1, camshafts: [{name: camshaft, sprocket_teeth: 42}]}
  - {number: 2, camshafts: [{name: camshaft, sprocket_teeth: 42}]}
)";
  const auto bank = [](int number, int out, int back) {
    return fmt::format(
        "  - {{kind: marks, id: e{0}, chain: bank {0} chain, counted: pitches, strands: "
        "[{{from: crank, to: bank {0} / camshaft, links: {1}}}, {{from: bank {0} / "
        "camshaft, to: crank, links: {2}}}]}}\n",
        number, out, back);
  };
  EXPECT_EQ(standing(with(bank(1, 64, 60)), two).proof, MarksProof::unknown);
  EXPECT_EQ(standing(with(bank(1, 64, 60) + bank(2, 61, 63)), two).proof, MarksProof::right);
  EXPECT_EQ(standing(with(bank(1, 64, 60) + bank(2, 62, 62)), two).proof, MarksProof::wrong);
  // Both banks' marks one crank turn away: 21 teeth more on the one strand.
  const Judgement other = judged(with(bank(1, 85, 39) + bank(2, 82, 42)), two);
  for (const char* subject : {"bank 1 / camshaft", "bank 2 / camshaft"})
    EXPECT_THAT(find(other, "link-counts", subject).why, HasSubstr("one crank turn away"));
}

}  // namespace
}  // namespace tautmark
