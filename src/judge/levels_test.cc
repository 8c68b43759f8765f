// SPDX-License-Identifier: Apache-2.0
#include "judge/levels.h"

#include <fmt/format.h>
#include <gmock/gmock.h>

#include <tuple>

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

std::string two_banks(std::string_view counted, std::string_view strands) {
  return fmt::format(R"(tautmark: drive/1
name: two
crankshaft: {{sprockets: [{{chain: left chain, teeth: 21}}, {{chain: right chain, teeth: 21}}]}}
chains:
  - {{name: left chain, bank: 1, links: 124, counted: {}, strands: {}}}
  - {{name: right chain, bank: 2, links: 126}}
banks:
  - {{number: 1, camshafts: [{{name: camshaft, chain: left chain, sprocket_teeth: 42}}]}}
  - {{number: 2, camshafts: [{{name: camshaft, chain: right chain, sprocket_teeth: 42}}]}}
)",
                     counted, strands);
}

constexpr std::string_view kLeftStrands =
    "[{{from: crank, to: bank 1 / camshaft, links: {}}}, "
    "{{from: bank 1 / camshaft, to: crank, links: {}}}]";

// lcm(124, 42) / 21 = 2604 / 21 = 124 turns; lcm(126, 42) / 21 = 126 / 21 = 6 turns.
TEST(Levels, EveryChainThatDiffersIsNamed) {
  const auto all =
      capabilities_of(two_banks("pitches", fmt::format(fmt::runtime(kLeftStrands), 61, 63)));
  EXPECT_THAT(about(all, "colored links").detail,
              ::testing::HasSubstr("left chain: 124 crank turns"));
  EXPECT_THAT(about(all, "colored links").detail,
              ::testing::HasSubstr("right chain: 6 crank turns"));
}

TEST(Levels, TheLinkSumIsTrueWhateverWasCounted) {
  for (const auto& [counted, first, second] :
       {std::tuple{"pitches", 61, 63}, {"both marks", 62, 64}, {"between", 60, 62}}) {
    const auto all =
        capabilities_of(two_banks(counted, fmt::format(fmt::runtime(kLeftStrands), first, second)));
    EXPECT_EQ(about(all, "link counts").detail, "61 + 63 = 124 (left chain)") << counted;
    EXPECT_TRUE(about(all, "link counts").missing.empty()) << counted;
  }
}

TEST(Levels, ALinkSumThatDoesNotFitIsMissing) {
  LoadedDrive loaded;
  Chain chain;
  chain.name = "chain";
  chain.links = 124;
  chain.strands = {{"crank", "cam", 61}, {"cam", "crank", 62}};
  loaded.drive.chains.push_back(chain);
  const auto all = capabilities(loaded);
  ASSERT_EQ(about(all, "link counts").missing.size(), 1u);
  EXPECT_THAT(about(all, "link counts").missing.front().what,
              ::testing::HasSubstr("the strands add up to 123, the chain has 124"));
}

TEST(Levels, EachFurtherNumberUnlocksItsAnswer) {
  const std::string with_fit = test::small_drive(
      "fits:\n  - {quantity: end play, at: every camshaft, service: 0.05..0.20 mm}\n");
  EXPECT_FALSE(about(capabilities_of(test::small_drive()), "end play").missing.empty());
  EXPECT_TRUE(about(capabilities_of(with_fit), "end play").missing.empty());
}

}  // namespace
}  // namespace tautmark
