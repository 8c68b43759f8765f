// SPDX-License-Identifier: Apache-2.0
// Simulated tightenings of one invented stretch bolt as the files a wrench writes.
#pragma once

#include <fmt/format.h>

#include <string>

#include "tighten/preload.h"
#include "tighten/strength.h"
#include "tighten/trace_simulate.h"

namespace tautmark::test {

// What kBoltInDrive says, in a joint of 1000 N per degree.
inline constexpr const char* kBoltInDrive = R"(fasteners:
  - name: phaser bolt
    thread: M12x1.25
    class: "10.9"
    count: 4
    condition: threads oiled
    single_use: true
    steps: [{torque: 35 N·m}, {angle: 75 deg}]
)";

struct BoltTrace {
  double friction = 0.12;
  double slope = 1000;  // N per degree
  tighten::SimulatedDamage damage{};
  double angle = 75;
  std::uint64_t seed = 1;
};

inline tighten::Trace simulated(const BoltTrace& of) {
  using namespace tighten;
  const Thread thread = read_thread("M12x1.25")->possible.front();
  SimulatedBolt bolt;
  bolt.origin = deg(150);
  bolt.per_degree = Force::from_si(of.slope);
  bolt.yield = preload_at(thread, of.friction, strength("10.9", thread.nominal)->yield) * 1.05;
  const double clamp = bolt.yield / bolt.per_degree;
  bolt.toe = deg(0.03 * clamp);
  bolt.knee = deg(0.04 * clamp);
  bolt.beyond = 0.03;
  bolt.per_force =
      torque_per_force(thread, {of.friction, of.friction}, ring_mean(*hexagon_face(thread))).all();
  bolt.prevailing = Torque::from_si(0.3);
  return simulated_trace(bolt, of.damage, {.noise = Torque::from_si(0.1)},
                         {.most = deg(900), .snug = Torque::from_si(35), .angle = deg(of.angle)},
                         of.seed);
}

inline std::string trace_text(const BoltTrace& of) {
  std::string text = "Angle [deg];Torque [N·m]\n";
  for (const tighten::TracePoint& point : simulated(of).points)
    text += fmt::format("{:.3f};{:.4f}\n", in_deg(point.angle), point.torque.si());
  return text;
}

}  // namespace tautmark::test
