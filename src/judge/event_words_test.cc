// SPDX-License-Identifier: Apache-2.0
#include "judge/event_words.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "drive/load.h"

namespace tautmark {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

Drive quellmere() {
  auto loaded = load_drive("quellmere-i4-16", {{std::string(TAUTMARK_SOURCE_DIR) + "/drives"}});
  EXPECT_TRUE(loaded);
  return loaded->drive;
}
const Valves& valves(const Drive& drive, std::size_t camshaft) {
  return drive.banks[0].camshafts[camshaft].valves[0];
}

// Source: trade.md 6.B: the intake's lift is 6.00 mm at 70.1 and 173.9 after the top.
TEST(EventWords, OfTheTradeAtSixMillimeters) {
  const Drive drive = quellmere();
  const auto span = events_of(valves(drive, 0), {}, mm(6));
  ASSERT_TRUE(span);
  EXPECT_NEAR(in_crank_deg(span->opens), 430.1, 0.051);
  EXPECT_NEAR(in_crank_deg(span->closes), 533.9, 0.051);
  EXPECT_EQ(event_words(*span),
            "opens 70.1° after top dead center, closes 6.1° before bottom dead center");
}

// Closed form of the harmonic law (geometry.md 6.1): h cos²(π x / B) is L at
// x = B/π acos(√(L/h)); center lines of trade.md 6.B, 122.0 after and 113.0 before the top.
TEST(EventWords, OverlapAndSeparationOfTheDefinition) {
  const Drive drive = quellmere();
  const auto half = [&](std::size_t camshaft) {
    const Lobe& lobe = *valves(drive, camshaft).lobe;
    return in_crank_deg(lobe.duration->value) / std::numbers::pi *
           std::acos(std::sqrt(1 / in_mm(lobe.lift->value)));
  };
  const double intake_opens = half(0) - 122, exhaust_closes = half(1) - 113;
  const auto intake = events_of(valves(drive, 0)), exhaust = events_of(valves(drive, 1));
  ASSERT_TRUE(intake && exhaust);
  EXPECT_NEAR(360 - in_crank_deg(intake->opens), intake_opens, 1e-6);
  EXPECT_NEAR(in_crank_deg(exhaust->closes) - 360, exhaust_closes, 1e-6);
  const double overlap = intake_opens + exhaust_closes;
  const std::string expected = overlap < 0
                                   ? fmt::format("no overlap: {:.1f}° between them", -overlap)
                                   : fmt::format("overlap {:.1f}°", overlap);
  EXPECT_EQ(overlap_words(*intake, *exhaust), expected + ", lobe separation 117.5° cam");
  EXPECT_EQ(overlap_words(*exhaust, *intake), overlap_words(*intake, *exhaust));
  EXPECT_THAT(definition_events(drive),
              ElementsAre(HasSubstr("intake valves: opens"), HasSubstr("exhaust valves: opens"),
                          "bank 1: " + overlap_words(*intake, *exhaust)));
}

TEST(EventWords, AnEarlyCamshaftDoesAllOfItEarly) {
  const Drive drive = quellmere();
  const auto right = events_of(valves(drive, 0)), early = events_of(valves(drive, 0), crank_deg(5));
  EXPECT_NEAR(in_crank_deg(right->opens - early->opens), 5, 1e-9);
  EXPECT_NEAR(in_crank_deg(right->closes - early->closes), 5, 1e-9);
}

TEST(EventWords, NothingFromNothing) {
  Drive drive = quellmere();
  EXPECT_FALSE(events_of(valves(drive, 0), {}, mm(20)));
  const auto intake = events_of(valves(drive, 0));
  EXPECT_THAT(overlap_words(*intake, *intake), IsEmpty());
  EXPECT_THAT(event_words({crank_deg(100), crank_deg(260)}), IsEmpty());  // center at a bottom
  for (Camshaft& camshaft : drive.banks[0].camshafts) camshaft.valves[0].lobe.reset();
  EXPECT_THAT(definition_events(drive), IsEmpty());
}

}  // namespace
}  // namespace tautmark
