// SPDX-License-Identifier: Apache-2.0
#include "judge/on_engine.h"

#include <gmock/gmock.h>

#include <cmath>

#include "judge/way_test_support.h"

namespace tautmark {
namespace {

using test::intake_valves;
using test::way_loaded;
using test::way_of;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

TEST(OnEngine, TheSmallestGapOfTheCylindersCounts) {
  const LoadedCase loaded = way_loaded(
      {.before = "  - {kind: valve gap, id: g1, place: bank 1 / intake camshaft, cylinder: 1, gap: "
                 "4.9 ± 0.1 mm}\n"
                 "  - {kind: valve gap, id: g2, place: bank 1 / intake camshaft, cylinder: 2, gap: "
                 "4.7 ± 0.2 mm}\n"});
  const auto valves = valves_of(loaded.drives[0], &loaded.value);
  EXPECT_EQ(valves[0].gap_from, "g2");
  EXPECT_NEAR(in_mm(*valves[0].inputs.gap_shut), 4.7, 1e-9);
  EXPECT_NEAR(in_mm(*valves[0].inputs.uncertainty.measured_gap), 0.3291, 1e-9);
  // The way to the other valve is still that of the definition.
  EXPECT_NEAR(in_mm(*valves[0].inputs.other->uncertainty), 0.03 * 3.291, 1e-9);
  EXPECT_EQ(valves[1].gap_from, "");
  EXPECT_THAT(valves[0].not_proven, IsEmpty());
}

TEST(OnEngine, AGapWithoutUncertaintyIsNotUsedAndSaid) {
  const LoadedCase loaded = way_loaded(
      {.before = "  - {kind: valve gap, id: g1, place: bank 1 / intake camshaft, gap: 6.0 mm}\n"});
  const auto valves = valves_of(loaded.drives[0], &loaded.value);
  EXPECT_NEAR(in_mm(*valves[0].inputs.gap_shut), 5.041, 1e-9);
  EXPECT_THAT(valves[0].not_proven, ElementsAre(HasSubstr("g1")));
  EXPECT_FALSE(way_of(loaded).may());
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
        {.before = "  - {kind: indicator, id: i1, place: bank 1 / intake camshaft, cylinder: 1, "
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
  const LoadedCase bad = loaded_with("");
  EXPECT_THAT(valves_of(bad.drives[0], &bad.value)[0].not_proven,
              ElementsAre(HasSubstr("i1: a measured lift is not used")));
  EXPECT_FALSE(way_of(bad).may());
}

}  // namespace
}  // namespace tautmark
