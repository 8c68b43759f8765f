// SPDX-License-Identifier: Apache-2.0
// What each fault of a hydraulic tensioner does, and what of it is seen or heard. Faults of the
// plunger's clearance and of its feed are kept apart: the one takes the damping and leaves the
// refill, the other takes the refill and leaves the damping until the chamber is empty.
//
// Signs are common practice, no source (oil.md 6 and 7): they rule out, they prove nothing.
#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace tautmark::oil {

enum class TensionerFault {
  worn_plunger,
  check_ball,
  torn_seal,
  lost_feed,
  low_pressure,
  ratchet,
};
enum class FaultyPart { plunger_clearance, check_valve, feed, ratchet };
enum class StaticLoss { none, part_of_oil, all_of_oil };  // of p_t A
enum class DampingLoss {
  none,
  cube_of_clearance,
  collapses,
  once_out_of_oil,  // then air
  not_refilled,     // good once
  slow_refill,
};
enum class Sign { no, yes, either };

struct FaultSignature {
  TensionerFault fault{};
  FaultyPart part{};
  StaticLoss static_force{};
  DampingLoss damping{};
  Sign rattles_hot_idle{};
  Sign rattles_cold{};            // past the first seconds
  Sign rattles_after_standing{};  // in the first seconds of a start
  Sign gets_worse_running{};      // over seconds to minutes, and does not recover
  Sign bench_leak_down_short{};   // oil and temperature allowed for
  std::string_view over_time{};
};
std::span<const FaultSignature> fault_signatures();
const FaultSignature& signature(TensionerFault fault);

struct TensionerSigns {
  std::optional<bool> rattles_hot_idle{};
  std::optional<bool> rattles_cold{};
  std::optional<bool> rattles_after_standing{};
  std::optional<bool> gets_worse_running{};
  std::optional<bool> bench_leak_down_short{};
};
// Those that nothing seen speaks against, in the order of the table. Empty: no single fault of
// these.
std::vector<TensionerFault> faults_that_fit(const TensionerSigns& seen);

}  // namespace tautmark::oil
