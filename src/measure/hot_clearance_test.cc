// SPDX-License-Identifier: Apache-2.0
// M4.1 to M4.9: own arithmetic with the coefficients of Callister, App. B, Table B.6; bore 25.040
// aluminum 356, journal 24.985 gray iron.
#include "measure/hot_clearance.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace tautmark {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

HotClearanceInputs inputs(double bore_degC, double journal_degC, double journal_ppm = 11.4) {
  return {.bore = mm(25.040),
          .journal = mm(24.985),
          .bore_alpha = ppm_per_K(21.5),
          .journal_alpha = ppm_per_K(journal_ppm),
          .bore_temperature = degC(bore_degC),
          .journal_temperature = degC(journal_degC)};
}

double clearance_um(const HotClearanceInputs& in) {
  return in_mm(hot_clearance(in).value().clearance) * 1e3;
}

TEST(HotClearance, HasTheCheckValuesOfTheNote) {
  EXPECT_NEAR(clearance_um(inputs(20, 20)), 55.000000, 1e-6);         // M4.1
  EXPECT_NEAR(clearance_um(inputs(95, 100)), 72.590680, 1e-6);        // M4.2
  EXPECT_NEAR(clearance_um(inputs(110, 115)), 76.393645, 1e-6);       // M4.3
  EXPECT_NEAR(clearance_um(inputs(0, 0)), 49.929380, 1e-6);           // M4.4
  EXPECT_NEAR(clearance_um(inputs(-20, -20)), 44.858760, 1e-6);       // M4.5
  EXPECT_NEAR(clearance_um(inputs(95, 100, 12.3)), 70.791760, 1e-6);  // M4.6
}

// M4.2, its two parts.
TEST(HotClearance, NamesTheGrowthOfBothParts) {
  const HotClearance hot = hot_clearance(inputs(95, 100)).value();
  EXPECT_NEAR(in_mm(hot.bore_growth) * 1e3, 40.377000, 1e-6);
  EXPECT_NEAR(in_mm(hot.journal_growth) * 1e3, 22.786320, 1e-6);
  EXPECT_NEAR(in_mm(hot.cold_clearance) * 1e3, 55, 1e-6);
}

HotClearanceUncertainty rectangular() {
  HotClearanceUncertainty u;
  u.bore_alpha = u.journal_alpha = Expansion::from_si(rectangular_u(1e-6));
  u.bore_temperature = u.journal_temperature = TemperatureDifference::from_si(rectangular_u(10));
  return u;
}

// M4.7: four independent terms.
TEST(HotClearanceBudget, HasTheCheckValuesOfTheNote) {
  const Budget budget = hot_clearance_budget(inputs(95, 100), rectangular()).value();
  const auto part = [&](std::size_t i) {
    return std::abs(budget.terms.at(i).sensitivity) * budget.terms.at(i).u * 1e6;
  };
  EXPECT_NEAR(part(4), 1.084264, 1e-6);
  EXPECT_NEAR(part(2), 3.108223, 1e-6);
  EXPECT_NEAR(part(5), 1.154008, 1e-6);
  EXPECT_NEAR(part(3), 1.644461, 1e-6);
  EXPECT_NEAR(budget.u * 1e6, 3.8565092, 1e-6);
}

// M4.7, remark: a common error of the temperature cancels partly. Closed form for r = 1.
TEST(HotClearanceBudget, CommonTemperatureErrorCancelsPartly) {
  HotClearanceUncertainty u = rectangular();
  u.temperature_correlation = 1;
  const Budget budget = hot_clearance_budget(inputs(95, 100), u).value();
  const double temperature = 3.108223 - 1.644461;
  EXPECT_NEAR(budget.u * 1e6, std::hypot(temperature, std::hypot(1.084264, 1.154008)), 2e-6);
}

// M3.10 through the sizes at 20 °C.
TEST(ClearanceBudget, SharedErrorCancels) {
  EXPECT_NEAR(clearance_budget(mm(2.5e-3), mm(1.5e-3))->u * 1e6, 2.9154759474226504, 1e-8);
  EXPECT_NEAR(clearance_budget(mm(2.5e-3), mm(1.5e-3), 0.5)->u * 1e6, 2.179449472, 1e-8);
  HotClearanceUncertainty u;
  u.bore = mm(2.5e-3);
  u.journal = mm(1.5e-3);
  u.size_correlation = 0.5;
  EXPECT_NEAR(hot_clearance_budget(inputs(20, 20), u)->u * 1e6, 2.179449472, 1e-8);
  EXPECT_FALSE(clearance_budget(mm(-1), mm(1)));
  EXPECT_FALSE(clearance_budget(mm(1), mm(1), 2));
}

EndPlayTemperatures hot() {
  return {.housing_alpha = ppm_per_K(21.5),
          .shaft_alpha = ppm_per_K(11.4),
          .housing_temperature = degC(95),
          .shaft_temperature = degC(100)};
}

// M4.8: collar 6.00 in groove 6.10.
TEST(EndPlay, LocatedAtOneEndHardlyChanges) {
  const EndPlay play = end_play_located_at_one_end(mm(6.10), mm(6.00), hot()).value();
  EXPECT_NEAR(in_mm(play.end_play), 0.10436424999999971, 1e-9);
  EXPECT_NEAR(in_mm(play.cold_end_play), 0.100, 1e-9);
}

// M4.9: both ends, 300 mm.
TEST(EndPlay, LocatedByBothEndsGrowsWithTheLength) {
  const EndPlay play = end_play_located_by_both_ends(mm(300), mm(0.150), hot()).value();
  EXPECT_NEAR(in_mm(play.end_play), 0.36015, 1e-9);
}

TEST(HotClearance, RefusesWhatIsOutsideItsRange) {
  EXPECT_FALSE(hot_clearance(inputs(301, 100)));
  EXPECT_FALSE(hot_clearance(inputs(95, -61)));
  EXPECT_FALSE(hot_clearance(inputs(kNan, 100)));
  EXPECT_FALSE(hot_clearance(inputs(95, 100, 101)));
  HotClearanceInputs in = inputs(95, 100);
  in.bore = mm(0);
  EXPECT_FALSE(hot_clearance(in));
  in.bore = mm(kNan);
  EXPECT_FALSE(hot_clearance(in));
  EXPECT_FALSE(hot_clearance_budget(in, {}));
  HotClearanceUncertainty u = rectangular();
  u.journal = mm(-1);
  EXPECT_FALSE(hot_clearance_budget(inputs(95, 100), u));
  EXPECT_FALSE(end_play_located_at_one_end(mm(0), mm(6), hot()));
  EXPECT_FALSE(end_play_located_by_both_ends(mm(300), mm(kNan), hot()));
  EndPlayTemperatures glowing = hot();
  glowing.shaft_temperature = degC(600);
  EXPECT_FALSE(end_play_located_by_both_ends(mm(300), mm(0.1), glowing));
}

// Interference is an answer.
TEST(HotClearance, MayBeNegative) {
  HotClearanceInputs in = inputs(-40, -40);
  in.journal = mm(25.035);
  EXPECT_LT(hot_clearance(in)->clearance, mm(0));
}

}  // namespace
}  // namespace tautmark
