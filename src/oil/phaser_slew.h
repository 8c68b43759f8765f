// SPDX-License-Identifier: Apache-2.0
// How fast a vane phaser travels with its valve fully open.
//
//   two equal edges, no leak, supply that never sags:  V_th θ' = CdA √((p_s - T / V_th) / ρ)
//   through a network:  V_th Δp(V_th θ') = T, the flow V_th θ' taken by one chamber and given back
//   by the other
//
// A slew is the cam angle in one second. Toward the wanted travel it is positive; negative: it runs
// backwards although the valve is fully open. p_s pressure at the valve, gauge; T torque needed;
// CdA of one edge, m². The ideal form is too fast (by 3 in the case of oil.md 5.3): the supply, not
// the valve, sets the slew. Not for phasers that live on the alternating torque of the cam; a check
// valve in the supply can make a real one faster one way. Cavitation is left out. Source:
// oil.md 5.3.
#pragma once

#include <functional>
#include <limits>
#include <optional>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "oil/phaser.h"

namespace tautmark::oil {

struct Slew {
  CamAngle in_a_second{};
  CamAngle U{};  // of it, 95 %, absolute
};

struct TwoEdges {
  Estimated<Pressure> supply{};
  Estimated<double> area{};  // CdA of one edge, m²
  Estimated<Density> density{};
  Estimated<double> displacement{};  // V_th
  Estimated<Torque> needed{};
};
// Refuses what is not stated or not above 0 (`needed` may be below), and a torque that the supply
// cannot hold: this form knows nothing of running backwards.
Result<Slew> two_edge_slew(const TwoEdges& in);

// Pressure of the chamber that is fed less that of the other, when the fed one takes so much and
// gives as much back; a flow below 0 is pushed out of the fed chamber. Falls as the flow grows. The
// valve stands open toward `travel`: to retard it is pR - pA.
using PhaserSupply = std::function<Result<Pressure>(Flow)>;

enum class SlewState { moves, held_by_friction, runs_backwards };

struct NetworkSlewInputs {
  PhaserSupply supply{};
  double supply_U =
      std::numeric_limits<double>::quiet_NaN();  // of the pressure difference, relative, 95 %
  Estimated<double> displacement{};              // V_th
  PhaserLoad load{};                             // friction turns round where it runs backwards
  Travel travel = Travel::advance;
};
struct NetworkSlew {
  SlewState state = SlewState::moves;
  Slew slew{};
  Pressure at_stall{};  // Δp where nothing moves
};
// Refuses what is not stated, a supply that refuses, and where no speed up to kFastestSlew balances
// the torque: a supply that does not sag has no slew of its own.
Result<NetworkSlew> network_slew(const NetworkSlewInputs& in);
inline constexpr double kFastestSlew = 100;  // rad/s of the camshaft; a healthy one makes 1 to 3

struct BothSlews {
  NetworkSlew advance{};
  NetworkSlew retard{};
  // Retard to advance; absent where either does not move its own way. Above 1 the load helps
  // retard.
  std::optional<double> retard_to_advance{};
};
// `in.supply` and `in.travel` are replaced by each direction's.
Result<BothSlews> both_slews(const PhaserSupply& to_advance, const PhaserSupply& to_retard,
                             NetworkSlewInputs in);

}  // namespace tautmark::oil
