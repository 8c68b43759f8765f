// SPDX-License-Identifier: Apache-2.0
// own: oil.md 5.5, oil-checks.yaml bulk-air; β_oil 1.4 GPa at 2.5 bar absolute.
#include "oil/bulk_modulus.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "oil/test_near.h"

namespace tautmark::oil {
namespace {

constexpr Pressure kOil = kPa(1.4e6);

double with_air(double share, Pressure absolute = kPa(250)) {
  return bulk_modulus(kOil, Ratio::from_si(share), absolute)->si();
}

TEST(BulkModulus, OfTheNote) {
  expect_relative(with_air(0.005), 121584106.252);
  expect_relative(with_air(0.02), 32286749.5007);
  expect_relative(with_air(0.05), 12909088.0342);
  expect_relative(with_air(0), 1.4e9, 1e-12);
}

TEST(BulkModulus, Refuses) {
  EXPECT_FALSE(bulk_modulus(kOil, Ratio::from_si(-0.01), kPa(250)));
  EXPECT_FALSE(bulk_modulus(kOil, Ratio::from_si(1), kPa(250)));
  EXPECT_FALSE(bulk_modulus(kOil, Ratio::from_si(0.02), kPa(0)));
  EXPECT_FALSE(bulk_modulus(kPa(0), Ratio::from_si(0.02), kPa(250)));
}

RC_GTEST_PROP(BulkModulusProperty, FallsWithAirAndGrowsWithPressure, ()) {
  const double share = *rc::gen::inRange(1, 200) * 1e-3;
  const Pressure p = kPa(*rc::gen::inRange(80, 800));
  RC_ASSERT(with_air(share * 1.1, p) < with_air(share, p));
  RC_ASSERT(with_air(share, p * 1.1) > with_air(share, p));
}

}  // namespace
}  // namespace tautmark::oil
