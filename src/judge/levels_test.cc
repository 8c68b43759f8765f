// SPDX-License-Identifier: Apache-2.0
#include "judge/levels.h"

#include <gmock/gmock.h>

#include "judge/judge_test_support.h"

namespace tautmark {
namespace {

std::vector<Capability> capabilities_of(const std::string& text) {
  const auto loaded = load_drive_text(make_text_file("t.drive.yaml", text), {});
  EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
  return loaded ? capabilities(*loaded) : std::vector<Capability>{};
}

int answered(const std::vector<Capability>& all) {
  int count = 0;
  for (const Capability& capability : all) count += capability.missing.empty() ? 1 : 0;
  return count;
}

const Capability& about(const std::vector<Capability>& all, std::string_view word) {
  for (const Capability& capability : all)
    if (capability.question.find(word) != std::string::npos) return capability;
  static const Capability kNone;
  ADD_FAILURE() << word;
  return kNone;
}

TEST(Levels, AnEmptyDefinitionAnswersNothingAndSaysHowToGetEverything) {
  const auto all = capabilities_of("tautmark: drive/1\nname: empty\n");
  EXPECT_EQ(answered(all), 0);
  for (const Capability& capability : all)
    for (const Missing& missing : capability.missing)
      EXPECT_FALSE(missing.how.empty()) << missing.what;
}

TEST(Levels, TwentyLinesFromAServiceManualAnswerHalf) {
  const std::string root = TAUTMARK_SOURCE_DIR;
  const auto loaded = load_drive("thin", {{root + "/drives"}});
  ASSERT_TRUE(loaded) << diagnostics_text(loaded.error());
  const auto all = capabilities(*loaded);
  EXPECT_GE(answered(all), 9);
  EXPECT_TRUE(about(all, "bearing clearance").missing.empty());
  // 116 links, 44 and 22 teeth: lcm(116, 44) / 22 = 1276 / 22 = 58 turns.
  EXPECT_THAT(about(all, "colored links").detail, ::testing::HasSubstr("58 crank turns"));
  EXPECT_FALSE(about(all, "link counts").missing.empty());
}

TEST(Levels, EachFurtherNumberUnlocksItsAnswer) {
  const std::string with_fit = test::small_drive(
      "fits:\n  - {quantity: end play, at: every camshaft, service: 0.05..0.20 mm}\n");
  EXPECT_FALSE(about(capabilities_of(test::small_drive()), "end play").missing.empty());
  EXPECT_TRUE(about(capabilities_of(with_fit), "end play").missing.empty());
}

}  // namespace
}  // namespace tautmark
