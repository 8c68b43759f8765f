// SPDX-License-Identifier: Apache-2.0
#include "judge/tightening.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace tautmark {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::StartsWith;

Written<Torque> torque(std::string text) {
  return {Torque::from_si(read_quantity(text, Kind::torque)->si), std::move(text)};
}

Fastener phaser_bolt() {
  Fastener bolt;
  bolt.name = "phaser bolt";
  bolt.thread = "M12x1.25";
  bolt.strength_class = "10.9";
  bolt.condition = "threads oiled";
  bolt.single_use = true;
  bolt.count = 2;
  bolt.steps = {{.torque = torque("35 N·m"), .angle = std::nullopt},
                {.torque = std::nullopt, .angle = Written<Angle>{deg(75), "75 deg"}}};
  return bolt;
}

// trade.md 6.A: 35 N·m is 25.8 lbf·ft; 12 N·m is 106 lbf·in. Converted figures are cut.
TEST(TorqueSpelled, NamesEveryUnitAndNeverAsksForMore) {
  EXPECT_EQ(torque_spelled(torque("35 N·m")), "35 N·m (25.8 lbf·ft, 309 lbf·in)");
  EXPECT_EQ(torque_spelled(torque("12 N·m")), "12 N·m (8.85 lbf·ft, 106 lbf·in)");
  EXPECT_EQ(torque_spelled(torque("106 lbf·in")), "106 lbf·in (11.9 N·m, 8.83 lbf·ft)");
}

TEST(FastenerCard, StretchBolt) {
  const FastenerCard card = fastener_card(phaser_bolt(), {});
  ASSERT_EQ(card.steps.size(), 2U);
  EXPECT_EQ(card.steps[0].wrench, "");
  EXPECT_THAT(card.steps[1].target, HasSubstr("75 deg further"));
  EXPECT_TRUE(card.take_new);
  EXPECT_THAT(card.clamp_load, HasSubstr("friction 0.08 to 0.16"));
  EXPECT_THAT(card.cautions, Contains(HasSubstr("new bolt, from the first step on")));
  EXPECT_THAT(card.asks, IsEmpty());
}

TEST(FastenerCard, WhatIsNotKnownIsAskedAndNothingIsOffered) {
  Fastener bare;
  bare.name = "guide bolt";
  const FastenerCard card = fastener_card(bare, {});
  EXPECT_TRUE(card.steps.empty());
  EXPECT_TRUE(card.take_new);
  EXPECT_THAT(card.use, HasSubstr("treated as used once"));
  EXPECT_EQ(card.clamp_load, "");
  EXPECT_THAT(card.asks, Contains(HasSubstr("follow the engine maker")));
  EXPECT_THAT(card.asks, Contains(HasSubstr("oiled or dry")));
  Fastener loose = phaser_bolt();
  loose.condition = "threadlocker";
  EXPECT_THAT(fastener_card(loose, {}).clamp_load, HasSubstr("no clamp load shown"));
}

// trade.md 2.7: 12 N·m set as 106 lbf·ft would be 144 N·m. No other torque is shown.
TEST(FastenerCard, CatchesTheFactorOfTwelve) {
  Fastener cap;
  cap.name = "cap bolts";
  cap.thread = "M6";
  cap.steps = {{.torque = torque("106 lbf·ft"), .angle = std::nullopt}};
  EXPECT_THAT(fastener_card(cap, {}).asks,
              Contains(AllOf(HasSubstr("check the sheet: 106 lbf·ft is more than the bolt bears"),
                             HasSubstr("lbf·in"))));
  cap.steps[0].torque = torque("106 lbf·in");
  EXPECT_THAT(fastener_card(cap, {}).asks, Not(Contains(HasSubstr("check the sheet"))));
}

TEST(FastenerCard, TakesTheWrenchThatFits) {
  Instrument large, small, caliper;
  large.name = "40 to 200";
  large.range = WrittenAnyRange{*read_interval("40..200 N·m", Kind::torque), "40..200 N·m"};
  small.name = "5 to 25";
  small.range = WrittenAnyRange{*read_interval("5..25 N·m", Kind::torque), "5..25 N·m"};
  caliper.name = "caliper";
  const Instrument all[] = {large, small, caliper};
  const auto wrenches = torque_wrenches(all);
  ASSERT_EQ(wrenches.size(), 2U);
  Fastener cap;
  cap.name = "cap bolts";
  cap.steps = {{.torque = torque("12 N·m"), .angle = std::nullopt}};
  const FastenerCard card = fastener_card(cap, wrenches);
  EXPECT_THAT(card.steps[0].wrench, StartsWith("take 5 to 25"));
  EXPECT_THAT(card.steps[0].no_wrench, ElementsAre(HasSubstr("40 to 200: too large")));
  const FastenerCard none = fastener_card(cap, std::span(wrenches).first(1));
  EXPECT_THAT(none.steps[0].wrench, HasSubstr("no wrench of the list fits"));
}

TEST(FastenerCard, DrawsTheOrderWhereThePatternIsNamed) {
  Fastener caps = phaser_bolt();
  caps.count = 6;
  caps.pattern = BoltPattern::two_rows;
  EXPECT_THAT(fastener_card(caps, {}).order, HasSubstr("2, 5, 4, 1, 3, 6"));
  caps.order = {6, 5, 4, 3, 2, 1};
  EXPECT_EQ(fastener_card(caps, {}).order, "maker's order: 6, 5, 4, 3, 2, 1");
  caps.order.clear();
  caps.pattern.reset();
  EXPECT_EQ(fastener_card(caps, {}).order, "");
}

}  // namespace
}  // namespace tautmark
