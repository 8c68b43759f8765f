// SPDX-License-Identifier: Apache-2.0
// Traces whose truth is known, for tests: what the analysis finds is compared with what was put in.
//
//   u = w softplus((θ - θ_0) / w)                              clamp angle, with a toe
//   F = s u - (1 - r) s g softplus((u - θ_Y) / g),  θ_Y = F_y/s    clamp load, with a knee
//   T = k F + T_p,  softplus(z) = ln(1 + e^z)
//
//   θ_0 where the toe stands   w  its width   s  elastic slope per degree   r  slope beyond yield
//   F_y yield load   g  width of the knee     k  torque per force           T_p prevailing torque
//
// Source: fasteners.md 4.3, an invention of that note; so are the damages. They are shapes that the
// trade describes, not measurements: a real cross-threaded bolt may look otherwise.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "tighten/trace.h"

namespace tautmark::tighten {

struct SimulatedBolt {
  Angle origin{};       // θ_0
  Angle toe{};          // w, above zero
  Force per_degree{};   // s
  Force yield{};        // F_y
  Angle knee{};         // g, above zero
  double beyond = 0;    // r
  Length per_force{};   // k
  Torque prevailing{};  // T_p
};
Force simulated_preload(const SimulatedBolt& bolt, Angle angle);
Torque simulated_torque(const SimulatedBolt& bolt, Angle angle);
// Where the gradient of the torque is half that of the elastic line: the knee's middle.
Angle half_gradient_angle(const SimulatedBolt& bolt);

// The thread binds from `from` on: torque grows with the angle, in lumps.
struct CrossThread {
  Angle from{};
  Torque per_turn{};
  double lumps = 0;    // share of the torque that they make
  bool seats = false;  // the joint still closes afterwards; else the head never comes down
};
// The thread shears when the clamp load reaches `load`, over `fade`, down to `rest` of it.
struct StrippedThread {
  Force load{};
  Angle holds{};  // turned at that load before it falls
  Angle fade{};
  double rest = 0;
};
// The bolt meets the ground of the hole at `load`: stiffer by `times` from there.
struct BottomedBolt {
  Force load{};
  double times = 1;
};

struct SimulatedDamage {
  std::optional<CrossThread> cross_thread{};
  std::optional<StrippedThread> stripped{};
  std::optional<BottomedBolt> bottomed{};
};

struct SimulatedRecorder {
  Angle step = deg(0.5);
  Torque noise{};       // standard deviation
  Torque stick_slip{};  // half the height of a square wave
  Angle stick_slip_period = deg(3);
  Angle angle_step{};                // of the angle sensor; 0: none
  Torque torque_step{};              // of the torque sensor; 0: none
  std::vector<Angle> stroke_ends{};  // where a ratchet stroke ends
  Angle stroke_back = deg(30);
  bool counts_back = true;  // false: the return of the handle is not recorded
  Angle wind_up = deg(2);   // turned by the wrench before the bolt follows
};

struct SimulatedStop {
  Angle most{};  // bolt angle at which the record ends at the latest
  std::optional<Torque> at_torque{};
  std::optional<Torque> snug{};  // and `angle` after it
  Angle angle{};
};

// The same seed gives the same trace on every machine.
Trace simulated_trace(const SimulatedBolt& bolt, const SimulatedDamage& damage,
                      const SimulatedRecorder& recorder, const SimulatedStop& stop,
                      std::uint64_t seed);

// Random numbers that the standard fixes (the distributions of <random> are not).
class TraceRandom {
 public:
  explicit TraceRandom(std::uint64_t seed);
  double uniform(double low, double high);
  double normal();
  bool once_in(int n);

 private:
  std::uint64_t state_;
};

}  // namespace tautmark::tighten
