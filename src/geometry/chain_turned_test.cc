// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

#include "geometry/assembly.h"
#include "geometry/paper_loop.h"

namespace tautmark {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::Field;

RC_GTEST_PROP(ChainTurned, IsWhatSteppingToothByToothGives, ()) {
  const test::PaperLoop loop = test::random_loop();
  ChainTurnedInputs in{.links = loop.links, .teeth = loop.teeth};
  for (std::size_t j = 0; j < loop.teeth.size(); ++j) in.nominal.push_back(2 * loop.walked(j));
  // Where each marked link is now; a place of the path is the link that lay there at the start.
  std::vector<int> at = loop.under_mark;
  std::vector<int> turned(loop.teeth.size(), 0);  // of each sprocket, in teeth
  const int steps = *rc::gen::inRange(1, 300);
  for (int step = 1; step <= steps; ++step) {
    for (int& place : at) place = (place + 1) % loop.links;
    for (std::size_t j = 0; j < turned.size(); ++j) turned[j] = (turned[j] + 1) % loop.teeth[j];
    in.teeth_passed = step;
    const auto result = chain_turned(in);
    RC_ASSERT(result.has_value());
    for (std::size_t j = 0; j < at.size(); ++j) {
      const LinkPlace& place = result->links[j];
      RC_ASSERT(place.mark == j);
      RC_ASSERT((loop.under_mark[place.past] + place.half_pitches / 2) % loop.links == at[j]);
      RC_ASSERT(place.half_pitches < in.nominal[place.past]);
    }
    const bool marks = std::count(turned.begin(), turned.end(), 0) == std::ssize(turned);
    RC_ASSERT(result->sprocket_marks_back == marks);
    RC_ASSERT(result->links_back == (marks && at == loop.under_mark));
  }
  // Turning back the same way leads to the start.
  in.teeth_passed = -steps;
  const auto back = chain_turned(in);
  RC_ASSERT(back.has_value());
  for (std::size_t j = 0; j < at.size(); ++j) {
    const LinkPlace& place = back->links[j];
    RC_ASSERT((loop.under_mark[place.past] + place.half_pitches / 2 + steps) % loop.links ==
              loop.under_mark[j] % loop.links);
  }
}

// geometry.md CHECK 4.5 and trade.md 7 question 2: turns until crank and cam marks and links are
// back; found here by stepping turn by turn as well.
TEST(ChainTurned, ReturnsAfterTheTurnsOfTheNotes) {
  const struct {
    int links, crank, cam;
    long long turns;
  } kRows[] = {{174, 18, 36, 58}, {106, 20, 40, 106}, {126, 20, 40, 126}, {110, 20, 40, 22},
               {120, 20, 40, 6},  {124, 21, 42, 124}, {100, 23, 46, 100}, {138, 19, 38, 138}};
  for (const auto& row : kRows) {
    ChainTurnedInputs in{
        .links = row.links, .teeth = {row.crank, row.cam}, .nominal = {row.links, row.links}};
    EXPECT_EQ(chain_turned(in)->turns_all, row.turns);
    EXPECT_EQ(chain_turned(in)->turns_sprocket_marks, 2);
    long long turns = 0;
    do {
      ++turns;
      in.teeth_passed = turns * row.crank;
      ASSERT_EQ(chain_turned(in)->sprocket_marks_back, turns % 2 == 0);
    } while (!chain_turned(in)->links_back);
    EXPECT_EQ(turns, row.turns);
  }
}

// After the two turns by hand: 38 links have passed; the marks stand, the links do not.
TEST(ChainTurned, SaysWhatToExpectAfterTwoTurnsByHand) {
  const auto turned = chain_turned(
      {.links = 138, .teeth = {19, 38, 38}, .nominal = {122, 32, 122}, .teeth_passed = 38});
  ASSERT_TRUE(turned);
  EXPECT_TRUE(turned->sprocket_marks_back);
  EXPECT_FALSE(turned->links_back);
  const auto place = [](std::size_t past, int half) {
    return AllOf(Field(&LinkPlace::past, past), Field(&LinkPlace::half_pitches, half));
  };
  // 0 + 38 of 61; 61 + 38 = 99 = 77 + 22 of 61; 77 + 38 = 115 = 77 + 38.
  EXPECT_THAT(turned->links, ElementsAre(place(0, 76), place(2, 44), place(2, 76)));
}

}  // namespace
}  // namespace tautmark
