// SPDX-License-Identifier: Apache-2.0
#include "oil/shear.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace tautmark::oil {
namespace {

constexpr ShearThinning kOil{
    .low_shear = mPa_s(3.9), .plateau = mPa_s(2.3), .critical = 1e6, .exponent = 1};

ShearThinning with_exponent(double exponent) {
  ShearThinning oil = kOil;
  oil.exponent = exponent;
  return oil;
}

// Source: oil.md 1.6, own values.
TEST(Cross, OfTheReferenceNote) {
  const ShearThinning oil = with_exponent(0.8);
  EXPECT_NEAR(in_mPa_s(cross(oil, 1e6)->viscosity), 3.1, 1e-12);
  EXPECT_NEAR(in_mPa_s(cross(oil, 1e5)->viscosity), 3.68110897823, 3.7e-6);
  EXPECT_NEAR(in_mPa_s(cross(oil, 0)->viscosity), 3.9, 1e-12);
}

TEST(Carreau, OfTheReferenceNote) {
  const ShearThinning oil = with_exponent(0.6);
  EXPECT_NEAR(in_mPa_s(carreau(oil, 1e6)->viscosity), 3.69288090127, 3.7e-6);
  EXPECT_NEAR(in_mPa_s(carreau(oil, 1e5)->viscosity), 3.89681906032, 3.9e-6);
  EXPECT_NEAR(in_mPa_s(carreau(oil, 0)->viscosity), 3.9, 1e-12);
}

// Source: oil.md 1.6: cam journal r = 14 mm, c = 25 um, 325 1/min: 1.906e4 1/s.
TEST(JournalShearRate, OfTheReferenceNote) {
  EXPECT_NEAR(journal_shear_rate(mm(14), mm(0.025), per_min(325)), 1.906e4, 5);
}

TEST(Shear, WarnsWhereNobodyMeasured) {
  EXPECT_THAT(cross(with_exponent(0.8), 1e6)->warnings, testing::IsEmpty());
  EXPECT_THAT(cross(with_exponent(0.8), 1.1e6)->warnings, testing::SizeIs(1));
  EXPECT_THAT(carreau(with_exponent(0.6), 1.1e6)->warnings, testing::SizeIs(1));
}

TEST(Shear, RefusesWhatIsNoOil) {
  EXPECT_FALSE(cross(with_exponent(0), 1e5));
  EXPECT_FALSE(cross(with_exponent(NAN), 1e5));
  EXPECT_FALSE(carreau(with_exponent(1.1), 1e5));
  EXPECT_FALSE(cross(kOil, -1));
  EXPECT_FALSE(cross(kOil, INFINITY));
  ShearThinning bad = kOil;
  bad.plateau = mPa_s(4);
  EXPECT_FALSE(cross(bad, 1e5));
  bad = kOil;
  bad.plateau = {};
  EXPECT_FALSE(carreau(bad, 1e5));
  bad = kOil;
  bad.critical = 0;
  EXPECT_FALSE(carreau(bad, 1e5));
}

TEST(ViscositySeen, SaysSomethingElseForEachFilm) {
  EXPECT_NE(viscosity_seen(OilFilm::pressure_fed_clearance),
            viscosity_seen(OilFilm::crank_bearing_fast));
  EXPECT_THAT(std::string(viscosity_seen(OilFilm::pressure_fed_clearance)),
              testing::HasSubstr("low-shear"));
  EXPECT_THAT(std::string(viscosity_seen(OilFilm::orifice)), testing::HasSubstr("density"));
}

RC_GTEST_PROP(ShearProperty, FallsFromOneViscosityTowardTheOther, ()) {
  ShearThinning oil;
  oil.plateau = mPa_s(*rc::gen::inRange(10, 100) * 0.1);
  oil.low_shear = oil.plateau * (1.01 + *rc::gen::inRange(0, 300) * 0.01);
  oil.critical = std::pow(10, *rc::gen::inRange(30, 80) * 0.1);
  const double rate = std::pow(10, *rc::gen::inRange(0, 70) * 0.1);
  const double more = rate * (1.5 + *rc::gen::inRange(0, 100) * 0.1);
  oil.exponent = *rc::gen::inRange(20, 96) * 0.01;
  for (const auto model : {&cross, &carreau}) {
    const auto slow = model(oil, rate), fast = model(oil, more), still = model(oil, 0);
    RC_ASSERT(slow.has_value() && fast.has_value() && still.has_value());
    RC_ASSERT(std::abs(still->viscosity / oil.low_shear - 1) < 1e-12);
    RC_ASSERT(fast->viscosity <= slow->viscosity && slow->viscosity <= oil.low_shear);
    RC_ASSERT(fast->viscosity >= oil.plateau);
  }
}

}  // namespace
}  // namespace tautmark::oil
