// SPDX-License-Identifier: Apache-2.0
// Clamp load from wrench torque while the fastener turns, and how far friction leaves it open.
//
//   M_A = F b         b = P/(2π) + μ_G d2/(2 cos 30°) + μ_K D_Km/2      (linear form)
//   M_G = F (b without the head term): what twists the shank
//   K   = b / d       nut factor
//
//   b     torque per force, a length   μ_G  thread friction       d2    pitch diameter
//   P     pitch                        μ_K  friction under head   D_Km  mean diameter of the ring
//
// Validity: steady sliding (a stopped fastener needs more to move), flat face, no prevailing torque
// (subtract it first), no sealant. Source: VDI 2230 part 1 (from memory); Motosh, J. Eng. Ind. 98
// (1976) 849; Shigley 9th ed. (8-26). Friction is never known better than a class: a clamp load is
// always a range with its assumed friction beside it, and never approves a joint.
#pragma once

#include <span>
#include <string_view>

#include "base/quantity.h"
#include "tighten/strength.h"
#include "tighten/thread.h"

namespace tautmark::tighten {

struct Friction {
  double thread = 0;  // μ_G
  double head = 0;    // μ_K
};

// Mean diameter of the ring under the head: (d_W + d_h) / 2, as VDI 2230 takes it.
Length ring_mean(const BearingFace& face);
// The same for uniform pressure: 2/3 (d_W³ - d_h³)/(d_W² - d_h²).
Length ring_uniform(const BearingFace& face);

// The three shares of b. Of the joint's turning effort only the pitch share clamps.
struct TorquePerForce {
  Length pitch{}, thread{}, head{};
  [[nodiscard]] Length all() const { return pitch + thread + head; }
  [[nodiscard]] Length in_shank() const { return pitch + thread; }
};
TorquePerForce torque_per_force(const Thread& thread, const Friction& friction, Length head_mean);
// Without the small-angle step: d2/2 tan(φ + ρ') + μ_K D_Km/2, tan ρ' = μ_G / cos 30°.
Length torque_per_force_exact(const Thread& thread, const Friction& friction, Length head_mean);

Force preload_of(Torque torque, Length torque_per_force);

// Stress from clamp load and the torque that twists the shank; the torsion modulus is that of the
// fully plastic section, π d³/12 (VDI 2230 since 2001; older books take π d³/16).
struct ShankStress {
  Pressure tension{}, torsion{}, reduced{};  // σ, τ, √(σ² + 3 τ²)
};
ShankStress shank_stress(const Thread& thread, Force preload, Length in_shank);

// Clamp load at which the reduced stress reaches `share` of `stress` while the thread is turned:
// with share 0.9 of R_p0.2 the assembly preload of VDI 2230; with 1 of R_p0.2 the onset of yield;
// with 1 of R_m where the shank gives out.
Force preload_at(const Thread& thread, double thread_friction, Pressure stress, double share = 1);

// Friction classes of VDI 2230 for thread and head together, read in two reprints.
struct FrictionClass {
  char name = 'B';
  double low = 0, high = 0;
  std::string_view condition{};
};
std::span<const FrictionClass> friction_classes();
// What a written condition says: "threads oiled" B, "dry" D, "as delivered" C, "waxed" A. Null for
// a condition that says nothing about friction (threadlocker, sealant, nothing written): no clamp
// load is shown then.
const FrictionClass* friction_of(std::string_view condition);

// Clamp load at a torque over a whole friction class and the deviation of the wrench.
struct PreloadRange {
  Force low{}, high{};  // at the class's high and low friction
  // The shank gives out before the higher load is reached: a figure on paper only.
  bool high_not_attainable = false;
  double of_yield_low = 0, of_yield_high = 0;  // reduced stress over R_p0.2
};
PreloadRange preload_range(Torque torque, double wrench_deviation, const Thread& thread,
                           Length head_mean, const FrictionClass& friction,
                           const Strength& strength);

}  // namespace tautmark::tighten
