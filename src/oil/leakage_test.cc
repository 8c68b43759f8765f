// SPDX-License-Identifier: Apache-2.0
// Values of oil.md 2.1 and 2.2, [own] computed there from the inputs shown, [pub] printed in
// Massey and Ward-Smith, Mechanics of Fluids, chapter 6.
#include "oil/leakage.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

#include "oil/network_test_support.h"

namespace tautmark::oil {
namespace {

using std::numbers::pi;
using test::um;

constexpr double kMu = 8.626791e-3;  // 5W-30 at 100 °C, Pa·s

void expect_parts(double value, double expected, double part = 1e-6) {
  EXPECT_NEAR(value / expected, 1, part) << value << " for " << expected;
}

TEST(Leakage, OfALandIsThatOfTheAnnulus) {
  const double q = *annular_land({mm(28), um(25), mm(6)}) / kMu * 1e5;
  expect_parts(q, 2.21282035159e-07);  // [own]
  expect_parts(q * 60e3, 0.0132769221);
  const double triple = *annular_land({mm(28), um(75), mm(6)}) / kMu * 1e5;
  expect_parts(triple, 5.97461494929e-06);  // [own]
  expect_parts(triple * 60e3, 0.358476897);
  expect_parts(triple / q, 27, 1e-12);
}

// The exact law of a concentric annulus, with logarithm, of inner radius 14 mm: the mean diameter
// is the one to take.
TEST(Leakage, TakesTheMeanDiameter) {
  const double inner = 14e-3, outer = inner + 25e-6;
  const double squares = outer * outer - inner * inner;
  const double exact = pi / 8 / 6e-3 / kMu * 1e5 *
                       (std::pow(outer, 4) - std::pow(inner, 4) -
                        squares * squares / std::log1p((outer - inner) / inner));
  EXPECT_NEAR(exact / 2.21479617e-7, 1, 2e-5);  // [own]; cancels, which is why nobody uses it
  const double q = *annular_land({Length::from_si(inner + outer), um(25), mm(6)}) / kMu * 1e5;
  expect_parts(q, 2.21479608e-7, 2e-9);  // [own]
}

TEST(Leakage, GrowsWithEccentricity) {
  // [own]
  constexpr double kFactors[][2] = {{0, 1}, {0.5, 1.375}, {0.7, 1.735}, {0.9, 2.215}, {1, 2.5}};
  for (const auto& [eccentricity, factor] : kFactors) {
    expect_parts(eccentric_factor(eccentricity), factor, 1e-12);
    expect_parts(*annular_land({mm(28), um(25), mm(6), eccentricity}) /
                     *annular_land({mm(28), um(25), mm(6)}),
                 factor, 1e-12);
  }
}

TEST(Leakage, OfAWornBoreGoesWithTheMeanOfCubes) {
  constexpr int kPlaces = 72;
  std::vector<Length> eccentric, worn;
  for (int i = 0; i < kPlaces; ++i) {
    eccentric.push_back(um(25) * (1 + 0.7 * std::cos(2 * pi * i / kPlaces)));
    worn.push_back(um(i < kPlaces / 2 ? 75 : 25));  // one cap, half around
  }
  expect_parts(*worn_land(mm(28), eccentric, mm(6)), *annular_land({mm(28), um(25), mm(6), 0.7}),
               1e-12);
  // (27 + 1) / 2 times, where the mean clearance would say 8 times.
  expect_parts(*worn_land(mm(28), worn, mm(6)) / *annular_land({mm(28), um(25), mm(6)}), 14, 1e-12);
  EXPECT_FALSE(worn_land(mm(28), std::vector<Length>(3, um(20)), mm(6)));
  EXPECT_FALSE(worn_land(mm(28), std::vector<Length>(8), mm(6)));
  EXPECT_FALSE(worn_land(mm(28), std::vector<Length>{um(20), um(20), um(-1), um(20)}, mm(6)));
  EXPECT_FALSE(worn_land(mm(28), std::vector<Length>{um(20), um(20), mm(2), um(20)}, mm(6)));
}

TEST(Leakage, OfAGroovedBearingIsTwoLands) {
  const AnnularLand land{mm(52), um(25), mm(8), 0.7};
  const double q = *grooved_bearing(land) / kMu * 1.4e5;
  expect_parts(q, 1.4973048909e-06);  // [own]
  expect_parts(q, 2 * *annular_land(land) / kMu * 1.4e5, 1e-12);
  // The classic form: π p r c³ (1 + 1.5 ε²) / (3 μ l').
  expect_parts(q, pi * 1.4e5 * 26e-3 * std::pow(25e-6, 3) * 1.735 / (3 * kMu * 8e-3), 1e-12);
  // In inches, reyn and psi: only ratios have units.
  constexpr double kInch = 25.4;
  const double conductance =
      *grooved_bearing({mm(2 * 0.875 * kInch), mm(0.0015 * kInch), mm(0.875 * kInch), 0.9});
  expect_parts(conductance / std::pow(kInch * 1e-3, 3) * 30 / 1.38e-6, 0.170183830);  // [own]
}

TEST(Leakage, OfASlotBetweenPorts) {
  const PlaneSlot slot{mm(20), um(25), mm(5)};
  const double q = *plane_slot(slot) / kMu * 0.8e5;
  expect_parts(q, 4.82991493206e-08);  // [own]
  expect_parts(*plane_slot({mm(20), um(50), mm(5)}) / *plane_slot(slot), 8, 1e-12);
  // Axial play shortens the land.
  expect_parts(*plane_slot({mm(20), um(25), mm(5), mm(1)}) / *plane_slot(slot), 1.25, 1e-12);
}

TEST(Leakage, IsDraggedByAMovingWall) {
  // 1e5 Pa/m over 0.18 mm, 0.5 Pa·s, 5 m/s, for 1 m of width: [pub] 0.00045, [own].
  const PlaneSlot slot{mm(1000), mm(0.18), mm(1000)};
  const double q = *plane_slot(slot) / 0.5 * 1e5 + dragged(slot, 5).si();
  EXPECT_NEAR(q, 0.00045, 5e-6);
  expect_parts(q, 0.0004500972);
  EXPECT_EQ(dragged(slot, -5), -dragged(slot, 5));
}

TEST(Leakage, OfAPairOfPorts) {
  const PortPair pair{mm(3), mm(6), um(60)};
  expect_parts(*port_pair(pair) * 12 / std::pow(60e-6, 3), 2.38549209578);  // [own]
  expect_parts(*port_pair(pair) / 8.6e-3 * 1e5, 4.99289043303e-07);         // [own]
  for (const double distance : {0.0, 2.0, 3.0, 3.1}) {
    const auto refused = port_pair({mm(3), mm(distance), um(60)});
    ASSERT_FALSE(refused) << distance;
    EXPECT_NE(refused.error().why.find("orifice"), std::string::npos);
  }
}

TEST(Leakage, OfARing) {
  const double q = *radial_slot({mm(10), mm(60), mm(1)}) / 0.6 * 15e3;
  EXPECT_NEAR(q, 0.00000731, 5e-9);    // [pub]
  expect_parts(q, 7.30565101777e-06);  // [own]
  EXPECT_FALSE(radial_slot({mm(60), mm(10), mm(1)}));
  EXPECT_FALSE(radial_slot({mm(10), mm(12), mm(1)}));
}

// A workshop magazine's chart of January 2000: 2.5 times the flow from 0.0025 to 0.0035 in; the
// cubic law says 2.744.
TEST(Leakage, GoesWithTheClearanceCubed) {
  constexpr double kTable[][2] = {{1.5, 3.375}, {2, 8}, {2.5, 15.625}, {3, 27}, {1.4, 2.744}};
  const double one = *annular_land({mm(32), um(25), mm(4), 0.7});
  for (const auto& [wider, leakage] : kTable)
    expect_parts(*annular_land({mm(32), um(25 * wider), mm(4), 0.7}) / one, leakage, 1e-12);
  expect_parts(*annular_land({mm(32), radial_from_diametral(um(50)), mm(4), 0.7}), one, 1e-12);
}

TEST(Leakage, KnowsWhereItsLawsEnd) {
  // Three times the clearance of the first land: Re 12.6, 0.9056 m/s [own].
  const LandFlow triple{mm(28), um(75), Flow::from_si(5.97461495e-6), Pressure::from_si(1e5)};
  const auto check = laminar_check(triple, DynamicViscosity::from_si(kMu), kg_per_m3(798.777));
  ASSERT_TRUE(check);
  EXPECT_NEAR(check->reynolds, 12.6, 0.05);
  expect_parts(check->mean_speed, 0.905609050);
  EXPECT_TRUE(check->beyond.empty());

  // Camshaft journal at idle, r 16 mm: 0.0655 [own]; surface speed from oil-checks.yaml.
  LandFlow journal{mm(32), um(30), {}, Pressure::from_si(1e5), 0.544542726622};
  expect_parts(laminar_check(journal, DynamicViscosity::from_si(kMu), kg_per_m3(798.777))->taylor,
               0.0654983149306);

  journal.surface_speed = 400;
  journal.flow = Flow::from_si(1e-3);
  const auto beyond = laminar_check(journal, DynamicViscosity::from_si(1e-3), kg_per_m3(800));
  const std::vector<LaminarLimit> all = {LaminarLimit::turbulent, LaminarLimit::vortices,
                                         LaminarLimit::entrance};
  EXPECT_EQ(beyond->beyond, all);
  for (const LaminarLimit one : all) EXPECT_FALSE(laminar_limit_text(one).empty());

  // Air of 3 bar absolute, some 3.6 kg/m³.
  EXPECT_FALSE(laminar_check(triple, DynamicViscosity::from_si(1.8e-5), kg_per_m3(3.6)));
  EXPECT_FALSE(laminar_check(triple, {}, kg_per_m3(800)));
}

TEST(Leakage, RefusesWhatIsNoSlot) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_FALSE(annular_land({mm(0), um(25), mm(6)}));
  EXPECT_FALSE(annular_land({mm(28), um(0), mm(6)}));
  EXPECT_FALSE(annular_land({mm(28), um(-25), mm(6)}));
  EXPECT_FALSE(annular_land({mm(28), um(25), mm(0)}));
  EXPECT_FALSE(annular_land({mm(28), um(nan), mm(6)}));
  EXPECT_FALSE(annular_land({mm(28), um(25), mm(nan)}));
  EXPECT_FALSE(annular_land({mm(28), mm(15), mm(600)}));
  EXPECT_FALSE(annular_land({mm(28), um(25), mm(6), 1.1}));
  EXPECT_FALSE(annular_land({mm(28), um(25), mm(6), -0.1}));
  EXPECT_FALSE(annular_land({mm(28), um(25), mm(6), nan}));
  EXPECT_FALSE(annular_land({mm(28), um(25), mm(6), 0, mm(-1)}));
  EXPECT_FALSE(annular_land({mm(28), um(25), mm(6), 0, mm(5.95)}));  // 50 µm are left
  EXPECT_FALSE(grooved_bearing({mm(28), um(25), um(75)}));
  EXPECT_TRUE(annular_land({mm(28), um(25), um(76)}));
  EXPECT_FALSE(annular_land({mm(28), um(25), um(75)}));
  EXPECT_FALSE(plane_slot({mm(20), um(25), um(75)}));
  EXPECT_FALSE(plane_slot({mm(0), um(25), mm(5)}));
  EXPECT_FALSE(plane_slot({mm(20), um(0), mm(5)}));
}

}  // namespace
}  // namespace tautmark::oil
