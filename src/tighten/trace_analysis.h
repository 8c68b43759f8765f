// SPDX-License-Identifier: Apache-2.0
// What a recorded tightening shows: where the joint closed, how stiff it is, where the bolt yields,
// what clamp load is left, and signs of damage, of another bolt, of a step not carried out.
//
//   by torque    F = (T - T_p) / k            over the friction class and the wrench's deviation
//   by angle     F = s (T - T_p) / S          = s × clamp angle while elastic; beyond yield the
//                                             torque is projected back to the elastic tangent
//
//   T   end torque    T_p  prevailing torque    k  torque per force, preload.h
//   s   expected clamp load per degree, joint.h    S  gradient found, N·m per degree
//
// S/s is the torque per force of this very bolt: the second way does not rest on a friction class,
// but on s. Source: fasteners.md 4.3 (after ASM Handbook vol. 8, threaded-fastener testing).
//
// Never an approval: `nothing_found` says that the signs below were looked for and not seen, and is
// given only where a straight part, an expected slope and the step itself were there to judge by.
// What no trace can tell apart stands in `cannot_be_told`. Thresholds are ours, set on simulated
// traces (./bench tighten-truth), not on fasteners of a shop. No stripped
// or cross-threaded bolt of that set is called unseen. Outside it some are: of threads that bind
// only over the last 60 to 200° before the joint closes, one in 50 at 5 to 8 % of the torque of the
// step and more below that. A bolt hardened by one earlier tightening mostly is: its yield comes a
// few percent later, by which bolts of one class differ.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "tighten/preload.h"
#include "tighten/trace.h"

namespace tautmark::tighten {

struct ExpectedSlope {
  Force per_degree{};   // s
  double expanded = 0;  // U (k = 2) as a ratio of it
};

// A step of torque has `target`; a step of torque and angle has `snug` and `angle`.
struct ExpectedStep {
  std::optional<Torque> target{};
  std::optional<Torque> snug{};
  std::optional<Angle> angle{};
  bool meant_to_yield = false;
  Thread thread{};
  Strength strength{};
  FrictionClass friction{};
  Length head_mean{};  // D_Km
  std::optional<ExpectedSlope> slope{};
  double wrench_deviation = 0.04;
  Angle angle_deviation = deg(3);
  std::optional<Torque> most_prevailing{};  // of a locking nut or patch; empty: none belongs here
};

enum class TraceSign {
  cross_threaded,  // torque long before the joint closes
  stripped,        // the torque falls, or ends where the bolt alone would bear more
  bottomed,        // stiffer than the joint can be
  wrong_bolt,      // slope or yield outside what the expected bolt can do
  reused_bolt,     // yields too late, or not at all where it should
  not_straight,    // no straight part
  soft,            // less stiff than the joint can be
  interrupted,     // angle lost between strokes
  torque_not_reached,
  angle_not_reached,
  turned_too_far,
  snug_too_low,    // the angle began before the parts were closed
  yields_unmeant,  // yields in a step that should stay elastic
};
std::string_view trace_sign_name(TraceSign sign);  // "cross-threaded"

struct TraceFinding {
  TraceSign sign{};
  std::string why{};            // what was seen, with its numbers
  std::string not_told_from{};  // what looks the same on a trace
};

enum class TraceAnswer { signs_found, not_decided, nothing_found };

struct TraceSpot {
  Angle angle{};
  Torque torque{};
};

struct StickSlip {
  Torque height{};  // from valley to peak
  Angle period{};
};

struct TracePreload {
  Force low{}, high{};
};

struct TraceResult {
  TraceAnswer answer = TraceAnswer::not_decided;
  std::vector<TraceFinding> findings{};       // the weightiest first
  std::vector<std::string> open{};            // why nothing more could be decided
  std::vector<std::string> cannot_be_told{};  // with every answer

  std::optional<Torque> prevailing{};         // T_p
  std::optional<TraceSpot> snug{};            // where the straight part begins
  std::optional<Torque> gradient{};           // S, per degree
  std::optional<Torque> gradient_expanded{};  // U, k = 2
  std::optional<Angle> origin{};              // where the elastic line is at T_p
  std::optional<Angle> origin_expanded{};
  std::optional<Angle> clamp_angle{};    // from the origin to the end
  std::optional<TraceSpot> yield{};      // half-gradient point
  std::optional<TraceSpot> onset{};      // gradient below 0.9 S
  std::optional<Angle> plastic_angle{};  // from yield point to end
  TraceSpot end{};                       // last point under load
  Torque noise{};                        // standard deviation about the local line
  std::optional<StickSlip> stick_slip{};
  int strokes = 0;

  std::optional<TracePreload> by_torque{};
  std::optional<TracePreload> by_angle{};  // U, k = 2
  // Middle of the one over the middle of the other, and the friction at which they agree.
  std::optional<double> angle_over_torque{};
  std::optional<double> friction{};

  // For a plot: the joined and smoothed curve, and the two ends of the straight part on its line.
  std::vector<TraceSpot> curve{};
  std::optional<TraceSpot> line_low{}, line_high{};
};

// Refused: no target and no snug torque with angle; fewer points or degrees than a line needs; a
// thread, strength, friction or bearing that is not above zero.
Result<TraceResult> analyse_trace(const Trace& trace, const ExpectedStep& expected);

}  // namespace tautmark::tighten
