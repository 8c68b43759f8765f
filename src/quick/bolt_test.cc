// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::HasSubstr;

// Source: trade.md 7, question 15.
TEST(Bolt, QuestionFifteen) {
  for (const char* said : {"yes", "unknown"}) {
    const Answer done = answered(kBolt, {{"single_use", said}, {"angle", "yes"}});
    EXPECT_THAT(done.lines.front(), HasSubstr("No, take a new bolt")) << said;
    EXPECT_THAT(all_of(done.lines), HasSubstr("looks proves nothing"));
  }
  EXPECT_THAT(answered(kBolt, {{"single_use", "no"}, {"angle", "yes"}}).lines.front(),
              HasSubstr("only inside a length"));
}

TEST(Bolt, MeasuresTheFreeLengthWhereTheMakerGivesALimit) {
  const Typed limited = {{"single_use", "no"}, {"longest", "60.5 mm"}};
  EXPECT_THAT(answered(kBolt, limited).lines.front(), HasSubstr("Not yet"));
  EXPECT_THAT(answered(kBolt, with(limited, {{"length", "60.13 ± 0.02 mm"}})).lines.front(),
              HasSubstr("may go in again"));
  EXPECT_THAT(answered(kBolt, with(limited, {{"length", "60.60 ± 0.02 mm"}})).lines.front(),
              HasSubstr("No, take a new bolt"));
  EXPECT_EQ(asked(kBolt, with(limited, {{"length", "60.13 mm"}})).input, "instrument");
}

}  // namespace
}  // namespace tautmark::quick
