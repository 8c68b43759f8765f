// SPDX-License-Identifier: Apache-2.0
// Flow and friction of plain journal bearings: crank and camshaft, the main consumers of oil.
//
// Clearances are RADIAL. Speeds are turns per second of the shaft in question; a camshaft turns at
// half the speed of the crankshaft. Source: oil.md 2.3; the film is that of Raimondi and Boyd
// (Reynolds' equation, the film begins at the widest gap, no pressure below 0), solved here.
#pragma once

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::oil {

// The film of a bearing without feed pressure, without units.
struct BearingFilm {
  double sommerfeld = 0;    // S = (r/c)² μ N / P, P = load / (2 r l)
  double flow = 0;          // Q / (r c N l), into the film
  double side = 0;          // side flow Qs by Q
  double load_by_peak = 0;  // P by the largest pressure of the film
  double friction = 0;      // (r/c) f, with the shear of the whole gap
};
// Length by diameter 0.1 to 2 and eccentricity 0.02 to 0.97; refuses others. Within 1.5 % of
// oil.md's table.
Result<BearingFilm> bearing_film(double length_by_diameter, double eccentricity);

struct JournalBearing {
  Length radius{};
  Length radial_clearance{};
  Length length{};
  RotationalSpeed speed{};
  DynamicViscosity viscosity{};
};
struct BearingFlow {
  double sommerfeld = 0;
  double eccentricity = 0;
  Length least_film{};
  Flow flow{};       // into the film
  Flow side_flow{};  // what has to be fed
  Pressure peak{};
  Torque friction{};
};
// Under a steady load. Refuses what is not above zero, and loads so small or large that the
// eccentricity is outside of `bearing_film`.
Result<BearingFlow> loaded_bearing(const JournalBearing& bearing, Force load);

// S of a load; what a chart is entered with.
double sommerfeld(const JournalBearing& bearing, Force load);
// Values read from a chart, or from `bearing_film`, with their units again.
BearingFlow with_units(const JournalBearing& bearing, Force load, const BearingFilm& film);

// Without load and concentric, Petroff: 4 π² r³ l μ N / c.
Result<Torque> petroff_torque(const JournalBearing& bearing);
double petroff_watts(const JournalBearing& bearing, Torque torque);

// Fed through one hole: conductance μ Q/p in m³. `film` is the gap at the hole, in a bearing whose
// length is `length`. A small hole in a wide strip, h³ π / (6 ln(4 L / (π d))); a handbook's fit,
// from memory, 0.675 h³ (d/L + 0.4)^1.75. Both within 3 % of finite differences for d/L 0.1 to 0.4.
// The side flow of the load comes on top: the sum of both is on the careful side.
struct FeedHole {
  Length diameter{};
  Length length{};
  Length film{};
};
// Refuses what is not above zero, a hole above 0.5 L.
Result<double> feed_hole(const FeedHole& in);
Result<double> feed_hole_by_fit(const FeedHole& in);

// The gap at an angle from the widest place: c (1 + ε cos θ).
Length film_at(Length radial_clearance, double eccentricity, Angle from_widest);

}  // namespace tautmark::oil
