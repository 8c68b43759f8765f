// SPDX-License-Identifier: Apache-2.0
#include "report/way_json.h"

#include <gmock/gmock.h>

#include <nlohmann/json.hpp>

#include "judge/way_test_support.h"
#include "report/report.h"

namespace tautmark {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

TEST(WayJson, HasTheMovesOfAWay) {
  const WayAnswer way = test::way_of(test::way_loaded(test::WayCase{}));
  const json shown = json::parse(way_json(way).dump());
  EXPECT_EQ(shown["entry"], "e3");
  EXPECT_TRUE(shown["may_turn"]);
  EXPECT_THAT(shown["answer"].get<std::string>(), HasSubstr("TURN ONLY by hand"));
  EXPECT_TRUE(shown["no_way"].is_null());
  ASSERT_EQ(shown["moves"].size(), way.moves.size());
  const json& first = shown["moves"][0];
  EXPECT_EQ(first["turns"], "crank");
  EXPECT_TRUE(first["camshaft"].is_null());
  EXPECT_NEAR(first["by_deg"].get<double>(), in_crank_deg(way.moves[0].move.crank_by), 1e-9);
  bool any_camshaft = false;
  for (std::size_t i = 0; i < way.moves.size(); ++i) {
    const json& move = shown["moves"][i];
    EXPECT_GE(move["least_mm"].get<double>(), shown["least_mm"].get<double>() - 1e-9);
    if (move["turns"] != "camshaft") continue;
    any_camshaft = true;
    EXPECT_EQ(move["camshaft"], way.moves[i].camshaft);
    EXPECT_NEAR(move["by_deg"].get<double>(), in_cam_deg(way.moves[i].move.cam_by), 1e-9);
  }
  EXPECT_TRUE(any_camshaft);
  EXPECT_THAT(shown["holds_for"].get<std::string>(), HasSubstr("until anything is turned"));
  EXPECT_EQ(shown["cautions"].size(), 3U);
}

TEST(WayJson, SaysWhatForbids) {
  const WayAnswer way = test::way_with([](Standing& s) { s.in_cylinders = true; });
  const json shown = json::parse(way_json(way).dump());
  EXPECT_EQ(shown["answer"], "DO NOT TURN");
  EXPECT_FALSE(shown["may_turn"]);
  EXPECT_EQ(shown["forbidden"].size(), 1U);
  EXPECT_EQ(shown["ask"].size(), 1U);
  EXPECT_THAT(shown["moves"], IsEmpty());
  EXPECT_TRUE(shown["least_mm"].is_null());
  std::string lines;
  for (const WayLine& line : way_lines(way)) lines += line.words + "\n";
  EXPECT_THAT(lines, HasSubstr("DO NOT TURN\nbecause something lies in a cylinder\nnext: "));
  EXPECT_THAT(lines, HasSubstr("! caution: A freed camshaft snaps round"));
}

TEST(WayJson, WithoutAStandingIsDoNotTurn) {
  const json shown = json::parse(way_json({}).dump());
  EXPECT_TRUE(shown["entry"].is_null());
  EXPECT_EQ(shown["answer"], "DO NOT TURN");
  EXPECT_FALSE(shown["may_turn"]);
  EXPECT_THAT(way_lines({}), IsEmpty());
}

// The moves stand in every report, in their order.
TEST(WayJson, ReportsHaveTheMoves) {
  const LoadedCase loaded = test::way_loaded({.chain = "off", .crank = "0 ± 1 deg crank"});
  const auto judgement = judge(loaded);
  ASSERT_TRUE(judgement);
  ASSERT_EQ(judgement->turning.moves.size(), 1U);
  const json shown = json::parse(json_report(*judgement));
  EXPECT_EQ(shown["turning"]["moves"][0], judgement->turning.moves[0]);
  EXPECT_THAT(text_report(*judgement, {.width = 400}),
              HasSubstr("move 1      turn bank 1 / intake camshaft 9.5 deg cam in running"));
}

}  // namespace
}  // namespace tautmark
