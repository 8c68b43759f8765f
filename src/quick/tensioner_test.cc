// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

// Source: trade.md 7, question 12.
TEST(Tensioner, QuestionTwelve) {
  for (const char* known_by : {"part number", "it bolts on", "looks", "unknown"}) {
    for (const auto& [hand, engine] : {std::pair{"1", "2"}, std::pair{"2", "1"}}) {
      const Answer done =
          answered(kTensioner, {{"hand", hand}, {"engine", engine}, {"known_by", known_by}});
      EXPECT_THAT(done.lines.front(), HasSubstr("No: ")) << known_by;
      EXPECT_THAT(all_of(done.lines), HasSubstr("not mirrored"));
      EXPECT_FALSE(done.verdict);
    }
  }
}

TEST(Tensioner, IsNeverAnsweredFromNothing) {
  EXPECT_EQ(asked(kTensioner, {}).input, "hand");
  EXPECT_EQ(asked(kTensioner, {{"hand", "1"}}).input, "engine");
  EXPECT_EQ(asked(kTensioner, {{"hand", "1"}, {"engine", "1"}}).input, "known_by");
  for (const char* known_by : {"it bolts on", "looks", "unknown"}) {
    const Answer done =
        answered(kTensioner, {{"hand", "1"}, {"engine", "1"}, {"known_by", known_by}});
    EXPECT_THAT(done.lines.front(), HasSubstr("Not yet")) << known_by;
  }
  for (const auto& [hand, engine] :
       {std::pair{"unknown", "1"}, std::pair{"1", "unknown"}, std::pair{"unknown", "unknown"}}) {
    const Answer done =
        answered(kTensioner, {{"hand", hand}, {"engine", engine}, {"known_by", "part number"}});
    EXPECT_THAT(done.lines.front(), HasSubstr("Not yet"));
  }
}

TEST(Tensioner, TheRightOneIsStillLaidBesideTheOld) {
  const Answer done =
      answered(kTensioner, {{"hand", "2"}, {"engine", "2"}, {"known_by", "part number"}});
  EXPECT_THAT(done.lines.front(), HasSubstr("bank 2"));
  EXPECT_THAT(done.lines.front(), HasSubstr("beside the old one"));
  EXPECT_THAT(all_of(done.lines), Not(HasSubstr("Not yet")));
}

}  // namespace
}  // namespace tautmark::quick
