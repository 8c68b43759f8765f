// SPDX-License-Identifier: Apache-2.0
// Simulated tightenings with a known fate, for truth_test and the benchmark: invented joints of
// M6 to M12, a step of torque or of torque and angle, a wrench with noise, steps of its sensors,
// stick-slip and ratchet strokes.
#pragma once

#include <algorithm>
#include <array>
#include <string>

#include "tighten/joint.h"
#include "tighten/trace_analysis.h"
#include "tighten/trace_simulate.h"

namespace tautmark::tighten::test {

enum class Fate {
  right,
  cross_threaded,
  stripped,
  bottomed,
  weaker_class,
  stronger_class,
  wrong_length,
  reused,
  stopped_early,
  too_far,
  snug_too_low,
};
inline constexpr std::array<const char*, 11> kFateNames = {
    "right",        "cross-threaded", "stripped",      "bottomed", "weaker class", "stronger class",
    "wrong length", "re-used",        "stopped early", "too far",  "snug too low"};

struct TruthCase {
  Fate fate{};
  bool angle_step = false, strokes = false, sticks = false;
  ExpectedStep expected{};
  SimulatedBolt bolt{};
  SimulatedDamage damage{};
  SimulatedRecorder recorder{};
  SimulatedStop stop{};
  std::uint64_t seed = 0;
};

inline Joint random_joint(TraceRandom& random, const Thread& thread,
                          std::string_view strength_class) {
  const Length d = thread.nominal;
  const Length clamped = d * random.uniform(2.5, 8);
  const Length free_thread = clamped * random.uniform(0.25, 0.6);
  return {.thread = thread,
          .strength = strength(strength_class, d).value(),
          .friction = {0.12, 0.12},
          .face = hexagon_face(thread).value(),
          .shank = {{clamped - free_thread, d}},
          .free_thread = free_thread,
          .clamped = clamped,
          .sleeve_outer = d * random.uniform(2, 4),
          .clamped_modulus = Pressure::from_si(random.once_in(2) ? 70e9 : 205e9),
          .counterpart_modulus = Pressure::from_si(70e9)};
}

// Where the clamp load stands when the step is done as it should be.
struct StepPlan {
  double load = 0, clamp = 0;  // N, degrees
};

inline void random_step(TraceRandom& random, TruthCase& c) {
  ExpectedStep& e = c.expected;
  const double s = e.slope->per_degree.si();
  const auto torque_at = [&](double mu, double load) {
    return load * torque_per_force(e.thread, {mu, mu}, e.head_mean).all().si();
  };
  const double low = e.friction.low, high = e.friction.high;
  const double yields = preload_at(e.thread, low, e.strength.yield).si();
  if (!c.angle_step) {
    e.target = Torque::from_si(torque_at(low, yields * random.uniform(0.75, 0.92)));
    c.stop.at_torque = *e.target * random.uniform(0.995, 1.02);
    return;
  }
  const double snug = yields * random.uniform(0.2, 0.4);
  e.snug = Torque::from_si(torque_at((low + high) / 2, snug));
  // Far enough that every bolt of the class yields at every friction of the class.
  const double least = snug * 0.7;
  e.angle = deg((1.2 * yields * (1 + e.slope->expanded) - least) / s + random.uniform(15, 60));
  e.meant_to_yield = true;
  c.stop.snug = e.snug;
  c.stop.angle = *e.angle + deg(random.uniform(-1, 1));
}

inline void random_recorder(TraceRandom& random, TruthCase& c, double end_torque) {
  SimulatedRecorder& r = c.recorder;
  r.step = deg(std::array{0.25, 0.5, 0.5, 1.0}[static_cast<std::size_t>(random.uniform(0, 4))]);
  r.noise = Torque::from_si(end_torque * random.uniform(0.001, 0.008));
  if (random.once_in(2))
    r.angle_step = deg(std::array{0.1, 0.5, 1.0}[static_cast<std::size_t>(random.uniform(0, 3))]);
  if (random.once_in(2)) r.torque_step = Torque::from_si(end_torque < 20 ? 0.05 : 0.2);
  c.sticks = random.once_in(6);
  if (c.sticks) {
    r.stick_slip = Torque::from_si(end_torque * random.uniform(0.01, 0.03));
    r.stick_slip_period = deg(random.uniform(2, 5));
  }
  c.strokes = random.once_in(3);
  r.counts_back = random.once_in(2);
  r.stroke_back = deg(random.uniform(20, 60));
  r.wind_up = deg(random.uniform(1, 4));
  if (c.strokes) {
    for (double at = in_deg(c.bolt.origin) + random.uniform(0, 40); at < 700;
         at += random.uniform(25, 60)) {
      r.stroke_ends.push_back(deg(at));
    }
  }
}

inline void let_it_happen(TraceRandom& random, TruthCase& c) {
  const ExpectedStep& e = c.expected;
  const double k = c.bolt.per_force.si();
  // What the step would reach with the right bolt.
  const double load = c.angle_step ? c.bolt.yield.si() : c.stop.at_torque->si() / k;
  const double torque = load * k;
  switch (c.fate) {
    case Fate::cross_threaded: {
      CrossThread cross{.from = deg(random.uniform(0, 60)),
                        .per_turn = Torque::from_si(torque * random.uniform(0.1, 1.5)),
                        .lumps = random.uniform(0.05, 0.4),
                        .seats = random.once_in(2)};
      c.damage.cross_thread = cross;
      // It binds at least half a turn before the head is down.
      c.bolt.origin = cross.from + deg(random.uniform(180, 500));
      c.stop.most = c.bolt.origin + deg(700);
      break;
    }
    case Fate::stripped:
      c.damage.stripped = {.load = Force::from_si(load * random.uniform(0.3, 0.97)),
                           .holds = deg(random.uniform(0, 15)),
                           .fade = deg(random.uniform(15, 90)),
                           .rest = random.uniform(0, 0.6)};
      // The hand gives up at some time.
      c.stop.most = c.bolt.origin + deg(load / c.bolt.per_degree.si() + random.uniform(10, 300));
      break;
    case Fate::bottomed:
      c.damage.bottomed = {.load = Force::from_si(load * random.uniform(0.05, 0.7)),
                           .times = random.uniform(1.5, 4)};
      break;
    case Fate::weaker_class:
    case Fate::stronger_class: {
      const double share = c.bolt.yield.si() / preload_at(e.thread, 0.12, e.strength.yield).si();
      const bool weak = c.fate == Fate::weaker_class;
      const std::string_view other = e.strength.name == "10.9" ? (weak ? "8.8" : "12.9")
                                     : weak                    ? "8.8"
                                                               : "10.9";
      c.bolt.yield = share * preload_at(e.thread, 0.12, strength(other, e.thread.nominal)->yield);
      break;
    }
    case Fate::wrong_length: {
      const double change = random.once_in(2) ? random.uniform(0.5, 0.75) : random.uniform(1.35, 2);
      c.bolt.per_degree = c.bolt.per_degree * change;
      break;
    }
    case Fate::reused:
      // Yields at the load it was taken to before.
      c.bolt.yield = c.bolt.yield * random.uniform(1.02, 1.12);
      break;
    case Fate::stopped_early:
      if (c.angle_step)
        c.stop.angle = c.stop.angle * random.uniform(0.4, 0.85);
      else
        c.stop.at_torque = *c.stop.at_torque * random.uniform(0.4, 0.9);
      break;
    case Fate::too_far:
      if (c.angle_step)
        c.stop.angle = c.stop.angle * random.uniform(1.15, 1.6);
      else
        c.stop.at_torque = *c.stop.at_torque * random.uniform(1.1, 1.4);
      break;
    case Fate::snug_too_low:
      // The snug torque stands within the toe.
      c.bolt.toe = deg(random.uniform(8, 16));
      c.expected.snug = *c.expected.snug * random.uniform(0.1, 0.4);
      c.stop.snug = c.expected.snug;
      break;
    case Fate::right:
      break;
  }
}

inline TruthCase truth_case(std::uint64_t seed) {
  TraceRandom random(seed * 0x2545F4914F6CDD1D + 99);
  TruthCase c;
  c.seed = seed;
  c.fate = static_cast<Fate>(seed % kFateNames.size());
  c.angle_step = random.once_in(2);
  if (c.fate == Fate::snug_too_low) c.angle_step = true;
  constexpr std::array<std::string_view, 5> kThreads = {"M6x1", "M8x1.25", "M10x1.5", "M10x1.25",
                                                        "M12x1.75"};
  const Thread thread =
      read_thread(kThreads[static_cast<std::size_t>(random.uniform(0, 5))])->possible[0];
  std::string_view of = random.once_in(2) ? "8.8" : random.once_in(2) ? "10.9" : "12.9";
  if (c.fate == Fate::weaker_class) of = random.once_in(2) ? "10.9" : "12.9";
  if (c.fate == Fate::stronger_class) of = random.once_in(2) ? "10.9" : "8.8";
  const Joint joint = random_joint(random, thread, of);
  ExpectedStep& e = c.expected;
  e.thread = thread;
  e.strength = joint.strength;
  e.friction = friction_classes()[static_cast<std::size_t>(random.uniform(0, 3))];
  e.head_mean = ring_mean(joint.face);
  const Force truly = tightened(joint, {})->per_degree;
  const double off = 0.05;  // standard deviation of what is expected
  e.slope = ExpectedSlope{truly * (1 + off * std::clamp(random.normal(), -2.5, 2.5)), 2 * off};

  const Friction friction = {random.uniform(e.friction.low, e.friction.high),
                             random.uniform(e.friction.low, e.friction.high)};
  SimulatedBolt& b = c.bolt;
  b.per_degree = truly;
  b.yield = preload_at(thread, friction.thread, joint.strength.yield) * random.uniform(1, 1.15);
  b.per_force = torque_per_force(thread, friction, e.head_mean).all();
  const double clamp = b.yield / b.per_degree;
  b.origin = deg(random.uniform(60, 200));
  b.toe = deg(clamp * random.uniform(0.02, 0.08));
  b.knee = deg(clamp * random.uniform(0.02, 0.06));
  b.beyond = random.uniform(0.01, 0.06);
  b.prevailing = Torque::from_si(b.per_force.si() * b.yield.si() * random.uniform(0, 0.015));
  random_step(random, c);
  const double end_torque = b.per_force.si() * b.yield.si();
  c.stop.most = b.origin + deg(900);
  let_it_happen(random, c);
  random_recorder(random, c, end_torque);
  return c;
}

struct TruthResult {
  Result<TraceResult> answer{};
  bool had_yield = false;  // its half-gradient point lies at least 10° before the end
  double torque_off = 0;   // of the yield torque found, as a ratio; 1: none found
  bool false_yield = false;
};

inline TruthResult run(const TruthCase& c) {
  TruthResult r;
  const Trace trace = simulated_trace(c.bolt, c.damage, c.recorder, c.stop, c.seed + 1);
  r.answer = analyse_trace(trace, c.expected);
  const bool plain = !c.damage.cross_thread && !c.damage.stripped && !c.damage.bottomed;
  if (!plain) return r;
  // Angle of the bolt at the end, without noise.
  SimulatedRecorder still{.step = c.recorder.step};
  const double end = in_deg(simulated_trace(c.bolt, {}, still, c.stop, 1).points.back().angle);
  const Angle half = half_gradient_angle(c.bolt);
  r.had_yield = end > in_deg(half) + 10;
  const bool found = r.answer && r.answer->yield.has_value();
  if (r.had_yield) {
    const double truth = simulated_torque(c.bolt, half).si();
    r.torque_off = found ? std::abs(r.answer->yield->torque.si() / truth - 1) : 1;
  }
  r.false_yield = found && end < in_deg(half) - 5;
  return r;
}

}  // namespace tautmark::tighten::test
