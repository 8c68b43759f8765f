// SPDX-License-Identifier: Apache-2.0
#include "oil/dilution.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "oil/grade.h"

namespace tautmark::oil {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

FuelViscosity fuel_of(double viscosity) {
  const auto nu = mm2_per_s(viscosity);
  return {nu, nu, nu, "test"};
}

ViscosityRange exactly(double viscosity) {
  const auto nu = mm2_per_s(viscosity);
  return {nu, nu, nu};
}

// Source: a published chart of fuel dilution for diesel engines: oil of 160 mm²/s at 40 degC, fuel
// of 3.0: 137 mm²/s at 3 %. The two laws by an independent Python program: 130.53 and 142.01.
TEST(Diluted, HoldsThePublishedChartBetweenItsLaws) {
  const auto thin = diluted(mm2_per_s(160), fuel_of(3), 0.03);
  ASSERT_TRUE(thin) << thin.error().why;
  EXPECT_NEAR(in_mm2_per_s(thin->likely), 130.53401956094785, 1e-6);
  EXPECT_NEAR(in_mm2_per_s(thin->least), 130.53401956094785, 1e-6);
  EXPECT_NEAR(in_mm2_per_s(thin->most), 142.00708765753197, 1e-6);
  EXPECT_LT(in_mm2_per_s(thin->least), 137);
  EXPECT_GT(in_mm2_per_s(thin->most), 137);
}

// The same chart backwards: 137 mm²/s found, 3 % of fuel.
TEST(DilutionThatExplains, HoldsThePublishedChart) {
  const auto why = dilution_that_explains(exactly(160), mm2_per_s(137), {}, fuel_of(3));
  ASSERT_TRUE(why) << why.error().why;
  EXPECT_LT(why->least, 0.03);
  EXPECT_GT(why->most, 0.03);
}

// Source: an oil laboratory's page: 5 % of fuel takes an SAE 30 to SAE 20. Numbers of the law by an
// independent Python program.
TEST(Diluted, TakesThirtyToTwenty) {
  const auto gasoline = diluted(mm2_per_s(10.8), gasoline_at_100(), 0.05);
  ASSERT_TRUE(gasoline);
  EXPECT_NEAR(in_mm2_per_s(gasoline->likely), 8.350823188577955, 1e-8);
  EXPECT_NEAR(in_mm2_per_s(gasoline->least), 8.129828605546477, 1e-8);
  EXPECT_NEAR(in_mm2_per_s(gasoline->most), 9.538161973447398, 1e-8);
  const auto diesel = diluted(mm2_per_s(10.8), diesel_at_100(), 0.05);
  ASSERT_TRUE(diesel);
  EXPECT_NEAR(in_mm2_per_s(diesel->likely), 9.131725988338852, 1e-8);
  for (const auto& oil : {*gasoline, *diesel}) {
    const auto grades = possible_grades(oil.likely);
    ASSERT_TRUE(grades);
    ASSERT_THAT(grades->grades, Not(IsEmpty()));
    EXPECT_EQ(grades->grades.back().name, "20");
  }
}

// Source: oil.md 8: -3 to -5 % of viscosity for one percent of fuel; the law lies at that, within a
// tenth of it.
TEST(Diluted, LosesThreeToFivePercentForOne) {
  for (const FuelViscosity& fuel : {gasoline_at_100(), diesel_at_100()}) {
    const auto thin = diluted(mm2_per_s(10.8), fuel, 0.01);
    ASSERT_TRUE(thin);
    const double lost = 1 - thin->likely / mm2_per_s(10.8);
    EXPECT_GT(lost, 0.03);
    EXPECT_LT(lost, 0.055);
  }
}

TEST(Diluted, WithoutFuelIsTheOil) {
  const auto same = diluted(mm2_per_s(10.8), gasoline_at_100(), 0);
  ASSERT_TRUE(same);
  EXPECT_NEAR(in_mm2_per_s(same->likely), 10.8, 1e-9);
  EXPECT_NEAR(in_mm2_per_s(same->most), 10.8, 1e-9);
}

// Source: scipy.optimize.brentq of the law for 9.0 from 10.8: 3.5000 %; ends by the formulas in
// Python.
TEST(DilutionThatExplains, InvertsTheLaw) {
  const auto why = dilution_that_explains(exactly(10.8), mm2_per_s(9), {}, gasoline_at_100());
  ASSERT_TRUE(why);
  EXPECT_NEAR(why->likely, 0.035000065661214295, 1e-9);
  EXPECT_NEAR(why->least, 0.03155011268193759, 1e-9);
  EXPECT_NEAR(why->most, 0.07337159197087324, 1e-9);
  EXPECT_THAT(why->said, HasSubstr("no proof"));
  EXPECT_THAT(why->other_causes, Not(IsEmpty()));
  EXPECT_FALSE(why->beyond_law);
}

TEST(DilutionThatExplains, MayNeedNone) {
  // Any 5W-30 is 9.3 to 12.4: at 10.0 nobody can tell without the fresh oil's own number.
  const ViscosityRange any_30{mm2_per_s(9.3), mm2_per_s(10.8), mm2_per_s(12.4)};
  const auto why = dilution_that_explains(any_30, mm2_per_s(10), mm2_per_s(0.1), gasoline_at_100());
  ASSERT_TRUE(why);
  EXPECT_EQ(why->least, 0);
  EXPECT_GT(why->likely, 0);
  const auto thick =
      dilution_that_explains(any_30, mm2_per_s(13), mm2_per_s(0.1), gasoline_at_100());
  ASSERT_TRUE(thick);
  EXPECT_EQ(thick->most, 0);
  EXPECT_THAT(thick->said, HasSubstr("no fuel is needed"));
  EXPECT_THAT(thick->other_causes, IsEmpty());
  const auto middle = dilution_that_explains(any_30, mm2_per_s(11), {}, gasoline_at_100());
  ASSERT_TRUE(middle);
  EXPECT_EQ(middle->likely, 0);
  EXPECT_THAT(middle->said, HasSubstr("would fit too"));
}

TEST(DilutionThatExplains, SaysWhenFuelAloneCannot) {
  const auto why = dilution_that_explains(exactly(10.8), mm2_per_s(2), {}, diesel_at_100());
  ASSERT_TRUE(why);
  EXPECT_TRUE(why->beyond_law);
  EXPECT_THAT(why->said, HasSubstr("does not explain"));
}

TEST(Dilution, RefusesWhatIsNoBlend) {
  EXPECT_FALSE(diluted(mm2_per_s(10.8), gasoline_at_100(), -0.01));
  EXPECT_FALSE(diluted(mm2_per_s(10.8), gasoline_at_100(), 0.21));
  EXPECT_FALSE(diluted(mm2_per_s(10.8), gasoline_at_100(), NAN));
  EXPECT_FALSE(diluted(mm2_per_s(10.8), fuel_of(0.3), 0.05));
  EXPECT_FALSE(diluted(mm2_per_s(10.8), fuel_of(11), 0.05));
  EXPECT_FALSE(diluted(mm2_per_s(NAN), gasoline_at_100(), 0.05));
  EXPECT_FALSE(diluted(mm2_per_s(INFINITY), gasoline_at_100(), 0.05));
  FuelViscosity turned = gasoline_at_100();
  std::swap(turned.least, turned.most);
  EXPECT_FALSE(diluted(mm2_per_s(10.8), turned, 0.05));
  EXPECT_FALSE(
      dilution_that_explains(exactly(10.8), mm2_per_s(1), mm2_per_s(1), gasoline_at_100()));
  EXPECT_FALSE(
      dilution_that_explains(exactly(10.8), mm2_per_s(9), mm2_per_s(-1), gasoline_at_100()));
}

RC_GTEST_PROP(DilutionProperty, MoreFuelIsThinnerAndTheWayBackFindsIt, ()) {
  const double oil = *rc::gen::inRange(300, 3000) * 0.01;
  const double thin = *rc::gen::inRange(50, 150) * 0.01;
  const double f = *rc::gen::inRange(1, 150) * 1e-3;
  const auto one = diluted(mm2_per_s(oil), fuel_of(thin), f);
  const auto more = diluted(mm2_per_s(oil), fuel_of(thin), f + 0.01);
  RC_ASSERT(one.has_value() && more.has_value());
  RC_ASSERT(more->likely < one->likely);
  RC_ASSERT(one->least <= one->likely && one->likely <= one->most);
  RC_ASSERT(one->most < mm2_per_s(oil));
  const auto back = dilution_that_explains(exactly(oil), one->likely, {}, fuel_of(thin));
  RC_ASSERT(back.has_value());
  RC_ASSERT(back->least <= back->likely && back->likely <= back->most);
  // Z and its way back are a fit of each other: 1e-3 of a viscosity near 1.5.
  RC_ASSERT(std::abs(back->likely - f) < 2e-3);
}

}  // namespace
}  // namespace tautmark::oil
