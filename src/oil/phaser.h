// SPDX-License-Identifier: Apache-2.0
// A vane cam phaser moved by oil pressure: the torque it has, the torque it needs, and how much of
// one there is for the other. Not for phasers that live on the alternating torque of the cam.
//
//   V_th = N w (ro² - ri²) / 2 = N A_v r_m        T = V_th (pA - pR)
//   needed to advance: T_mean - T_spring + T_friction; to retard: T_spring - T_mean + T_friction
//   margin = torque available at stall (valve fully open, nothing moves) / torque needed
//
// V_th displacement, m³/rad = N·m/Pa (of the cam); N vanes, w their width along the axis, ri, ro
// radii of their feet and tips; A_v = (ro - ri) w, r_m = (ro + ri) / 2. Pressures gauge; torques on
// the camshaft, positive where they retard, but for the bias spring, positive where it advances.
// The mean is of a whole cam turn: the alternating part cancels only where the leak path is stiff
// (phaser_hold.h). Source: oil.md 5.1. The bands of the margin are own judgement; torque of cam and
// friction are estimates as a rule. So a margin is an estimate, never a pass, and best used as a
// ratio of left to right or hot to cold.
#pragma once

#include <optional>
#include <span>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "oil/estimated.h"

namespace tautmark::oil {

struct Vanes {
  int count = 0;
  Length inner{};  // ri
  Length outer{};  // ro
  Length width{};  // w
};
// Refuses no vanes, radii that are not 0 < ri < ro, no width.
Result<double> displacement(const Vanes& vanes);
// From the area of one side of one vane, m², and the mean radius.
Result<double> displacement(int vanes, double area, Length mean_radius);

Torque available_torque(double displacement, Pressure difference);

enum class Travel { advance, retard };

struct PhaserLoad {
  Estimated<Torque> mean{};      // of the cam: retards
  Estimated<Torque> spring{};    // bias spring, positive where it advances
  Estimated<Torque> friction{};  // seals and faces, against every motion, 0 or more
};
// What the phaser must hold that way before friction; negative: the load pushes that way.
Torque load_against(const PhaserLoad& load, Travel travel);
Torque needed_torque(const PhaserLoad& load, Travel travel);
Torque needed_U(const PhaserLoad& load);
// Refuses what is not stated, friction below 0.
Result<void> check_load(const PhaserLoad& load);

// Torque over one turn of the camshaft: positive where it retards. In order of angle, within one
// turn, straight lines between.
struct CamTorqueSample {
  CamAngle at{};
  Torque torque{};
};
struct CamTorqueSummary {
  Torque mean{};
  Torque swing{};  // half from lowest to highest
};
// Refuse samples out of order, over more than a turn, or further than 30 cam deg apart: those miss
// the flank of a lobe.
Result<CamTorqueSummary> cam_torque_summary(std::span<const CamTorqueSample> curve);
// The share of the cam turn, 0 to 1, in which `available` is less than what the curve, spring and
// friction ask that way. `load.mean` is not used. For itself it says nothing of the travel: oil
// that cannot leak holds through.
Result<double> share_short(std::span<const CamTorqueSample> curve, const PhaserLoad& load,
                           Travel travel, Torque available);

// Own judgement: 2 and more comfortable, 1.3 to 2 slow that way, 1 to 1.3 holds only, below 1 it
// drifts to the stop on the side of the load.
enum class AuthorityBand { drifts, holds_only, slow, comfortable, load_helps };

struct AuthorityInputs {
  Estimated<double> displacement{};  // V_th
  Estimated<Pressure> difference{};  // at stall, toward `travel`: pA - pR to advance
  PhaserLoad load{};
  Travel travel = Travel::advance;
};
struct Authority {
  Torque available{};
  Torque available_U{};
  Torque needed{};
  Torque needed_U{};
  // Absent where the load pushes that way by itself: `needed` is then not above 0.
  std::optional<double> margin{};
  double low = 0;  // of the margin, 95 %; both infinite where the load helps for certain
  double high = 0;
  AuthorityBand band = AuthorityBand::drifts;
  AuthorityBand worst = AuthorityBand::drifts;  // at `low`
  AuthorityBand best = AuthorityBand::drifts;   // at `high`
};
// Refuses what is not stated, a displacement not above 0, friction below 0.
Result<Authority> authority(const AuthorityInputs& in);

// Margin here to margin there for equal phasers under equal load, where load and size drop out: two
// banks at one time. Refuses a reference that is not above 0.
Result<Estimated<double>> authority_ratio(const Estimated<Pressure>& here,
                                          const Estimated<Pressure>& there);

}  // namespace tautmark::oil
