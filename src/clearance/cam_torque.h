// SPDX-License-Identifier: Apache-2.0
// What the valve springs do to a camshaft that nothing holds: torque, where it rests, which way it
// tends to snap. For information: it may go either way, and stays to be held.
//
//   Tq(phi) = sum (F0 + k L) dL/dphi + m omega² L' L''    torque that drives it in running
//   direction E(phi)  = sum (F0 L + k L² / 2)                       energy in the springs, dE/dphi
//   = Tq
//
// phi cam angle; L lift at the valve, its spring there too; F0 force with the valve shut, k rate,
// m moving mass at the valve, omega cam speed. A free camshaft goes the way of -Tq: backwards off
// an opening flank, forwards off a closing one; it stays where |Tq| is no more than friction. At
// rest omega = 0. Source: geometry.md 8.
#pragma once

#include <memory>
#include <vector>

#include "base/quantity.h"
#include "clearance/lift.h"

namespace tautmark::clearance {

struct SprungValve {
  std::shared_ptr<const LiftCurve> lift{};
  CrankAngle top{};        // where its cylinder fires, as of EngineValve
  Force preload{};         // F0
  double rate = 0;         // k, N/m
  double moving_mass = 0;  // m, kg; only for a turning camshaft
};

struct CamSprings {
  std::vector<SprungValve> valves{};
  Torque friction{};  // of bearings and followers, taken as constant; 0 is the worst for rest
};

Torque spring_torque(const CamSprings& springs, CamAngle at);
double stored_energy(const CamSprings& springs, CamAngle at);  // J
// With the inertia of the valves at `turns` of the camshaft per second.
Torque driving_torque(const CamSprings& springs, CamAngle at, RotationalSpeed turns);
// Cam speed at which the springs no longer hold the valve to the nose of its lobe.
RotationalSpeed lift_off_speed(const SprungValve& valve);

// An angle, or a range of angles where the springs push nowhere (from < to, base circle).
struct RestPlace {
  CamAngle from{};  // 0 <= from < 360 cam deg, to < from + 360
  CamAngle to{};
  bool stable = false;
  double energy = 0;  // J
};
// Where the torque is 0, in order of angle; places where it only touches 0 are left out.
std::vector<RestPlace> rest_places(const CamSprings& springs);

// Where friction holds it, in order of angle; a whole turn is 0 to 360.
struct HeldRange {
  CamAngle from{};
  CamAngle to{};
};
std::vector<HeldRange> held_by_friction(const CamSprings& springs);

enum class Tendency { stays, forwards, backwards };
struct Snap {
  Tendency way = Tendency::stays;
  Torque with{};  // what pushes it beyond friction
  CamAngle to{};  // where the torque falls to friction; it may swing past
  CamAngle by{};  // signed, forwards positive
};
Snap tends_to_snap(const CamSprings& springs, CamAngle at);

}  // namespace tautmark::clearance
