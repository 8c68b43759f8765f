// SPDX-License-Identifier: Apache-2.0
#include "geometry/realign.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

namespace tautmark {
namespace {

using ::testing::AllOf;
using ::testing::AnyOf;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

// trade.md 6.B: intake one tooth behind the chain: 60 / 17 / 61 becomes 61 / 16 / 61.
TEST(Realign, MovesTheIntakeOneToothForward) {
  const auto plan = realign({.links = 138,
                             .names = {"crank", "intake", "exhaust"},
                             .nominal = {122, 32, 122},
                             .teeth_early = {0, -1, 0}});
  ASSERT_TRUE(plan) << plan.error().why;
  EXPECT_THAT(plan->strands_before, ElementsAre(120, 34, 122));
  ASSERT_EQ(plan->moves.size(), 1u);
  EXPECT_EQ(plan->moves[0].sprocket, 1u);
  EXPECT_EQ(plan->moves[0].teeth, 1);
  EXPECT_THAT(plan->moves[0].strands_after, ElementsAre(122, 32, 122));
  EXPECT_THAT(plan->stay, ElementsAre(0u, 2u));
  EXPECT_THAT(plan->steps.front(), HasSubstr("pin it"));
  EXPECT_THAT(plan->steps, Contains(HasSubstr("1 tooth with rotation")));
  EXPECT_THAT(plan->steps, Contains(HasSubstr("all slack into the strand crank to intake")));
  for (const std::string& step : plan->steps)
    for (const char* word : {"turn the engine", "turn the crank"})
      EXPECT_THAT(step, Not(HasSubstr(word)));
}

TEST(Realign, MovesTheCrankSprocketOnlyWhenThatIsLess) {
  const RealignInputs in{.links = 138,
                         .names = {"crank", "intake", "exhaust"},
                         .nominal = {122, 32, 122},
                         .teeth_early = {0, 2, 2}};
  const auto both = realign(in);
  ASSERT_TRUE(both);
  ASSERT_EQ(both->moves.size(), 1u);
  EXPECT_EQ(both->moves[0].sprocket, 0u);
  EXPECT_EQ(both->moves[0].teeth, 2);
  // The crank itself is never turned: the chain comes on with both camshafts, against the error.
  for (const std::string& step : both->steps)
    EXPECT_THAT(step, Not(AnyOf(HasSubstr("turn it"), HasSubstr("its shaft"))));
  EXPECT_THAT(both->steps,
              Contains(AllOf(HasSubstr("lift the chain off crank, which stands still"),
                             HasSubstr("intake, exhaust 2 teeth against rotation, each camshaft "
                                       "held at its flats"),
                             HasSubstr("every valve that moves with it closed, or the pistons "
                                       "proven away from the top"))));
  EXPECT_EQ(move_words(in, both->moves[0]),
            "the chain on crank, which stands still, laid 2 teeth against rotation");
  RealignInputs late = in;
  late.teeth_early = {0, -1, -1};
  const auto forward = realign(late);
  ASSERT_TRUE(forward);
  EXPECT_THAT(forward->steps, Contains(HasSubstr("intake, exhaust 1 tooth with rotation")));
  EXPECT_THAT(forward->steps, Not(Contains(HasSubstr("against rotation"))));
  RealignInputs two = in;
  two.teeth_early = {0, 1, -2};
  const auto each = realign(two);
  ASSERT_TRUE(each);
  ASSERT_EQ(each->moves.size(), 2u);
  // Upstream from the crank: the strand that pulls is laid first.
  EXPECT_EQ(each->moves[0].sprocket, 2u);
  EXPECT_EQ(each->moves[1].sprocket, 1u);
  EXPECT_THAT(each->steps,
              Contains(AllOf(HasSubstr("lift the chain off intake, hold its shaft"),
                             HasSubstr("every valve"), HasSubstr("a camshaft at its flats"))));
}

TEST(Realign, LeavesARightDriveAlone) {
  const auto plan = realign(
      {.links = 124, .names = {"crank", "cam"}, .nominal = {128, 120}, .teeth_early = {0, 0}});
  ASSERT_TRUE(plan);
  EXPECT_THAT(plan->moves, IsEmpty());
  EXPECT_THAT(plan->steps, IsEmpty());
}

TEST(Realign, RefusesWhatIsNoLoop) {
  EXPECT_FALSE(realign({}));
  EXPECT_FALSE(
      realign({.links = 124, .names = {"a", "b"}, .nominal = {128, 118}, .teeth_early = {0, 0}}));
  EXPECT_FALSE(
      realign({.links = 124, .names = {"a", "b"}, .nominal = {128, 120}, .teeth_early = {1, 0}}));
  EXPECT_FALSE(
      realign({.links = 124, .names = {"a", "b"}, .nominal = {128, 120}, .teeth_early = {0, 70}}));
}

// Brute force: the sprockets are turned against a row of links as the plan says, then every strand
// is counted by walking link by link; no smaller set of sprockets does it.
RC_GTEST_PROP(RealignBruteForce, LeadsToTheNominalCountsWithTheFewestMoves, ()) {
  const int count = *rc::gen::inRange(2, 6);
  std::vector<int> under_mark, nominal;
  int links = 0;
  for (int j = 0; j < count; ++j) {
    under_mark.push_back(links);
    const int strand = *rc::gen::inRange(16, 40);
    nominal.push_back(2 * strand);
    links += strand;
  }
  RealignInputs in{.links = links, .nominal = nominal, .teeth_early = {0}};
  for (int j = 0; j < count; ++j) in.names.push_back("s" + std::to_string(j));
  for (int j = 1; j < count; ++j) {
    in.teeth_early.push_back(*rc::gen::inRange(-3, 4));
    under_mark[static_cast<std::size_t>(j)] += in.teeth_early.back();
  }
  const auto plan = realign(in);
  RC_ASSERT(plan.has_value());
  const auto walked = [&](std::size_t from) {
    const int end = under_mark[(from + 1) % under_mark.size()];
    int steps = 0;
    for (int at = under_mark[from]; (at - end) % links != 0 || steps == 0; ++at) ++steps;
    return 2 * steps;
  };
  for (const SprocketMove& move : plan->moves) {
    under_mark[move.sprocket] += move.teeth;
    for (std::size_t i = 0; i < under_mark.size(); ++i)
      RC_ASSERT(walked(i) == move.strands_after[i]);
  }
  for (std::size_t i = 0; i < under_mark.size(); ++i) RC_ASSERT(walked(i) == nominal[i]);
  RC_ASSERT(plan->moves.size() + plan->stay.size() == in.names.size());
  // Whatever stays must have had one error; the largest such group is the smallest set of moves.
  long most = 0;
  for (const int error : in.teeth_early)
    most = std::max(most, std::count(in.teeth_early.begin(), in.teeth_early.end(), error));
  RC_ASSERT(std::ssize(plan->stay) == most);
}

}  // namespace
}  // namespace tautmark
