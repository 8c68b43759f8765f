// SPDX-License-Identifier: Apache-2.0
#include "geometry/assembly.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "geometry/assembly_explain.h"
#include "geometry/paper_loop.h"

namespace tautmark {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;

using ::testing::HasSubstr;
using ::testing::IsEmpty;

std::vector<std::optional<CountedStrand>> counts(std::initializer_list<int> pitches) {
  std::vector<std::optional<CountedStrand>> all;
  for (const int p : pitches)
    all.push_back(p > 0 ? std::optional(CountedStrand{2 * p}) : std::nullopt);
  return all;
}

// trade.md 6.B: 138 links, 19 and 38 teeth, crank to intake 61, intake to exhaust 16, exhaust to
// crank 61.
AssemblyInputs quellmere(std::initializer_list<int> pitches) {
  AssemblyInputs in{.links = 138, .nominal = {122, 32, 122}, .counted = counts(pitches)};
  in.sprockets = {{.name = "crank", .teeth = 19, .crank_turns = 1, .is_camshaft = false},
                  {.name = "intake", .teeth = 38},
                  {.name = "exhaust", .teeth = 38}};
  in.pitch = mm(8);
  return in;
}

Assembly found(const AssemblyInputs& in) {
  const auto result = assembly(in);
  EXPECT_TRUE(result) << (result ? "" : result.error().why);
  return result ? *result : Assembly{};
}

std::vector<Cause> causes(const Assembly& result) {
  std::vector<Cause> all;
  for (const Explanation& one : result.explanations) all.push_back(one.cause);
  return all;
}

// Source: trade.md 7 question 21: 61 + 60 + 17 = 138 shows a moved sprocket; trade.md 6.B: the
// intake one tooth behind the chain, exhaust and crank right; one tooth 9.474° cam, 18.947° crank.
TEST(Assembly, FindsTheIntakeOneToothLateOfQuestion21) {
  const Assembly result = found(quellmere({60, 17, 61}));
  EXPECT_EQ(result.surplus, 0);
  EXPECT_FALSE(result.right);
  EXPECT_EQ(result.sprockets[1].half_teeth, -2);
  EXPECT_EQ(result.sprockets[2].half_teeth, 0);
  EXPECT_NEAR(in_cam_deg(result.sprockets[1].cam), -9.474, 5e-4);
  EXPECT_NEAR(in_crank_deg(*result.sprockets[1].crank), -18.947, 5e-4);
  ASSERT_FALSE(result.explanations.empty());
  EXPECT_EQ(result.explanations[0].cause, Cause::moved_sprockets);
  ASSERT_EQ(result.explanations[0].moves.size(), 1u);
  EXPECT_EQ(result.explanations[0].moves[0].sprocket, 1u);
  EXPECT_EQ(result.explanations[0].moves[0].teeth, -1);
}

// Same question: "a sum of 137 shows a miscount or a wrong chain", and no tooth error of anything.
TEST(Assembly, MakesNoToothOfASumThatIsWrong) {
  const Assembly result = found(quellmere({60, 16, 61}));
  EXPECT_EQ(result.surplus, -2);
  EXPECT_EQ(result.sprockets[1].half_teeth, std::nullopt);
  EXPECT_EQ(result.explanations[0].cause, Cause::miscount);
  EXPECT_EQ(result.explanations[0].strand, 0u);
  EXPECT_THAT(result.explanations[0].moves, IsEmpty());
  ASSERT_EQ(result.explanations.back().cause, Cause::wrong_chain);
  // 137 links cannot be made of pairs of inner and outer links.
  EXPECT_THAT(result.explanations.back().speaks_against, Contains(HasSubstr("odd")));
}

TEST(Assembly, IsRightOnlyWithEveryStrandCounted) {
  EXPECT_TRUE(found(quellmere({61, 16, 61})).right);
  const Assembly computed = found(quellmere({61, 16, 0}));
  EXPECT_FALSE(computed.right);
  EXPECT_FALSE(computed.all_counted);
  EXPECT_EQ(computed.surplus, std::nullopt);
  EXPECT_TRUE(computed.strands[2].computed);
  EXPECT_EQ(computed.strands[2].pitches, 122);
  // Counted from the driving sprocket on: nothing computed in it.
  EXPECT_FALSE(computed.sprockets[2].computed);
  const Assembly middle = found(quellmere({0, 16, 0}));
  EXPECT_EQ(middle.sprockets[1].half_teeth, std::nullopt);
  EXPECT_THAT(middle.explanations, IsEmpty());
  AssemblyInputs doubtful = quellmere({61, 16, 61});
  doubtful.counted[0]->doubt = true;
  EXPECT_FALSE(found(doubtful).right);
}

TEST(Assembly, OfOneMissingStrandKnowsTheSprocketsThatWereCountedTo) {
  const Assembly result = found(quellmere({60, 0, 61}));
  EXPECT_EQ(result.sprockets[1].half_teeth, -2);
  EXPECT_FALSE(result.sprockets[1].computed);
  EXPECT_EQ(result.strands[1].pitches, 34);
}

// The links with both marked links included: 62 + 17 + 62 = 141 = 138 + 3 strands (counts.h).
TEST(Assembly, SeesThatBothMarkedLinksWereCounted) {
  const Assembly result = found(quellmere({62, 17, 62}));
  EXPECT_EQ(result.explanations[0].cause, Cause::other_counting);
  EXPECT_EQ(result.explanations[0].counted_as, LinkCount::with_both_marks);
  EXPECT_THAT(result.explanations[0].moves, IsEmpty());
}

// A longer chain laid by its marks leaves all of its links on the tensioner's strand.
TEST(Assembly, SpeaksForAWrongChainWhereTheTensionerTakesItUp) {
  const Assembly result = found(quellmere({63, 16, 61}));
  ASSERT_EQ(result.explanations.back().cause, Cause::wrong_chain);
  EXPECT_THAT(result.explanations.back().speaks_for, Contains(HasSubstr("tensioner")));
  EXPECT_THAT(result.explanations.back().speaks_against, IsEmpty());
}

// Two cams off alike: the driving sprocket is the one to move.
TEST(Assembly, TakesEqualErrorsOfAllForOneOfTheDrivingSprocket) {
  const Assembly result = found(quellmere({63, 16, 59}));
  EXPECT_EQ(result.sprockets[1].half_teeth, 4);
  EXPECT_EQ(result.sprockets[2].half_teeth, 4);
  ASSERT_EQ(result.explanations[0].moves.size(), 1u);
  EXPECT_EQ(result.explanations[0].moves[0].sprocket, 0u);
  EXPECT_EQ(result.explanations[0].moves[0].teeth, -2);
}

// geometry.md 4.2: links of one color exchanged leave the sum right; both assignments are reported.
// On a row of paper: gaps 60, 17, 61 from the crank's link; turned over, the first link met is that
// of b, 61 away, then that of a, 17 on, then 60 back to the crank's.
TEST(Assembly, OffersLinksOfOneColorExchanged) {
  AssemblyInputs in = quellmere({61, 17, 60});
  in.nominal = {120, 34, 122};
  const auto with_colors = [&](const char* intake, const char* exhaust) {
    in.sprockets[1].link_color = intake;
    in.sprockets[2].link_color = exhaust;
    return found(in);
  };
  const Assembly same = with_colors("copper", "copper");
  EXPECT_THAT(causes(same), ElementsAre(Cause::links_exchanged, Cause::moved_sprockets));
  EXPECT_THAT(same.explanations[0].speaks_for,
              Contains(HasSubstr("the link of exhaust on the mark of intake")));
  EXPECT_THAT(same.explanations[0].speaks_against, ElementsAre("as it stands: crank 1 tooth late"));
  EXPECT_THAT(causes(with_colors("copper", "blue")), ElementsAre(Cause::moved_sprockets));
  EXPECT_THAT(causes(with_colors("", "")), ElementsAre(Cause::moved_sprockets));
}

// trade.md 6.A bank 1: slack 64, tight 60. Turned over the chain shows 60 and 64.
TEST(Assembly, SeesAChainTurnedOver) {
  AssemblyInputs in{.links = 124, .nominal = {128, 120}, .counted = counts({60, 64})};
  in.sprockets = {{.name = "crank", .teeth = 21, .crank_turns = 1, .is_camshaft = false},
                  {.name = "cam", .teeth = 42}};
  const Assembly result = found(in);
  EXPECT_THAT(causes(result), ElementsAre(Cause::links_exchanged, Cause::moved_sprockets));
  EXPECT_THAT(result.explanations[0].speaks_for, ElementsAre(HasSubstr("read backwards")));
  EXPECT_EQ(result.sprockets[1].half_teeth, -8);
}

// geometry.md CHECK 4.2: n 106, M 52. Observed cam mark on link 53: d = -1, -9° cam, -18° crank; on
// 56: +2, +36° crank. Straddled crank mark (0.5) with cam link 54.5: M = 52 again. Strand 0 leaves
// the crank; the tight one is strand 1.
TEST(Assembly, MeetsTheValuesOfTheGeometryNote) {
  const auto with = [](int crank_half, int cam_half) {
    const auto strands = strands_from_links(106, std::vector<int>{crank_half, cam_half});
    EXPECT_TRUE(strands);
    AssemblyInputs in{.links = 106, .nominal = {108, 104}};
    in.sprockets = {{.name = "crank", .teeth = 20, .crank_turns = 1, .is_camshaft = false},
                    {.name = "cam", .teeth = 40}};
    in.counted = {CountedStrand{(*strands)[0]}, CountedStrand{(*strands)[1]}};
    return found(in);
  };
  EXPECT_TRUE(with(0, 108).right);
  const Assembly late = with(0, 106);
  EXPECT_EQ(late.sprockets[1].half_teeth, -2);
  EXPECT_NEAR(in_cam_deg(late.sprockets[1].cam), -9, 1e-9);
  EXPECT_NEAR(in_crank_deg(*late.sprockets[1].crank), -18, 1e-9);
  EXPECT_NEAR(in_crank_deg(*with(0, 112).sprockets[1].crank), 36, 1e-9);
  EXPECT_TRUE(with(1, 109).right);
  // One link of a straddled pair taken for the middle: half a pitch, which is no tooth.
  const Assembly half = with(0, 109);
  EXPECT_EQ(half.sprockets[1].half_teeth, 1);
  EXPECT_THAT(causes(half), ElementsAre(Cause::half_tooth_reading));
}

// geometry.md CHECK 4.4.
TEST(SlackEffect, IsThreeEighthsOfAToothForThreeMillimeters) {
  const auto effect = slack_effect(mm(3), mm(8), 40);
  ASSERT_TRUE(effect);
  EXPECT_NEAR(effect->teeth_early, 0.375, 1e-12);
  EXPECT_NEAR(in_cam_deg(effect->cam), 3.375, 1e-9);
  EXPECT_NEAR(in_crank_deg(effect->crank), 6.75, 1e-9);
  EXPECT_FALSE(slack_effect(mm(3), mm(0), 40));
  EXPECT_FALSE(slack_effect(mm(-1), mm(8), 40));
}

// trade.md 7 question 3: half a tooth: slack on the tight side, phaser not at base; not the deck.
TEST(Assembly, MakesNoToothOfHalfATooth) {
  AssemblyInputs in = quellmere({61, 16, 61});
  in.sprockets[1].seen_half_teeth = 1;
  in.sprockets[1].phaser_early = crank_deg(45);
  const Assembly result = found(in);
  EXPECT_THAT(causes(result), ElementsAre(Cause::as_it_should_be, Cause::slack_in_driving_strand,
                                          Cause::half_tooth_reading, Cause::phaser_off_base));
  EXPECT_NEAR(in_mm(*result.explanations[1].slack), 4, 1e-9);
  EXPECT_THAT(result.explanations[2].speaks_against, Contains(HasSubstr("under 0.5° (crank)")));
  EXPECT_THAT(result.explanations[2].speaks_against, Contains(HasSubstr("9.5° (crank)")));
  in.sprockets[1].phaser_locked = true;
  in.settled = true;
  const Assembly settled = found(in);
  EXPECT_THAT(settled.explanations[1].speaks_against, Contains(HasSubstr("taut")));
  EXPECT_THAT(settled.explanations[3].speaks_against, Contains(HasSubstr("locked")));
  // Late: neither slack nor a phaser that can only go early.
  in.sprockets[1].seen_half_teeth = -1;
  EXPECT_THAT(causes(found(in)), ElementsAre(Cause::as_it_should_be, Cause::half_tooth_reading));
}

TEST(Assembly, TellsAMoveInTheChainFromOneOnTheShaft) {
  AssemblyInputs in = quellmere({60, 17, 61});
  in.sprockets[1].seen_half_teeth = -2;
  const Assembly same = found(in);
  EXPECT_THAT(causes(same), ElementsAre(Cause::moved_sprockets));
  EXPECT_THAT(same.explanations[0].speaks_for, Contains(HasSubstr("casting says the same")));
  in.counted = counts({61, 16, 61});
  EXPECT_THAT(causes(found(in)), ElementsAre(Cause::as_it_should_be, Cause::off_on_its_shaft));
  in.counted = counts({0, 0, 0});
  EXPECT_THAT(causes(found(in)), ElementsAre(Cause::moved_sprockets, Cause::off_on_its_shaft));
}

// geometry.md 4.2: with an even number of links an odd error exchanges inner and outer plates.
TEST(Assembly, HearsThePlates) {
  AssemblyInputs in = quellmere({60, 17, 61});
  EXPECT_EQ(found(in).sprockets[1].same_plates_when_right, false);  // 61 pitches apart
  EXPECT_EQ(found(in).sprockets[2].same_plates_when_right, false);  // 77
  in.sprockets[1].same_plates = true;
  EXPECT_THAT(found(in).explanations[0].speaks_for, Contains(HasSubstr("odd number of teeth")));
  in.sprockets[1].same_plates = false;
  EXPECT_THAT(found(in).explanations[0].speaks_against, Contains(HasSubstr("even number")));
}

TEST(Assembly, SpeaksOfNoPlatesOnABelt) {
  AssemblyInputs in = quellmere({60, 16, 61});
  in.has_plates = false;
  EXPECT_THAT(found(in).explanations.back().speaks_against, IsEmpty());
  EXPECT_EQ(found(in).sprockets[1].same_plates_when_right, std::nullopt);
}

TEST(Assembly, RefusesWhatIsNoLoop) {
  AssemblyInputs in = quellmere({61, 16, 61});
  in.nominal[0] = 120;
  EXPECT_THAT(assembly(in).error().why, HasSubstr("not from the same sheet"));
  in = quellmere({61, 16, 61});
  in.sprockets[1].teeth = 2;
  EXPECT_THAT(assembly(in).error().why, HasSubstr("teeth of intake"));
  in = quellmere({61, 16, 61});
  in.counted.pop_back();
  EXPECT_FALSE(assembly(in));
  EXPECT_FALSE(assembly({}));
  in = quellmere({61, 16, 61});
  in.links = 1'000'000;
  EXPECT_FALSE(assembly(in));
}

// ---- brute force, on paper: support for it stands in paper_loop.h ----------------------------

AssemblyInputs inputs_of(const test::PaperLoop& nominal, const test::PaperLoop& counted) {
  AssemblyInputs in{.links = nominal.links};
  for (std::size_t j = 0; j < nominal.teeth.size(); ++j) {
    in.sprockets.push_back({.name = "s" + std::to_string(j), .teeth = nominal.teeth[j]});
    in.nominal.push_back(2 * nominal.walked(j));
    in.counted.emplace_back(CountedStrand{2 * counted.walked(j)});
  }
  return in;
}

// A tooth ahead of its place in the direction of travel is early.
RC_GTEST_PROP(AssemblyBruteForce, FindsEverySprocketMovedByEveryCount, ()) {
  const test::PaperLoop loop = test::random_loop();
  for (std::size_t j = 1; j < loop.teeth.size(); ++j)
    for (int teeth = -4; teeth <= 4; ++teeth) {
      test::PaperLoop moved = loop;
      moved.under_mark[j] = (moved.under_mark[j] + teeth + loop.links) % loop.links;
      const AssemblyInputs in = inputs_of(loop, moved);
      const auto result = assembly(in);
      RC_ASSERT(result.has_value());
      RC_ASSERT(result->surplus == 0);
      for (std::size_t k = 0; k < loop.teeth.size(); ++k)
        RC_ASSERT(result->sprockets[k].half_teeth == (k == j ? 2 * teeth : 0));
      RC_ASSERT(result->right == (teeth == 0));
      RC_ASSERT(!result->explanations.empty());
      const auto& moves = result->explanations[0].moves;
      RC_ASSERT(moves.size() == (teeth == 0 ? 0u : 1u));
      // Any one strand left out changes no answer, but is said to be computed.
      for (std::size_t i = 0; i < in.counted.size(); ++i) {
        AssemblyInputs less = in;
        less.counted[i].reset();
        const auto again = assembly(less);
        RC_ASSERT(again.has_value());
        RC_ASSERT(!again->right);
        RC_ASSERT(again->strands[i].computed);
        for (std::size_t k = 0; k < loop.teeth.size(); ++k)
          RC_ASSERT(again->sprockets[k].half_teeth == result->sprockets[k].half_teeth);
      }
    }
}

RC_GTEST_PROP(AssemblyBruteForce, StatesNoToothWhenOneStrandIsMiscounted, ()) {
  const test::PaperLoop loop = test::random_loop();
  AssemblyInputs in = inputs_of(loop, loop);
  const auto strand = *rc::gen::inRange<std::size_t>(0, in.counted.size());
  const int wrong = *rc::gen::element(-2, -1, 1, 2);
  in.counted[strand]->half_pitches += 2 * wrong;
  const auto result = assembly(in);
  RC_ASSERT(result.has_value());
  RC_ASSERT(result->surplus == 2 * wrong);
  for (std::size_t k = 1; k < in.sprockets.size(); ++k) RC_ASSERT(!result->sprockets[k].half_teeth);
  RC_ASSERT(std::any_of(
      result->explanations.begin(), result->explanations.end(), [&](const Explanation& one) {
        return one.cause == Cause::miscount && one.strand == strand && one.moves.empty();
      }));
}

TEST(WhichTurn, IsTheSameForOneBankAndForTwo) {
  using A = std::vector<CamAngle>;
  EXPECT_EQ(which_turn(A{cam_deg(2)}), WhichTurn::reference);
  EXPECT_EQ(which_turn(A{cam_deg(-178)}), WhichTurn::one_crank_turn_away);
  EXPECT_EQ(which_turn(A{cam_deg(1), cam_deg(-9)}), WhichTurn::reference);
  EXPECT_EQ(which_turn(A{cam_deg(181), cam_deg(171)}), WhichTurn::one_crank_turn_away);
  EXPECT_EQ(which_turn(A{cam_deg(0), cam_deg(180)}), WhichTurn::cams_differ);
  EXPECT_EQ(which_turn(A{cam_deg(0), cam_deg(90)}), WhichTurn::not_at_marks);
  EXPECT_EQ(which_turn(A{}), WhichTurn::unknown);
}

TEST(HalfTeethWords, NeverShowABareSign) {
  EXPECT_EQ(half_teeth_words(-2), "1 tooth late");
  EXPECT_EQ(half_teeth_words(4), "2 teeth early");
  EXPECT_EQ(half_teeth_words(1), "half a tooth early");
  EXPECT_EQ(half_teeth_words(-3), "1.5 teeth late");
  EXPECT_EQ(half_teeth_words(0), "no tooth off");
}

}  // namespace
}  // namespace tautmark
