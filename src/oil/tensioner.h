// SPDX-License-Identifier: Apache-2.0
// A hydraulic chain tensioner: its plunger is its damper, its feed is what refills it. The two fail
// apart, so they are described apart: no fault of the feed changes the damping of a full chamber,
// and a worn plunger changes neither the static force nor the refill.
//
//   F_static = F0 + k (x0 - x) + p_t A,   A = π d² / 4
//   pushed in, check valve shut:  v = F (k_gap + k_ball) / (μ A²),   c_d = F / v
//   k_gap = π d h³ (1 + 1.5 ε²) / (12 L)
//   oil spring k_h = β A² / V0, relaxes in c_d / k_h
//   swing under F_a sin(Ω t):  F_a √((1 / k_h)² + (1 / (c_d Ω))²)
//   torn seal:  p_t = p_g a1² / (a1² + a2²), lost a2 √(2 p_t / ρ)
//
// d plunger, h its radial clearance, hot; ε eccentricity 0 to 1; L guided length; k_ball what the
// check ball lets through, m³, 0 where it seats; μ viscosity in the gap; β with air
// (bulk_modulus.h); V0 chamber; p_t, p_g pressure at the tensioner and in the gallery, gauge; a1
// feed hole, a2 gap to the outside, both CdA in m². F is what pushes on the oil: load of the chain
// less springs. v positive in. Valid: load slow enough for the ball to seat, L / h over 100,
// laminar. The oil dragged along by the plunger is left out (share h / r), but where asked for.
// Source: oil.md 6.
#pragma once

#include <optional>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "oil/estimated.h"

namespace tautmark::oil {

struct Plunger {
  Length diameter{};
  Length clearance{};  // radial: half of bore less plunger
  Length guided{};
  double eccentricity = 0;
  double ball_leak = 0;  // k_ball, m³
};
double plunger_area(Length diameter);  // m²

// N·s/m. Refuses what is not above 0, an eccentricity outside 0 to 1, a guided length of 100
// clearances or less, a leak of the ball below 0.
Result<double> damping(const Plunger& plunger, DynamicViscosity viscosity);

struct LeakDownInputs {
  Plunger plunger{};
  DynamicViscosity viscosity{};
  Force net{};  // on the oil, constant
  Length stroke{};
  double guided_grows = 0;         // guided length for each length the plunger goes in, -1 to 1
  bool film_dragged = false;       // the plunger takes oil of the gap along
  std::optional<Pressure> vent{};  // relief in the plunger, if it has one
};
struct LeakDown {
  double speed = 0;  // m/s, at the start
  Time time{};       // over the stroke
  Pressure chamber{};
};
// A time on the bench means nothing without oil and temperature: it goes with the viscosity.
// Refuses as `damping`, no load, no stroke, a relief that opens, a guide that ends on the way.
Result<LeakDown> leak_down(const LeakDownInputs& in);

// The clearance that a leak-down on the bench tells, concentric and with a ball that seats: an
// eccentric plunger is up to 2.5^(1/3) = 1.36 times tighter. `plunger.clearance` is not used.
// Refuses as above.
Result<Estimated<Length>> clearance_of_leak_down(const Plunger& plunger,
                                                 const Estimated<DynamicViscosity>& viscosity,
                                                 const Estimated<Force>& net,
                                                 const Estimated<Length>& stroke,
                                                 const Estimated<Time>& time);

struct OilSpringInputs {
  Plunger plunger{};
  DynamicViscosity viscosity{};
  Pressure bulk{};      // β
  Volume chamber{};     // V0
  Force alternating{};  // F_a, 0 or more
  Frequency at{};
};
struct OilSpring {
  double damping = 0;  // N·s/m
  double spring = 0;   // N/m; of the model only, air is not known well enough to state it
  Time relaxes{};
  Length swing{};  // amplitude
};
Result<OilSpring> oil_spring(const OilSpringInputs& in);

struct SealDivider {
  Pressure at_tensioner{};
  Flow lost{};
};
// `feed`, `tear`: CdA in m²; tear 0: whole seal. feed 0: blocked, and no pressure. Refuses values
// below 0, and both 0: nothing then says what the pressure is.
Result<SealDivider> seal_divider(Pressure gallery, double feed, double tear, Density density);

struct Tensioner {
  Plunger plunger{};
  Force preload{};     // F0
  double rate = 0;     // k, N/m
  Length pushed_in{};  // x0 - x
  Pressure gallery{};
  double feed = 0;   // a1
  double tear = 0;   // a2
  double check = 0;  // CdA of the open check valve, m²
};
struct TensionerState {
  Force static_force{};
  Pressure at_tensioner{};
  Flow lost{};         // past the seal: capped by the feed hole, so hardly seen in the gallery
  double damping = 0;  // of a full chamber
  double refill = 0;   // m/s: a plunger that is let out faster draws air
};
Result<TensionerState> tensioner_state(const Tensioner& tensioner, DynamicViscosity viscosity,
                                       Density density);

// Time to fill a volume through a hole (CdA, m²), and through a long drilling with thick oil,
// laminar. Of the tensioner alone: the gallery itself takes 1 to 3 s (common practice, no source).
// Refuse what is not above 0.
Result<Time> refill_time(Volume volume, double area, Pressure feed, Density density);
Result<Time> refill_time_thick(Volume volume, Length hole, Length length, Pressure feed,
                               DynamicViscosity viscosity);

}  // namespace tautmark::oil
