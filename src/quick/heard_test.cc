// SPDX-License-Identifier: Apache-2.0
#include "quick/heard.h"

#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

TEST(TakeEarlyLate, FindsWholeWordsOnly) {
  std::string text = "21.4 deg crank Late";
  EXPECT_EQ(take_early_late(text), EarlyLate::late);
  EXPECT_THAT(text, HasSubstr("21.4 deg crank"));
  EXPECT_EQ(text.find("Late"), std::string::npos);
  std::string advanced = "advanced 3 deg cam";
  EXPECT_EQ(take_early_late(advanced), EarlyLate::early);
  std::string none = "3 deg plated";
  EXPECT_FALSE(take_early_late(none));
  EXPECT_EQ(none, "3 deg plated");
  std::string both = "early or late";
  EXPECT_FALSE(take_early_late(both));
}

TEST(HeardCounts, ReadsWhatPeoplePutBetweenNumbers) {
  for (const char* text : {"61 60 17", "61, 60, 17", "61+60+17", "61/60/17", "61,60,17"}) {
    const Typed typed{{"counts", text}};
    const auto counts = Heard(kLinks, typed).counts("counts");
    ASSERT_TRUE(counts) << text;
    EXPECT_THAT(*counts, ElementsAre(61, 60, 17));
  }
  for (const char* text : {"61.5 60", "sixty", "-61 60", "61 about 60", "99999999999 3"}) {
    const Typed typed{{"counts", text}};
    EXPECT_FALSE(Heard(kLinks, typed).counts("counts")) << text;
  }
}

TEST(HeardCount, TakesAWordBehindTheNumberButNoSecondNumber) {
  const auto count = [](const char* text) {
    const Typed typed{{"links", text}};
    return Heard(kReturns, typed).count("links");
  };
  EXPECT_EQ(count("138 links").value(), 138);
  EXPECT_EQ(count("138").value(), 138);
  EXPECT_FALSE(count("138.5"));
  EXPECT_FALSE(count("137 or 138"));
  EXPECT_FALSE(count("many"));
}

TEST(HeardChoice, TakesAUniqueBeginning) {
  const auto choice = [](const char* text) {
    const Typed typed{{"of", text}};
    return Heard(kTeeth, typed).choice("of");
  };
  EXPECT_EQ(choice("Crank").value(), 0u);
  EXPECT_EQ(choice("cam").value(), 1u);
  EXPECT_EQ(choice("cr").value(), 0u);
  EXPECT_FALSE(choice("c"));
  EXPECT_FALSE(choice("sprocket"));
}

TEST(HeardAngle, NeverGuessesCrankOrCam) {
  const auto angle = [](const Typed& typed) { return Heard(kTeeth, typed).angle("angle", "of"); };
  EXPECT_NEAR(in_crank_deg(angle({{"angle", "11 deg cam late"}})->crank), 22, 1e-9);
  EXPECT_NEAR(in_crank_deg(angle({{"angle", "11 deg"}, {"of", "cam"}})->crank), 22, 1e-9);
  EXPECT_NEAR(in_crank_deg(angle({{"angle", "11° crank"}})->crank), 11, 1e-9);
  EXPECT_EQ(angle({{"angle", "11 deg"}}).error().input, "of");
  EXPECT_EQ(angle({{"angle", "11"}}).error().input, "angle");
  EXPECT_EQ(angle({{"angle", "-11 deg crank"}}).error().input, "angle");
  EXPECT_EQ(angle({{"angle", "11 mm"}}).error().input, "angle");
  EXPECT_EQ(angle({{"angle", "11 deg crank"}, {"of", "cam"}}).error().input, "of");
}

TEST(HeardAngle, OffersNoLengthWhereAnAngleIsWanted) {
  const Typed pairs{{"pairs", "70.6/174.4"}};
  const auto angles = Heard(kCenterline, pairs).angles("pairs", "wheel");
  ASSERT_FALSE(angles);
  EXPECT_THAT(angles.error().sentence, HasSubstr("\"174.4 deg crank\""));
  const Typed nothing{{"angle", "some"}};
  EXPECT_THAT(Heard(kTeeth, nothing).angle("angle", "of").error().sentence,
              HasSubstr("\"12.5 deg crank\""));
}

TEST(HeardAsk, KeepsTheCaseOfWhatWasTyped) {
  const Typed length{{"wanted", "28 mm"}};
  EXPECT_THAT(Heard(kAdapter, length).quantity("wanted", Kind::torque).error().sentence,
              ::testing::StartsWith("mm is a length"));
  const Typed joined{{"wanted", "28mm"}};
  EXPECT_THAT(Heard(kAdapter, joined).quantity("wanted", Kind::torque).error().sentence,
              ::testing::StartsWith("mm is a length"));
  const Typed nothing{{"wanted", "much"}};
  EXPECT_THAT(Heard(kAdapter, nothing).quantity("wanted", Kind::torque).error().sentence,
              ::testing::StartsWith("A number is wanted"));
}

TEST(HeardReading, TakesHalfOfUAtKTwo) {
  const Typed typed{{"clearance", "0.108 ± 0.005 mm"}};
  const auto reading = Heard(kClearance, typed).reading("clearance", Kind::length, "instrument");
  ASSERT_TRUE(reading);
  ASSERT_TRUE(reading->u);
  EXPECT_NEAR(*reading->u, 2.5e-6, 1e-15);
  EXPECT_THAT(reading->assumed, HasSubstr("k = 2"));
  const Typed k3{{"clearance", "0.108 ± 0.006 mm (k 3)"}};
  const auto said = Heard(kClearance, k3).reading("clearance", Kind::length, "instrument");
  ASSERT_TRUE(said);
  EXPECT_NEAR(*said->u, 2e-6, 1e-15);
}

TEST(HeardReading, KnowsNoUncertaintyWithoutInstrument) {
  const Typed typed{{"bore", "28.072 28.071 28.073 mm"}};
  const auto reading = Heard(kClearance, typed).reading("bore", Kind::length, "instrument");
  ASSERT_TRUE(reading);
  EXPECT_FALSE(reading->u);
  EXPECT_NEAR(reading->value, 28.072e-3, 1e-12);
  EXPECT_EQ(reading->n, 3);
}

}  // namespace
}  // namespace tautmark::quick
