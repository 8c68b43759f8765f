// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

const Typed kBankTwo = {
    {"length", "320.88 320.92 320.90 mm"}, {"links", "40"}, {"pitch", "8.00 mm"}};

// Source: trade.md 6.A: mean 320.90 mm over 40 links of 8.00 mm, 0.281 %.
TEST(Chain, IsAsPrintedForBankTwo) {
  const Answer done = answered(kChain, kBankTwo);
  EXPECT_THAT(done.lines.front(), HasSubstr("0.281 % longer"));
  EXPECT_FALSE(done.verdict);
  EXPECT_THAT(all_of(done.assumed), HasSubstr("no uncertainty"));
}

// U = 0.05 mm of 320 mm is 0.0156 %; limit 0.35 % (trade.md 6.A).
TEST(Chain, JudgesAgainstALimitWithUncertainty) {
  const Typed judged = with(kBankTwo, {{"length", "320.90 ± 0.05 mm"}, {"limit", "0.35 %"}});
  EXPECT_EQ(answered(kChain, judged).finding->open_because, OpenBecause::limit_origin);
  const Answer maker =
      answered(kChain, with(judged, {{"origin", "maker"}, {"source", "manual, page 4"}}));
  EXPECT_EQ(maker.verdict, Verdict::pass);
  EXPECT_NEAR(maker.finding->value->value, 0.0028125, 1e-9);
  EXPECT_NEAR(maker.finding->value->U, 0.05 / 320, 1e-9);
  EXPECT_EQ(answered(kChain, with(judged, {{"length", "321.90 ± 0.05 mm"}})).verdict,
            Verdict::fail);
  EXPECT_EQ(answered(kChain, with(judged, {{"length", "321.10 ± 0.05 mm"}})).finding->open_because,
            OpenBecause::too_close);
}

TEST(Chain, AsksForTheInstrumentOnlyWhenThereIsALimit) {
  EXPECT_EQ(asked(kChain, with(kBankTwo, {{"limit", "0.35 %"}})).input, "instrument");
}

TEST(Chain, AsksWhatIsMissingOrUnclear) {
  EXPECT_EQ(asked(kChain, {}).input, "length");
  EXPECT_EQ(asked(kChain, with(kBankTwo, {{"links", ""}})).input, "links");
  EXPECT_EQ(asked(kChain, with(kBankTwo, {{"links", "a few"}})).input, "links");
  EXPECT_EQ(asked(kChain, with(kBankTwo, {{"pitch", "8"}})).input, "pitch");
  EXPECT_EQ(asked(kChain, with(kBankTwo, {{"length", "320.9"}})).input, "length");
  EXPECT_EQ(asked(kChain, with(kBankTwo, {{"length", "-320.9 mm"}})).input, "length");
  EXPECT_EQ(asked(kChain, with(kBankTwo, {{"length", "320.9 ± 0.1 mm"}, {"limit", "0.35"}})).input,
            "limit");
}

// 321.12 mm over 40 links of 8.00 mm is 1.12 / 320 = 0.35 %, the usual form of a manual.
TEST(Chain, TakesALimitAsALengthOverTheLinks) {
  const Typed judged = with(kBankTwo, {{"length", "320.90 ± 0.05 mm"},
                                       {"limit", "321.12 mm"},
                                       {"origin", "maker"},
                                       {"source", "manual, page 4"}});
  const Answer done = answered(kChain, judged);
  EXPECT_EQ(done.verdict, Verdict::pass);
  EXPECT_NEAR(*done.finding->limit->upper, 0.0035, 1e-12);
  EXPECT_THAT(done.lines.front(), HasSubstr("0.350 % (<= 321.12 mm over 40 links)"));
  EXPECT_EQ(answered(kChain, with(judged, {{"limit", "at most 320.80 mm"}})).verdict,
            Verdict::fail);
  for (const char* limit : {"1.12 mm", "320 mm", "400 mm", "at least 321.12 mm"})
    EXPECT_EQ(asked(kChain, with(judged, {{"limit", limit}})).input, "limit") << limit;
}

TEST(Chain, AsksAgainForWhatIsNoChain) {
  EXPECT_EQ(asked(kChain, with(kBankTwo, {{"links", "0"}})).input, "links");
  EXPECT_EQ(asked(kChain, with(kBankTwo, {{"pitch", "0 mm"}})).input, "pitch");
}

TEST(Chain, AsksForTheLinksAgainWhereItIsNoWear) {
  const Typed judged = with(kBankTwo, {{"limit", "0.35 %"}});
  for (const char* length : {"319.50 ± 0.05 mm", "344.90 ± 0.05 mm"}) {
    const Answer done = answered(kChain, with(judged, {{"length", length}}));
    EXPECT_EQ(done.finding->open_because, OpenBecause::implausible);
    EXPECT_THAT(done.lines.front(), HasSubstr("count the links again"));
    EXPECT_THAT(all_of(done.lines), ::testing::Not(HasSubstr("-0")));
    EXPECT_THAT(all_of(done.steps), ::testing::Not(HasSubstr("= -")));
  }
  const Answer same = answered(kChain, with(kBankTwo, {{"length", "319.98 ± 0.05 mm"}}));
  EXPECT_THAT(same.lines.front(), HasSubstr("shorter than new"));
  EXPECT_THAT(same.lines.front(), HasSubstr("no wear"));
  EXPECT_THAT(same.lines.front(), ::testing::Not(HasSubstr("count the links")));
}

TEST(Chain, SaysWhatCannotBeWear) {
  const Answer shorter = answered(kChain, with(kBankTwo, {{"length", "319.50 mm"}}));
  EXPECT_THAT(shorter.lines.front(), HasSubstr("shorter than new"));
  EXPECT_THAT(shorter.lines.front(), HasSubstr("0.50 mm"));
  const Answer longer = answered(kChain, with(kBankTwo, {{"length", "328.90 mm"}}));
  EXPECT_THAT(longer.cautions, Contains(HasSubstr("implausible")));
  EXPECT_THAT(answered(kChain, with(kBankTwo, {{"links", "39"}})).cautions,
              Contains(HasSubstr("even number of links")));
}

}  // namespace
}  // namespace tautmark::quick
