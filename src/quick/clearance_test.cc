// SPDX-License-Identifier: Apache-2.0
#include "quick/quick_test_help.h"

namespace tautmark::quick {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

const Typed kQuestionTen = {{"clearance", "0.108 ± 0.005 mm"}, {"limit", "at most 0.110 mm"}};
const std::initializer_list<std::pair<std::string, std::string>> kFromMaker = {
    {"origin", "maker"}, {"source", "engine manual, edition 3, page 12"}};

// Source: trade.md 7 question 10: "0.108 mm, limit 0.110. Pass? With U = 0.005 mm: cannot say."
// Probability: standard normal distribution at (0.110 - 0.108) / 0.0025 = 0.8 is 0.788145.
TEST(Clearance, IsTooCloseToCallForQuestionTen) {
  const Answer done = answered(kClearance, kQuestionTen);
  EXPECT_EQ(done.verdict, Verdict::open);
  EXPECT_EQ(done.finding->open_because, OpenBecause::too_close);
  EXPECT_NEAR(*done.finding->probability_within, 0.788145, 1e-6);
  EXPECT_THAT(done.lines.front(), HasSubstr("too close to call"));
  EXPECT_THAT(done.lines.front(), HasSubstr("probability inside 0.79"));
  EXPECT_THAT(done.lines.front(), HasSubstr("0.108 ± 0.005 mm"));
  EXPECT_NEAR(done.finding->value->U, 5e-6, 1e-15);
}

TEST(Clearance, TakesTheClearanceWhereTheBoreIsAsked) {
  const Answer done =
      answered(kClearance, {{"bore", "0.108 ± 0.005 mm"}, {"limit", "at most 0.110 mm"}});
  EXPECT_EQ(done.lines, answered(kClearance, kQuestionTen).lines);
  EXPECT_THAT(done.assumed, Contains("0.108 mm is the clearance itself, not a bore"));
}

// The needed U: 0.002 mm must be 1.644854 u, so U = 2 u = 0.002432 mm, shown rounded down.
TEST(Clearance, SaysWhatWouldDecide) {
  const Answer done = answered(kClearance, kQuestionTen);
  EXPECT_THAT(done.lines, Contains(HasSubstr("± 0.0024 mm or better would decide")));
  EXPECT_THAT(done.lines, Contains(HasSubstr("the verdict stays open")));
}

// Source: trade.md 6.A: J1 0.142 ± 0.005 against 0.110 fails with certainty, J2 0.118 ± 0.005 too.
TEST(Clearance, FailsWhenProvenOutsideWhoeverSetTheLimit) {
  for (const char* clearance : {"0.142 ± 0.005 mm", "0.118 ± 0.005 mm"}) {
    const Answer done = answered(kClearance, with(kQuestionTen, {{"clearance", clearance}}));
    EXPECT_EQ(done.verdict, Verdict::fail) << clearance;
    EXPECT_THAT(done.lines.front(), HasSubstr("Fail"));
  }
}

// Source: trade.md 6.A: J4 0.086 is inside. It passes only with the maker's document.
TEST(Clearance, PassesOnlyWithAnOriginAndADocument) {
  const Typed inside = with(kQuestionTen, {{"clearance", "0.086 ± 0.005 mm"}});
  const Answer nobody = answered(kClearance, inside);
  EXPECT_EQ(nobody.verdict, Verdict::open);
  EXPECT_EQ(nobody.finding->open_because, OpenBecause::limit_origin);
  EXPECT_THAT(nobody.lines.front(), HasSubstr("nobody said where the limit comes from"));

  const Answer hearsay = answered(kClearance, with(inside, {{"origin", "maker"}}));
  EXPECT_EQ(hearsay.finding->open_because, OpenBecause::limit_origin);
  EXPECT_THAT(hearsay.lines.front(), HasSubstr("no document was named"));

  const Answer practice =
      answered(kClearance, with(inside, {{"origin", "common practice"}, {"source", "a talk"}}));
  EXPECT_EQ(practice.verdict, Verdict::open);

  const Answer maker = answered(kClearance, with(inside, kFromMaker));
  EXPECT_EQ(maker.verdict, Verdict::pass);
  EXPECT_EQ(maker.finding->limit->origin, Origin::maker);
  EXPECT_THAT(maker.cautions, Contains(HasSubstr("typed once and not cross-checked")));
  EXPECT_THAT(maker.cautions, Contains(HasSubstr("not a statement about the engine")));
}

TEST(Clearance, AsksWhoseRuleADocumentPrints) {
  EXPECT_EQ(asked(kClearance, with(kQuestionTen, {{"source", "page 12"}})).input, "origin");
}

// Source: trade.md 6.A, bank 2 J1, vertical readings; mean 28.100 - 27.957 = 0.143.
TEST(Clearance, TakesRepeatsOfBoreAndJournal) {
  const Typed typed = {{"bore", "28.101 28.099 28.100 mm"},
                       {"journal", "27.957 27.958 27.956 mm"},
                       {"limit", "at most 0.110 mm"},
                       {"instrument", "unknown"}};
  const Answer done = answered(kClearance, typed);
  EXPECT_NEAR(done.finding->value->value, 0.143e-3, 1e-9);
  EXPECT_GT(done.finding->value->U, 0);
  EXPECT_THAT(all_of(done.assumed), HasSubstr("program default"));
  EXPECT_THAT(all_of(done.steps), HasSubstr("mean minus mean"));
}

// u of a difference: 0.003 and 0.004 (k = 2) are 0.0015 and 0.002, together 0.0025.
TEST(Clearance, AddsTheUncertaintiesOfBoreAndJournal) {
  const Answer done = answered(kClearance, {{"bore", "28.072 ± 0.003 mm"},
                                            {"journal", "27.964 ± 0.004 mm"},
                                            {"limit", "at most 0.110 mm"}});
  EXPECT_NEAR(done.finding->value->U, 5e-6, 1e-12);
  EXPECT_NEAR(*done.finding->probability_within, 0.788145, 1e-5);
}

TEST(Clearance, AsksForTheInstrumentWhenNothingIsKnownOfTheGauge) {
  const Ask ask = asked(
      kClearance,
      {{"bore", "28.101 28.099 mm"}, {"journal", "27.957 mm"}, {"limit", "at most 0.110 mm"}});
  EXPECT_EQ(ask.input, "instrument");
  EXPECT_THAT(ask.sentence, HasSubstr("unknown"));
  EXPECT_EQ(asked(kClearance, with(kQuestionTen, {{"clearance", "0.108 mm"}})).input, "instrument");
  EXPECT_EQ(asked(kClearance,
                  with(kQuestionTen, {{"clearance", "0.108 mm"}, {"instrument", "crystal ball"}}))
                .input,
            "instrument");
}

TEST(Clearance, AsksForTheInstrumentOfTheJournalToo) {
  const Typed typed = {{"bore", "28.101 28.099 mm"},
                       {"journal", "27.957 mm"},
                       {"limit", "at most 0.110 mm"},
                       {"instrument", "bore gauge"}};
  EXPECT_EQ(asked(kClearance, typed).input, "journal_instrument");
  const Answer done =
      answered(kClearance, with(typed, {{"journal_instrument", "micrometer 0.001"}}));
  EXPECT_THAT(all_of(done.assumed), HasSubstr("bore gauge"));
  EXPECT_THAT(all_of(done.assumed), HasSubstr("micrometer 0.001"));
}

TEST(Clearance, AsksWhatIsMissingOrUnclear) {
  EXPECT_EQ(asked(kClearance, {}).input, "limit");
  EXPECT_EQ(asked(kClearance, {{"limit", "at most 0.110 mm"}}).input, "bore");
  EXPECT_EQ(asked(kClearance, {{"limit", "at most 0.110 mm"}, {"bore", "28 mm"}}).input, "journal");
  const Ask bare = asked(kClearance, with(kQuestionTen, {{"limit", "0.110 mm"}}));
  EXPECT_EQ(bare.input, "limit");
  EXPECT_THAT(bare.sentence, HasSubstr("at least 0.110 mm"));
  EXPECT_EQ(asked(kClearance, with(kQuestionTen, {{"limit", "at most 0.110"}})).input, "limit");
  EXPECT_EQ(asked(kClearance, with(kQuestionTen, {{"clearance", "0,108 ± 0,005 mm"}})).input,
            "clearance");
  EXPECT_EQ(asked(kClearance, with(kQuestionTen, {{"bore", "28.1 mm"}})).input, "clearance");
}

TEST(Clearance, AsksBackWhenBoreAndJournalCannotBelongTogether) {
  const Typed swapped = {{"bore", "27.957 ± 0.003 mm"},
                         {"journal", "28.100 ± 0.003 mm"},
                         {"limit", "at most 0.110 mm"}};
  const Ask ask = asked(kClearance, swapped);
  EXPECT_EQ(ask.input, "bore");
  EXPECT_THAT(ask.sentence, HasSubstr("swapped"));
  const Ask slip = asked(
      kClearance, with(swapped, {{"bore", "29.100 ± 0.003 mm"}, {"journal", "28.000 ± 0.003 mm"}}));
  EXPECT_THAT(slip.sentence, HasSubstr("misread"));
}

TEST(Clearance, IsOpenWhereNoBearingCanBeLikeThat) {
  const auto implausible = [](const Typed& typed) {
    const Answer done = answered(kClearance, with(typed, kFromMaker));
    EXPECT_EQ(done.verdict, Verdict::open);
    EXPECT_EQ(done.finding->open_because, OpenBecause::implausible);
    EXPECT_FALSE(done.finding->probability_within);
    EXPECT_THAT(done.lines.front(), HasSubstr("is the unit right?"));
    EXPECT_THAT(done.lines.front(), Not(HasSubstr("?.")));
  };
  // Inches said as millimeters.
  implausible({{"bore", "1.129 ± 0.001 mm"},
               {"journal", "1.125 ± 0.001 mm"},
               {"limit", "at most 0.110 mm"}});
  implausible({{"bore", "150.100 ± 0.003 mm"},
               {"journal", "150.000 ± 0.003 mm"},
               {"limit", "at most 0.110 mm"}});
  implausible(with(kQuestionTen, {{"clearance", "0.9 ± 0.1 mm"}}));
  EXPECT_EQ(answered(kClearance, with(kQuestionTen, {{"clearance", "0.59 ± 0.01 mm"}})).verdict,
            Verdict::fail);
}

TEST(Clearance, HoldsALowerLimitToo) {
  const Answer done =
      answered(kClearance, {{"clearance", "0.030 ± 0.004 mm"}, {"limit", "0.040..0.080 mm"}});
  EXPECT_EQ(done.verdict, Verdict::fail);
}

}  // namespace
}  // namespace tautmark::quick
