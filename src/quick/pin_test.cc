// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::HasSubstr;

const Typed kReady = {{"pulled", "no"}, {"chain", "yes"}, {"slack", "yes"},
                      {"marks", "yes"}, {"bolts", "yes"}, {"guides", "yes"}};

// Source: trade.md 7, question 13.
TEST(Pin, QuestionThirteen) {
  EXPECT_THAT(answered(kPin, kReady).lines.front(), HasSubstr("see it move"));
  for (const char* input : {"chain", "slack", "marks", "bolts", "guides"}) {
    for (const char* said : {"no", "unknown"}) {
      EXPECT_THAT(answered(kPin, with(kReady, {{input, said}})).lines.front(), HasSubstr("Not yet"))
          << input;
    }
  }
  for (const char* said : {"yes", "unknown"}) {
    const Answer again = answered(kPin, with(kReady, {{"pulled", said}}));
    EXPECT_THAT(again.lines.front(), HasSubstr("pin it again"));
    // It came out since: what was seen before proves nothing.
    EXPECT_THAT(again.lines.back(), HasSubstr("marks and link counts once more"));
  }
  EXPECT_EQ(asked(kPin, {}).input, "pulled");
}

}  // namespace
}  // namespace tautmark::quick
