// SPDX-License-Identifier: Apache-2.0
// A vane phaser that has to hold an angle: what leaks through it lets it drift and swing.
//
//   drift = T_mean C / V_th²      damper V_th² / C      oil spring K_h = 2 β V_th² / V_c
//   swing = T_a / |B s + V_th² s / (s V_c / (2 β) + C)|, s = i Ω
//   B θ' = V_th p_L - T           (V_c / (2 β)) p_L' = Q - C p_L - V_th θ'
//
// V_th displacement, m³/rad; C leakage between the chambers, m³/(s·Pa), with the cube of the
// clearance, so the drift too; V_c volume of one chamber at mid angle; β bulk modulus with air
// (bulk_modulus.h); B viscous friction, N·m·s/rad; T_a half swing of the cam torque at Ω; p_L = pA
// - pR; Q from the valve into A. θ positive to advance, T and the drift positive to retard. Inertia
// is left out: below some 100 Hz. C of the land between A and R alone is the least: what leaks to
// the edges and over the spool comes on top, and the drift is then a lower bound. The swing grows
// with C, falls with β and B. The oil spring is of the model only: air is not known well enough to
// state it. Source: oil.md 5.5.
#pragma once

#include <functional>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "oil/estimated.h"

namespace tautmark::oil {

// What shakes a phaser: so many valve events for one turn of its camshaft.
Frequency event_frequency(int events_for_a_cam_turn, RotationalSpeed crankshaft);

struct HoldInputs {
  Estimated<double> displacement{};  // V_th
  Estimated<double> leakage{};       // C
  Estimated<Torque> mean{};          // with the bias spring; positive to retard
  Torque alternating{};              // T_a, half from lowest to highest
  Frequency events{};
  Volume chamber{};    // V_c
  Pressure bulk{};     // β
  double viscous = 0;  // B
};
struct Hold {
  CamAngle drift{};    // in a second, positive to retard
  CamAngle drift_U{};  // 95 %
  double damper = 0;   // N·m·s/rad; infinite where nothing leaks
  double spring = 0;   // K_h, N·m/rad
  CamAngle swing{};    // amplitude: half of the whole swing
};
// Of it only the drift, for which volume and bulk modulus need not be known.
struct Drift {
  CamAngle in_a_second{};  // positive to retard
  CamAngle U{};            // 95 %
};
Result<Drift> drift(Estimated<double> displacement, Estimated<double> leakage,
                    Estimated<Torque> mean);
// Refuse what is not stated, and what is not above 0; leakage, torque and friction may be 0.
Result<Hold> hold(const HoldInputs& in);

struct TwoStates {
  double displacement = 0;  // V_th
  double leakage = 0;       // C
  double viscous = 0;       // B, above 0
  Volume chamber{};
  Pressure bulk{};
};
struct SteadyTravel {
  CamAngle in_a_second{};
  Pressure load{};  // p_L
  Time lag{};       // τ = V_c / (2 β) · B / (V_th² + B C), some 0.1 ms: the model is stiff
};
// Refuse B not above 0 (θ then follows from p_L alone), other inputs not above 0.
Result<SteadyTravel> steady_travel(const TwoStates& phaser, Flow valve, Torque load);

struct PhaserState {
  Time at{};
  CamAngle angle{};
  Pressure load{};
};
struct Travelling {
  std::function<Flow(Time)> valve{};
  std::function<Torque(Time)> torque{};
  PhaserState start{};
  Time until{};
  Time step{};
};
// One state a step. Implicit in two stages, of second order, stable at any step: a step far above
// the lag gives the slow motion and drops the fast. Refuses as above, and above a million steps.
Result<std::vector<PhaserState>> travelled(const TwoStates& phaser, const Travelling& in);

}  // namespace tautmark::oil
