// SPDX-License-Identifier: Apache-2.0
#include "oil/density.h"

#include <gtest/gtest.h>

#include <cmath>

namespace tautmark::oil {
namespace {

double rho(double at_15, double celsius) {
  const auto value = density_at(kg_per_m3(at_15), degC(celsius));
  EXPECT_TRUE(value) << (value ? "" : value.error().why);
  return value ? value->si() : 0;
}

// Source: oil.md 1.4, own values, relative 1e-8.
TEST(DensityAt, OfTheReferenceNote) {
  EXPECT_NEAR(base_density(kg_per_m3(853))->si(), 852.651262838, 852 * 1e-8);
  EXPECT_NEAR(rho(853, 40), 837.225225031, 837 * 1e-8);
  EXPECT_NEAR(rho(853, 100), 798.776990029, 798 * 1e-8);
  EXPECT_NEAR(rho(853, 150), 766.259058688, 766 * 1e-8);
  EXPECT_NEAR(rho(853, 15), 853, 1e-9);
  EXPECT_NEAR(rho(853, 60 * 5.0 / 9 - 32 * 5.0 / 9), 852.651262838, 852 * 1e-8);
}

// Source: oil.md 1.4: metric shortcut, 0.6278/ρ15 from 15 degC: agrees to 2e-5; rule of thumb
// -0.65 kg/m³ for one K.
TEST(DensityAt, AgreesWithTheMetricShortcut) {
  for (const double t : {40.0, 100.0, 150.0}) {
    const double alpha = 0.6278 / 853, from = t - 15;
    const double shortcut = 853 * std::exp(-alpha * from * (1 + 0.8 * alpha * from));
    EXPECT_NEAR(rho(853, t), shortcut, 853 * 2e-5);
  }
  EXPECT_NEAR((rho(853, 100) - rho(853, 40)) / 60, -0.65, 0.02);
}

TEST(DensityAt, RefusesWhatIsNoOil) {
  EXPECT_FALSE(density_at(kg_per_m3(780), degC(40)));
  EXPECT_FALSE(density_at(kg_per_m3(1200), degC(40)));
  EXPECT_FALSE(density_at(kg_per_m3(0), degC(40)));
  EXPECT_FALSE(density_at(kg_per_m3(NAN), degC(40)));
  EXPECT_FALSE(density_at(kg_per_m3(853), degC(-51)));
  EXPECT_FALSE(density_at(kg_per_m3(853), degC(151)));
  EXPECT_FALSE(density_at(kg_per_m3(853), degC(NAN)));
}

}  // namespace
}  // namespace tautmark::oil
