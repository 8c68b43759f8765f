// SPDX-License-Identifier: Apache-2.0
// Holes, restrictors, edges of a valve, screens: flow goes with the root of Δp, and hardly with the
// viscosity. An area here is effective, discharge coefficient times area, in m²: what `Orifice` of
// a network takes. Source: oil.md 2.4; short drillings Merritt 1967, as given in Rabie, Fluid Power
// Engineering, eqs. 2.40-2.41.
#pragma once

#include <numbers>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "oil/network.h"

namespace tautmark::oil {

// Of a sharp edge, ideal; measured ones are 0.60 to 0.65, edges of a spool 0.6 to 0.7.
inline constexpr double kSharpEdge = std::numbers::pi / (std::numbers::pi + 2);

// Refuses a diameter that is negative, a discharge coefficient that is not above 0 and at most 1.
Result<double> round_hole(Length diameter, double discharge = kSharpEdge);

// The open edge of a spool valve: width around the bore times opening; 0 where it is shut. The
// slot leakage around the spool is leakage.h's.
Result<double> spool_edge(Length width, Length opening, double discharge);

// One behind the other: 1/area² add. Side by side: areas add.
double in_series(double one, double other);
double side_by_side(double one, double other);

// What is left of a screen or filter of which this share of the area is blocked, 0 to 1: the free
// area for orifices and, in the same way, the conductance of a fine mesh. Refuses another share.
Result<double> partly_blocked(double clean, double blocked);

// A ball that opens above `opens` in front of a hole.
Result<CheckedOrifice> check_valve(Length hole, Pressure opens, double discharge = kSharpEdge);

// area · √(2 |Δp| / ρ), with the sign of Δp.
Flow through_orifice(double area, Pressure difference, Density density);
// As networks have it: smooth, odd, and always rising; Δp_c of the network.
Flow through_orifice(double area, Pressure difference, Density density, Pressure smoothing);

// A drilling that is longer than a sharp edge and shorter than a pipe: the discharge depends on
// Re d/L. Two branches, blended between 40 and 60, where they do not meet. Becomes
// Hagen-Poiseuille's law where the oil is thick.
struct Drilling {
  Length diameter{};
  Length length{};
};
double drilling_discharge(double reynolds_d_by_length);
struct DrillingFlow {
  double discharge = 0;
  double reynolds = 0;  // ρ v d / μ, v = Q / A
  Flow flow{};          // with the sign of Δp
};
// Refuses lengths, viscosity and density that are not above zero.
Result<DrillingFlow> through_drilling(const Drilling& hole, Pressure difference,
                                      DynamicViscosity viscosity, Density density);

}  // namespace tautmark::oil
