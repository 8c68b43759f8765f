// SPDX-License-Identifier: Apache-2.0
#include "report/report.h"

#include <gmock/gmock.h>

#include <nlohmann/json.hpp>

namespace tautmark {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

LoadedCase demo(const std::string& name) {
  const std::string root = TAUTMARK_SOURCE_DIR;
  auto loaded = load_case(root + "/demo/" + name, {{root + "/drives"}});
  EXPECT_TRUE(loaded);
  return std::move(*loaded);
}

TEST(TextReport, StartsWithStopProvenAndNext) {
  const std::string text = text_report(*judge(demo("vessgarth")), {});
  const auto stop = text.find("STOP: 7"), proven = text.find("Proven: "),
             next = text.find("Next: "), turn = text.find("DO NOT TURN");
  EXPECT_LT(stop, proven);
  EXPECT_LT(proven, next);
  EXPECT_LT(next, turn);
  EXPECT_LT(turn, text.find("Oil pressure"));
}

TEST(TextReport, WorstFirstInEveryGroup) {
  const Judgement judgement = *judge(demo("vessgarth"));
  for (const FindingGroup& group : grouped(judgement)) {
    int last = 2;
    for (const Finding* finding : group.findings) {
      if (finding->forecast) continue;
      const int bad = finding->verdict == Verdict::fail   ? 2
                      : finding->verdict == Verdict::open ? 1
                                                          : 0;
      EXPECT_LE(bad, last);
      last = bad;
    }
  }
}

TEST(TextReport, KeepsToTheWidth) {
  const std::string text = text_report(*judge(demo("quellmere")), {.width = 100, .bold = false});
  EXPECT_THAT(text, HasSubstr("INVENTED ENGINE"));
  EXPECT_THAT(text, Not(HasSubstr("\033")));
}

TEST(BriefReport, IsFiveSentences) {
  const std::string text = brief_report(*judge(demo("vessgarth")));
  EXPECT_EQ(std::count(text.begin(), text.end(), '\n'), 5);
  EXPECT_THAT(text, HasSubstr("DO NOT TURN"));
}

// A definition that lies with a case takes the place of the shop's: every report says so.
TEST(Reports, SayThatADefinitionDiffersFromTheShops) {
  LoadedCase loaded = demo("vessgarth");
  ASSERT_EQ(loaded.drives.size(), 1U);
  ASSERT_FALSE(loaded.drives[0].differs_from_shop);
  for (const bool differs : {false, true}) {
    loaded.drives[0].differs_from_shop = differs;
    const Judgement judgement = *judge(loaded);
    const auto json = nlohmann::json::parse(json_report(judgement));
    EXPECT_EQ(json["drives"][0]["differs_from_shop"], differs);
    for (const std::string& text : {text_report(judgement, {.width = 1000}),
                                    brief_report(judgement), html_sheet(judgement, loaded)})
      EXPECT_EQ(text.find("differs from the shop") != std::string::npos, differs) << text;
    EXPECT_EQ(text_report(judgement, {}).find("says of itself: checked by") != std::string::npos,
              differs);
  }
}

TEST(JsonReport, HasTheDocumentedShape) {
  const auto json = nlohmann::json::parse(json_report(*judge(demo("vessgarth"))));
  EXPECT_EQ(json["schema"], "findings/1");
  EXPECT_EQ(json["drive"], "vessgarth-v6-12");
  EXPECT_EQ(json["drive_sha256"].get<std::string>().size(), 64U);
  EXPECT_EQ(json["turning"]["answer"], "DO NOT TURN");
  int pass = 0, fail = 0, open = 0;
  for (const auto& finding : json["findings"]) {
    const std::string verdict = finding["verdict"];
    pass += verdict == "pass" ? 1 : 0;
    fail += verdict == "fail" ? 1 : 0;
    open += verdict == "open" ? 1 : 0;
    EXPECT_EQ(finding["open_because"].is_null(), verdict != "open");
    for (const char* key :
         {"check", "subject", "why", "evidence", "follows", "next", "cautions", "sources"})
      EXPECT_TRUE(finding.contains(key)) << key;
  }
  EXPECT_EQ(json["summary"]["pass"], pass);
  EXPECT_EQ(json["summary"]["fail"], fail);
  EXPECT_EQ(json["summary"]["open"], open);
}

TEST(Reports, AreTheSameByteForByteOnEveryRun) {
  for (const char* name : {"vessgarth", "quellmere"}) {
    EXPECT_EQ(json_report(*judge(demo(name))), json_report(*judge(demo(name))));
    EXPECT_EQ(text_report(*judge(demo(name)), {}), text_report(*judge(demo(name)), {}));
  }
}

}  // namespace
}  // namespace tautmark
