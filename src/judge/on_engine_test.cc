// SPDX-License-Identifier: Apache-2.0
#include "judge/on_engine.h"

#include <gmock/gmock.h>

#include <cmath>

#include "judge/way_test_support.h"

namespace tautmark {
namespace {

using test::body_of;
using test::intake_valves;
using test::way_loaded;
using test::way_of;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

TEST(OnEngine, TheSmallestGapOfTheCylindersCounts) {
  const LoadedCase loaded =
      way_loaded({.before = "  - {kind: valve gap, id: g1, place: bank 1 / intake camshaft, "
                            "cylinder: 1, how: soft clay, gap: "
                            "4.9 ± 0.1 mm}\n"
                            "  - {kind: valve gap, id: g2, place: bank 1 / intake camshaft, "
                            "cylinder: 2, how: soft clay, gap: "
                            "4.7 ± 0.2 mm}\n"});
  const auto valves = valves_of(loaded.drives[0], &loaded.value);
  EXPECT_EQ(valves[0].gap_from, "g2");
  EXPECT_NEAR(in_mm(*valves[0].inputs.gap_shut), 4.7, 1e-9);
  EXPECT_NEAR(in_mm(*valves[0].inputs.uncertainty.measured_gap), 0.3291, 1e-9);
  // The way to the other valve is still that of the definition, with 0.05 mm (95 %) of its lift.
  EXPECT_NEAR(in_mm(*valves[0].inputs.other->uncertainty), 0.03 * 3.291 + 0.05 * 3.291 / 1.960,
              1e-9);
  EXPECT_EQ(valves[1].gap_from, "");
  EXPECT_THAT(valves[0].not_proven, IsEmpty());
}

TEST(OnEngine, AGapWithoutUncertaintyIsNotUsedAndSaid) {
  LoadedCase loaded = way_loaded(
      {.before = "  - {kind: valve gap, id: g1, place: bank 1 / intake camshaft, how: soft clay, "
                 "gap: 5.0 ± 0.1 mm}\n"});
  ASSERT_EQ(valves_of(loaded.drives[0], &loaded.value)[0].gap_from, "g1");
  body_of<ValveGap>(loaded).gap.value.expanded_si.reset();
  const auto valves = valves_of(loaded.drives[0], &loaded.value);
  EXPECT_NEAR(in_mm(*valves[0].inputs.gap_shut), 5.041, 1e-9);
  EXPECT_THAT(valves[0].not_proven, ElementsAre(HasSubstr("g1")));
  EXPECT_FALSE(way_of(loaded).may());
}

TEST(OnEngine, AGapThatCannotBeOfThisEngineIsNotUsed) {
  const auto refused = [](const std::string& gap, const std::string& why) {
    const LoadedCase loaded = way_loaded(
        {.before = "  - {kind: valve gap, id: g1, place: bank 1 / intake camshaft, gap: " + gap});
    EXPECT_THAT(valves_of(loaded.drives[0], &loaded.value)[0].not_proven, Contains(HasSubstr(why)));
    EXPECT_FALSE(way_of(loaded).may());
  };
  refused("4.9 ± 0.2 mm}\n", "g1: a measured gap without how");
  refused("4.9 ± 0.2 mm, how: soft clay, remark: roughly}\n", "with a remark");
  // 5.3 of the definition, 0.5, and 0.33 + 0.05 of uncertainty.
  refused("6.3 ± 0.2 mm, how: soft clay}\n", "much larger than the definition's");
  refused(
      "4.9 ± 0.2 mm, how: soft clay}\n  - {kind: part, id: p1, part: head gasket, action: "
      "fitted}\n",
      "before p1 was fitted");
}

TEST(OnEngine, ALobeMeasuredHereReplacesAnAssumedOne) {
  std::string table;
  // The harmonic lobe of the definition, 122 deg after gas exchange, every 5 deg, 0.2 mm more.
  for (int at = -5; at <= 250; at += 5) {
    const double u = (at - 122.0) / 125;
    const double lift = std::abs(u) < 1 ? 9.7 * std::pow(std::cos(std::acos(-1) / 2 * u), 2) : 0;
    table += (table.empty() ? "" : ", ") + std::string("{at: ") + std::to_string(at) +
             " deg crank, lift: " + std::to_string(lift) + " mm}";
  }
  const auto loaded_with = [&](const std::string& more) {
    LoadedCase loaded = way_loaded(
        {.intake = "right",
         .exhaust = "1 tooth late",
         .before = "  - {kind: indicator, id: i1, place: bank 1 / intake camshaft, cylinder: 1, "
                   "top: 0.4 deg crank, phaser: locked, phaser_checked_how: lock tool fitted, "
                   "as_lobe: true, instrument: dial indicator, table: [" +
                   table + "]" + more + "}\n"});
    intake_valves(loaded).lobe->source->origin = Origin::common_practice;
    return loaded;
  };
  const LoadedCase good = loaded_with(", forward_only: true");
  const auto valves = valves_of(good.drives[0], &good.value);
  EXPECT_EQ(valves[0].lift_from, "i1");
  EXPECT_FALSE(valves[0].inputs.lift_is_assumed);
  EXPECT_NEAR(in_mm(valves[0].inputs.lift->highest), 9.7, 0.02);
  EXPECT_NEAR(in_crank_deg(valves[0].inputs.lift->nose), 482, 0.5);
  EXPECT_NEAR(in_mm(*valves[0].inputs.uncertainty.lift), 0.01 * 3.291, 1e-9);
  EXPECT_TRUE(way_of(good).may());
  LoadedCase off = good;
  body_of<Standing>(off).camshafts[0].stands = "1 tooth late";
  EXPECT_THAT(valves_of(off.drives[0], &off.value)[0].not_proven,
              Contains(HasSubstr("this camshaft is said to stand off")));
  EXPECT_FALSE(way_of(off).may());
  LoadedCase moved = good;
  for (LiftSeen& seen : body_of<IndicatorReading>(moved).table)
    seen.at.value = seen.at.value + crank_deg(6);
  EXPECT_THAT(valves_of(moved.drives[0], &moved.value)[0].not_proven,
              Contains(HasSubstr("contradict in lift or center")));
  LoadedCase larger = good;
  for (LiftSeen& seen : body_of<IndicatorReading>(larger).table)
    seen.lift.value = seen.lift.value * 1.15;
  EXPECT_FALSE(way_of(larger).may());
  const LoadedCase bad = loaded_with("");
  EXPECT_THAT(valves_of(bad.drives[0], &bad.value)[0].not_proven,
              ElementsAre(HasSubstr("i1: a measured lift is not used")));
  EXPECT_FALSE(way_of(bad).may());
}

}  // namespace
}  // namespace tautmark
