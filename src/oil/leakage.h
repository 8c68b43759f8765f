// SPDX-License-Identifier: Apache-2.0
// Laminar leakage through narrow gaps, each as a conductance μ·Q/Δp in m³: what `Laminar` of a
// network takes. Flow goes with the clearance cubed; ±10 % of clearance is about ±30 % of leakage.
//
// A clearance here is RADIAL, half of the diametral clearance that is measured: the wrong one is a
// factor of 8. Only for liquids; air through a worn land chokes and shows far too little.
// Every conductance refuses what is not a positive length, and a land that is no longer than three
// clearances: that is no slot but a hole. Source: oil.md 2.1 and 2.2.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::oil {

constexpr Length radial_from_diametral(Length clearance) { return clearance / 2; }

// Axial flow past a journal in its bore or a plunger in its barrel, one land:
// π d c³ / (12 L) · (1 + 1.5 ε²). Exact for parallel axes; a tilted journal lies between ε 0 and 1.
struct AnnularLand {
  Length diameter{};  // mean of journal and bore
  Length radial_clearance{};
  Length land{};            // along the flow
  double eccentricity = 0;  // offset of the axes by radial clearance, 0 to 1
  Length axial_play{};      // of the camshaft: taken off the land
};
Result<double> annular_land(const AnnularLand& in);

// mean of h³ around an eccentric journal by c³: 1 to 2.5.
constexpr double eccentric_factor(double eccentricity) {
  return 1 + 1.5 * eccentricity * eccentricity;
}

// A worn bore is not round: the gaps around the journal at equal steps of angle, at least four,
// in the place of clearance and eccentricity. Refuses a negative gap, or gaps of nothing.
Result<double> worn_land(Length diameter, std::span<const Length> gaps, Length land);

// A bearing fed by a groove around its middle: two lands, each as above. The same as
// π r c³ (1 + 1.5 ε²) / (3 l'), l' one land.
Result<double> grooved_bearing(const AnnularLand& each);

// Between ports on one journal that lie side by side around it: b h³ / (12 L).
struct PlaneSlot {
  Length width{};   // across the flow
  Length height{};  // of the gap
  Length length{};  // along the flow
  Length axial_play{};
};
Result<double> plane_slot(const PlaneSlot& in);

// What a wall that moves along the slot drags with it: U h b / 2, in the direction of the wall.
Flow dragged(const PlaneSlot& slot, double meters_per_second);

// Two round ports in a wide film: h³/12 · π / arcosh(s/d). Refuses ports that overlap or touch: no
// land is between them, they are a hole.
struct PortPair {
  Length diameter{};
  Length distance{};  // of the centers
  Length height{};
};
Result<double> port_pair(const PortPair& in);

// From the inner to the outer radius of a flat ring: π h³ / (6 ln(R2/R1)).
struct RadialSlot {
  Length inner{};
  Length outer{};
  Length height{};
};
Result<double> radial_slot(const RadialSlot& in);

// How far a leakage is from what the laws above hold for.
enum class LaminarLimit {
  turbulent,  // Reynolds number of the gap, with its hydraulic diameter 2 c, above 2000
  vortices,   // Taylor's number of a turning journal above 41
  entrance,   // inertia at the entrance, 1.5 · ρ v²/2, above 1 % of Δp
};
std::string_view laminar_limit_text(LaminarLimit limit);

struct LandFlow {
  Length diameter{};
  Length radial_clearance{};
  Flow flow{};
  Pressure difference{};
  double surface_speed = 0;  // of the journal, m/s
};
struct LaminarCheck {
  double reynolds = 0;    // 2 ρ Q / (μ π d)
  double taylor = 0;      // (ρ U c / μ) √(c/r)
  double entrance = 0;    // share of Δp
  double mean_speed = 0;  // of the oil, m/s
  std::vector<LaminarLimit> beyond{};
};
// Refuses what is no liquid (below 500 kg/m³) and viscosities that are not positive.
Result<LaminarCheck> laminar_check(const LandFlow& land, DynamicViscosity viscosity,
                                   Density density);

}  // namespace tautmark::oil
