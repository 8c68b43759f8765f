// SPDX-License-Identifier: Apache-2.0
#include "oil/hot_clearance.h"

#include <gtest/gtest.h>

#include <cmath>

#include "oil/network_test_support.h"

namespace tautmark::oil {
namespace {

using test::um;

ColdClearance aluminum_on_steel(double share) {
  return {.radial = um(20),
          .diameter = mm(32),
          .cold = degC(20),
          .hot = degC(100),
          .bore = expansion_of(Material::aluminum),
          .journal = expansion_of(Material::steel),
          .share = share};
}

// oil.md 2.1 [own]: d 32 mm, 22e-6 against 11.5e-6, 80 K.
TEST(HotClearance, IsTheOneOfFreeGrowth) {
  const auto hot = hot_clearance(aluminum_on_steel(1));
  ASSERT_TRUE(hot) << hot.error().why;
  EXPECT_NEAR(hot->growth.si() / 13.44e-6, 1, 1e-9);
  EXPECT_NEAR(hot->radial.si() / 3.344e-05, 1, 1e-9);
  EXPECT_NEAR(hot->leakage / 4.674216448, 1, 1e-9);
}

TEST(HotClearance, StaysWhereNothingGrows) {
  EXPECT_EQ(hot_clearance(aluminum_on_steel(0))->radial, um(20));
  ColdClearance matched = aluminum_on_steel(1);
  matched.journal = matched.bore;
  EXPECT_EQ(hot_clearance(matched)->leakage, 1);
}

TEST(HotClearance, CarriesWhatIsUncertain) {
  ColdClearance in = aluminum_on_steel(0.5);
  in.radial_u = um(2);
  in.bore.u = in.journal.u = {};
  const auto hot = *hot_clearance(in);
  // Anything from nothing to all of 13.44 µm: that by √12.
  EXPECT_NEAR(hot.u.si(), 1e-6 * std::hypot(2, 13.44 / std::sqrt(12)), 1e-12);
  EXPECT_NEAR(hot.radial.si(), 26.72e-6, 1e-12);
  // ±1e-6 1/K each of aluminum, ±0.5e-6 of steel, rectangular; half of the growth.
  const double materials = 0.5 * 16e-3 * 80 * std::hypot(1e-6, 0.5e-6) / std::sqrt(3);
  ColdClearance only = aluminum_on_steel(0.5);
  only.share_u = 0;
  EXPECT_NEAR(hot_clearance(only)->u.si() / materials, 1, 1e-9);
}

TEST(HotClearance, RefusesWhatSeizes) {
  ColdClearance in = aluminum_on_steel(1);
  in.bore = expansion_of(Material::cast_iron);
  in.journal = expansion_of(Material::aluminum);
  in.hot = degC(150);
  const auto hot = hot_clearance(in);
  ASSERT_FALSE(hot);
  EXPECT_NE(hot.error().why.find("seize"), std::string::npos);
  for (const double share : {-0.1, 1.1, std::nan("")})
    EXPECT_FALSE(hot_clearance(aluminum_on_steel(share)));
  in = aluminum_on_steel(1);
  in.radial_u = um(-1);
  EXPECT_FALSE(hot_clearance(in));
  in = aluminum_on_steel(1);
  in.radial = um(0);
  EXPECT_FALSE(hot_clearance(in));
  in = aluminum_on_steel(1);
  in.hot = Temperature::from_si(std::nan(""));
  EXPECT_FALSE(hot_clearance(in));
}

// oil.md 8: aluminum 21 to 23, steel 11 to 12, cast iron 10 to 11 ppm/K.
TEST(HotClearance, KnowsThreeMaterials) {
  EXPECT_NEAR(expansion_of(Material::aluminum).middle.si(), 22e-6, 1e-12);
  EXPECT_NEAR(expansion_of(Material::steel).middle.si(), 11.5e-6, 1e-12);
  EXPECT_NEAR(expansion_of(Material::cast_iron).middle.si(), 10.5e-6, 1e-12);
}

}  // namespace
}  // namespace tautmark::oil
