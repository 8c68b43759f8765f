// SPDX-License-Identifier: Apache-2.0
// Values of oil.md 2.3: [own] computed there by finite differences on another grid, [pub] printed
// in the solutions manual to Shigley's Mechanical Engineering Design, chapter 12, p. 314.
#include "oil/bearing.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "oil/network_test_support.h"

namespace tautmark::oil {
namespace {

using test::um;

void expect_parts(double value, double expected, double part = 1e-6) {
  EXPECT_NEAR(value / expected, 1, part) << value << " for " << expected;
}

TEST(BearingFilm, IsThatOfFiniteDifferences) {
  struct Row {
    double shape, eccentricity, sommerfeld, flow, side, load_by_peak;
  };
  // oil-checks.yaml, reynolds-finite-bearing [own], grid 360 x 61.
  constexpr Row kRows[] = {
      {1, 0.4, 0.260488, 3.987733, 0.498000, 0.482224},
      {1, 0.6, 0.120988, 4.328976, 0.680795, 0.414370},
      {1, 0.8, 0.0445798, 4.615313, 0.844039, 0.319627},
      {0.5, 0.4, 0.785665, 4.288704, 0.550272, 0.442178},
      {0.5, 0.6, 0.319390, 4.852877, 0.729670, 0.366338},
      {0.5, 0.8, 0.0917462, 5.411217, 0.874377, 0.273622},
  };
  for (const Row& row : kRows) {
    const auto film = bearing_film(row.shape, row.eccentricity);
    ASSERT_TRUE(film);
    expect_parts(film->sommerfeld, row.sommerfeld, 2e-3);
    expect_parts(film->flow, row.flow, 2e-3);
    expect_parts(film->side, row.side, 2e-3);
    expect_parts(film->load_by_peak, row.load_by_peak, 2e-3);
  }
}

// Raimondi and Boyd's table for l/d = 1, from memory: ε, S, (r/c) f, Q/(rcNl), Qs/Q.
TEST(BearingFilm, IsThatOfRaimondiAndBoyd) {
  constexpr double kTable[][5] = {
      {0.1, 1.33, 26.4, 3.37, 0.150},     {0.2, 0.631, 12.8, 3.59, 0.280},
      {0.4, 0.264, 5.79, 3.99, 0.497},    {0.6, 0.121, 3.22, 4.33, 0.680},
      {0.8, 0.0446, 1.70, 4.62, 0.842},   {0.9, 0.0188, 1.05, 4.74, 0.919},
      {0.97, 0.00474, 0.514, 4.82, 0.973}};
  for (const auto& row : kTable) {
    SCOPED_TRACE(row[0]);
    const auto film = *bearing_film(1, row[0]);
    expect_parts(film.sommerfeld, row[1], 0.015);
    expect_parts(film.friction, row[2], 0.015);
    expect_parts(film.flow, row[3], 0.015);
    expect_parts(film.side, row[4], 0.015);
  }
}

// A narrow bearing (Ocvirk): S (l/d)² = (1 - ε²)² / (π ε √(π² (1 - ε²) + 16 ε²)).
TEST(BearingFilm, IsThatOfANarrowBearing) {
  for (const double e : {0.2, 0.5}) {
    const double pi = std::numbers::pi;
    const double expected =
        std::pow(1 - e * e, 2) / (pi * e * std::sqrt(pi * pi * (1 - e * e) + 16 * e * e));
    expect_parts(bearing_film(0.1, e)->sommerfeld * 0.01, expected, 0.03);
  }
}

TEST(BearingFilm, RefusesOutsideItsRange) {
  EXPECT_FALSE(bearing_film(0.05, 0.5));
  EXPECT_FALSE(bearing_film(5, 0.5));
  EXPECT_FALSE(bearing_film(1, 0));
  EXPECT_FALSE(bearing_film(1, 0.99));
  EXPECT_FALSE(bearing_film(1, std::nan("")));
}

constexpr double kInch = 25.4;
constexpr double kPsi = 4.4482216152605 / 25.4e-3 / 25.4e-3;

// r 1.25 in, c 0.002 in, l 2.5 in, 1120 1/min, 4.541 µreyn, 1200 lbf.
const JournalBearing kExample{mm(1.25 * kInch), mm(0.002 * kInch), mm(2.5 * kInch), per_min(1120),
                              DynamicViscosity::from_si(4.541e-6 * kPsi)};
constexpr Force kLoad = Force::from_si(1200 * 4.4482216152605);
const double kCubicInch = std::pow(kInch * 1e-3, 3);

TEST(LoadedBearing, HasTheWorkedExamplesNumbers) {
  const double s = sommerfeld(kExample, kLoad);
  expect_parts(s, 0.172455512153);  // [own]
  EXPECT_NEAR(s, 0.1724, 6e-5);     // [pub]
  // As read from the charts: fr/c 4.10, Q/(rcNl) 4.16, Qs/Q 0.60, P/pmax 0.45.
  const BearingFilm chart{s, 4.16, 0.60, 0.45, 4.10};
  const BearingFlow with = with_units(kExample, kLoad, chart);
  expect_parts(with.flow.si() / kCubicInch, 0.485333333333);  // [own], [pub] 0.485
  expect_parts(with.side_flow.si() / kCubicInch, 0.2912);     // [own], [pub] 0.291
  const double inch_pounds = with.friction.si() / (4.4482216152605 * 25.4e-3);
  expect_parts(inch_pounds, 9.84);                     // [own], [pub] 9.84
  expect_parts(inch_pounds / 1200 / 1.25, 0.00656);    // f: [own], [pub] 0.00656
  expect_parts(with.peak.si() / kPsi, 426.666666667);  // [own], [pub] 427
}

// Ours against what was read from the charts, which can be read to some 1 to 3 %.
TEST(LoadedBearing, IsTheWorkedExampleWithoutCharts) {
  const auto found = loaded_bearing(kExample, kLoad);
  ASSERT_TRUE(found) << found.error().why;
  expect_parts(found->sommerfeld, 0.172455512153);
  EXPECT_NEAR(1 - found->eccentricity, 0.482, 0.015);
  expect_parts(found->flow.si() / kCubicInch, 0.485, 0.02);
  expect_parts(found->side_flow.si() / kCubicInch, 0.291, 0.02);
  expect_parts(found->friction.si() / (4.4482216152605 * 25.4e-3), 9.84, 0.03);
  expect_parts(found->peak.si() / kPsi, 427, 0.02);
  expect_parts(found->least_film / kExample.radial_clearance, 0.482, 0.03);
  // oil.md at ε 0.518 [own]: S 0.1669, Q 4.196, Qs/Q 0.609, P/pmax 0.445.
  const auto film = *bearing_film(1, 0.518);
  EXPECT_NEAR(film.sommerfeld, 0.1669, 2e-4);
  EXPECT_NEAR(film.flow, 4.196, 2e-3);
  EXPECT_NEAR(film.side, 0.609, 1e-3);
  EXPECT_NEAR(film.load_by_peak, 0.445, 1e-3);
}

TEST(LoadedBearing, RefusesWhatItCannot) {
  EXPECT_FALSE(loaded_bearing(kExample, Force::from_si(1)));
  EXPECT_FALSE(loaded_bearing(kExample, Force::from_si(1e9)));
  EXPECT_FALSE(loaded_bearing(kExample, Force::from_si(-5)));
  for (int i = 0; i < 5; ++i) {
    JournalBearing bad = kExample;
    if (i == 0) bad.radius = {};
    if (i == 1) bad.radial_clearance = {};
    if (i == 2) bad.length = {};
    if (i == 3) bad.speed = {};
    if (i == 4) bad.viscosity = {};
    EXPECT_FALSE(loaded_bearing(bad, kLoad)) << i;
    EXPECT_FALSE(petroff_torque(bad)) << i;
  }
}

TEST(Petroff, IsTheTorqueOfTheNote) {
  const JournalBearing journal{mm(14), um(25), mm(20), RotationalSpeed::from_si(650.0 / 120),
                               DynamicViscosity::from_si(8.626791e-3)};
  const auto torque = petroff_torque(journal);
  ASSERT_TRUE(torque);
  expect_parts(torque->si(), 0.0040496288139);                 // [own]
  expect_parts(petroff_watts(journal, *torque), 0.137824745);  // [own]
}

TEST(FeedHole, PassesWhatTheNoteSays) {
  const FeedHole hole{mm(3), mm(9), um(30)};
  expect_parts(*feed_hole(hole) / 8.6e-3 * 1.5e5, 1.83989530183e-07);         // [own]
  expect_parts(*feed_hole_by_fit(hole) / 8.6e-3 * 1.5e5, 1.84730174501e-07);  // [own]
  // Q μ/(h³ p) by finite differences [own], the log formula and the fit; all within 3 %.
  constexpr double kRows[][4] = {{0.1, 0.202, 0.2058, 0.200},
                                 {0.2, 0.279, 0.2829, 0.275},
                                 {0.3, 0.358, 0.3622, 0.360},
                                 {0.4, 0.448, 0.4522, 0.456}};
  for (const auto& row : kRows) {
    const FeedHole one{mm(10 * row[0]), mm(10), mm(1)};
    const double log_form = *feed_hole(one) / 1e-9, fit = *feed_hole_by_fit(one) / 1e-9;
    EXPECT_NEAR(log_form, row[2], 5e-5);
    EXPECT_NEAR(log_form / row[1], 1, 0.03);
    EXPECT_NEAR(fit / row[1], 1, 0.03);
    // The note's fit is for a hole of the same area as its square of the grid.
    EXPECT_NEAR(fit / row[3], 1, 0.02);
  }
  // At the widest place of an eccentric journal, 0.7: 4.9 times the concentric flow.
  const Length film = film_at(um(30), 0.7, deg(0));
  expect_parts(film.si(), 51e-6, 1e-12);
  EXPECT_NEAR(*feed_hole({mm(3), mm(9), film}) / *feed_hole(hole), 4.9, 0.05);
  EXPECT_FALSE(feed_hole({mm(5), mm(9), um(30)}));
  EXPECT_FALSE(feed_hole({mm(0), mm(9), um(30)}));
  EXPECT_FALSE(feed_hole_by_fit({mm(3), mm(0), um(30)}));
  EXPECT_FALSE(feed_hole_by_fit({mm(3), mm(9), um(0)}));
}

}  // namespace
}  // namespace tautmark::oil
