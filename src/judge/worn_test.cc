// SPDX-License-Identifier: Apache-2.0
// What measured wear does to timing and stroke, on the two scenarios of trade.md 6.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

#include "casework/load.h"
#include "judge/judge.h"
#include "judge/judge_test_support.h"

namespace tautmark {
namespace {

using ::testing::HasSubstr;

using test::find;
using test::judged_demo;

const std::string kRoot = TAUTMARK_SOURCE_DIR;

std::string text_of(const std::string& file) {
  std::ifstream in(file);
  return {std::istreambuf_iterator<char>(in), {}};
}

double late_deg(const Finding& finding) { return -finding.value->value / kRadiansPerDegree; }

// trade.md 6.A: 0.281 % on 365.53 mm is 2.20° late, 0.059 % is 0.46° (its first-order formula).
TEST(WornTiming, OfVessgarthIsWhatTheCaptureSaid) {
  const Judgement all = judged_demo("vessgarth");
  EXPECT_NEAR(late_deg(find(all, "what-if-worn-timing", "bank 1 / camshaft")), 0.46, 0.01);
  EXPECT_NEAR(late_deg(find(all, "what-if-worn-timing", "bank 2 / camshaft")), 2.20, 0.01);
  for (const Finding& finding : all.findings) {
    if (finding.check != "what-if-worn-timing") continue;
    EXPECT_EQ(finding.verdict, Verdict::open);
    EXPECT_TRUE(finding.forecast);
    EXPECT_THAT(finding.why, HasSubstr("is no jump"));
  }
}

// trade.md 6.B: the far cam loses (366.48 + 124.00) / 366.48 as much as the near one.
TEST(WornTiming, TheFarCamLosesMoreInTheRatioOfTheSpans) {
  const Judgement all = judged_demo("quellmere");
  const double exhaust = late_deg(find(all, "what-if-worn-timing", "bank 1 / exhaust camshaft"));
  const double intake = late_deg(find(all, "what-if-worn-timing", "bank 1 / intake camshaft"));
  EXPECT_NEAR(exhaust, 366.48 * 0.0020 * 2.366, 0.03);
  EXPECT_NEAR(intake / exhaust, (366.48 + 124.00) / 366.48, 1e-3);
}

// trade.md 6.A: 6.0 and 9.5 mm in place agree with the wear; 6.B and question 22: 4.1 mm does not.
TEST(WornStroke, AShortPlungerOnAWornChainSpeaksAgainstTheTensioner) {
  const Judgement sound = judged_demo("vessgarth");
  EXPECT_THAT(find(sound, "what-if-worn-stroke", "bank 1 chain / tensioner").why,
              HasSubstr("that agrees"));
  EXPECT_THAT(find(sound, "what-if-worn-stroke", "bank 2 chain / tensioner").why,
              HasSubstr("that agrees"));
  const auto broken =
      find(judged_demo("quellmere"), "what-if-worn-stroke", "timing chain / tensioner");
  EXPECT_THAT(broken.why, HasSubstr("short: a ratchet or check valve"));
  EXPECT_THAT(broken.next, testing::Contains(HasSubstr("push test")));
}

// Without coordinates the answer is a range, and the scenario's number lies in it.
TEST(WornTiming, WithoutCoordinatesIsARangeThatHoldsTheTruth) {
  auto loaded = load_case(kRoot + "/demo/vessgarth", {{kRoot + "/drives"}});
  ASSERT_TRUE(loaded);
  ASSERT_EQ(loaded->drives.size(), 1U);
  for (Chain& chain : loaded->drives[0].drive.chains) chain.path.clear();
  const auto judgement = judge(*loaded, {.only = {"what-if-worn-timing"}});
  ASSERT_TRUE(judgement);
  const Finding finding = find(*judgement, "what-if-worn-timing", "bank 2 / camshaft");
  EXPECT_FALSE(finding.value);
  double low = 0, high = 0;
  const std::size_t at = finding.why.find("between ");
  ASSERT_NE(at, std::string::npos) << finding.why;
  ASSERT_EQ(std::sscanf(finding.why.c_str() + at, "between %lf° and %lf°", &low, &high), 2);
  EXPECT_LE(low, 2.20);
  EXPECT_GE(high, 2.20);
  EXPECT_LT(high - low, 0.5);
}

// Closed form: 0.1 mm of play on 50 mm is 0.115° of the camshaft, 0.23° of the crank.
TEST(WornTiming, GearsAddTheirPlayToTheEarlySide) {
  const std::string drive = R"(tautmark: drive/1
name: small
crankshaft: {rotation: clockwise, seen_from: front, sprockets: [{teeth: 20}]}
chains: [{name: chain, pitch: 8 mm, links: 106}]
gears:
  - {driver: bank 1 / intake, driver_teeth: 50, driven: bank 1 / exhaust, driven_teeth: 50, backlash: 0.1 mm, radius: 50 mm}
banks: [{number: 1, camshafts: [{name: intake, sprocket_teeth: 40}, {name: exhaust}]}]
)";
  const Judgement all = test::judged(std::string(test::kCaseHead) +
                                         "  - {kind: reading, id: e1, quantity: chain length, "
                                         "place: chain, links: 40, value: 321.0 ± 0.1 mm}\n",
                                     drive);
  EXPECT_THAT(find(all, "what-if-worn-timing", "bank 1 / exhaust").why,
              HasSubstr("up to 0.2° early (crank)"));
  EXPECT_THAT(find(all, "what-if-worn-timing", "bank 1 / intake").why,
              testing::Not(HasSubstr("early")));
}

// Both stages of a drive in series count; one that was not measured is named.
TEST(WornTiming, ChainsInSeriesAddAndTheUnmeasuredIsNamed) {
  const Judgement all = test::judged(
      "tautmark: case/1\nname: t\ndrive: skarnmoor-i4-16\nentries:\n"
      "  - {kind: reading, id: e1, quantity: chain length, place: primary chain, links: 40, value: "
      "321.6 ± 0.1 mm}\n",
      "", {}, {{"skarnmoor-i4-16", text_of(kRoot + "/drives/skarnmoor-i4-16.drive.yaml")}});
  const Finding finding = find(all, "what-if-worn-timing", "bank 1 / exhaust camshaft");
  EXPECT_THAT(finding.why, HasSubstr("secondary chain, camshaft chain not measured"));
  // geometry.md 3.3, two-stage: (360/N_K) T e/(1 + e); T is the strand of 153.6 mm, 19.2 pitches.
  EXPECT_NEAR(late_deg(finding), 360.0 / 20 * 19.2 * 0.005 / 1.005, 0.01);
}

}  // namespace
}  // namespace tautmark
