// SPDX-License-Identifier: Apache-2.0
#include "tighten/trace_simulate.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace tautmark::tighten {
namespace {

double softplus(double z) { return z > 0 ? z + std::log1p(std::exp(-z)) : std::log1p(std::exp(z)); }

// Clamp load at a clamp angle in degrees.
double load_at(const SimulatedBolt& bolt, double u) {
  const double s = bolt.per_degree.si();
  const double g = in_deg(bolt.knee);
  const double yields = bolt.yield.si() / s;
  return s * u - (1 - bolt.beyond) * s * g * softplus((u - yields) / g);
}

double clamp_angle(const SimulatedBolt& bolt, double angle) {
  const double w = in_deg(bolt.toe);
  return w * softplus((angle - in_deg(bolt.origin)) / w);
}

// What the damages make of the torque; stateful in the angle, which only grows.
class Damaged {
 public:
  Damaged(const SimulatedBolt& bolt, const SimulatedDamage& damage, TraceRandom& random)
      : bolt_(bolt), damage_(damage) {
    for (double& phase : phases_) phase = random.uniform(0, 2 * std::numbers::pi);
  }

  double torque(double angle) {
    double u = clamp_angle(bolt_, angle);
    if (damage_.bottomed) {
      const double at = damage_.bottomed->load.si() / bolt_.per_degree.si();
      u += (damage_.bottomed->times - 1) * softplus(u - at);
    }
    double load = load_at(bolt_, u);
    if (damage_.stripped) load = stripped(load, angle);
    double torque = bolt_.per_force.si() * load;
    if (damage_.cross_thread) {
      if (!damage_.cross_thread->seats) torque = 0;
      torque += bound(angle);
    }
    return torque + bolt_.prevailing.si();
  }

 private:
  double stripped(double load, double angle) {
    const StrippedThread& s = *damage_.stripped;
    const double knee = 0.05 * s.load.si();
    // Approaches the load at which the thread gives way with a knee of its own.
    const double held = load - knee * softplus((load - s.load.si()) / knee);
    if (load >= s.load.si() && gave_ < -1e8) gave_ = angle;
    const double since = gave_ < -1e8 ? 0 : angle - gave_ - in_deg(s.holds);
    const double left = since <= 0 ? 1 : s.rest + (1 - s.rest) * std::exp(-since / in_deg(s.fade));
    return held * left;
  }

  double bound(double angle) const {
    const CrossThread& c = *damage_.cross_thread;
    const double base = c.per_turn.si() * std::max(0.0, angle - in_deg(c.from)) / 360;
    double lumps = 0;
    for (std::size_t i = 0; i < phases_.size(); ++i) {
      lumps += std::sin(angle * (0.03 + 0.05 * static_cast<double>(i)) + phases_[i]);
    }
    return base * (1 + c.lumps * lumps / 2);
  }

  const SimulatedBolt& bolt_;
  const SimulatedDamage& damage_;
  double gave_ = -1e9;
  std::array<double, 4> phases_{};
};

double quantised(double value, double step) {
  return step > 0 ? step * std::round(value / step) : value;
}

// Writes what the wrench would have sent.
class Recorder {
 public:
  Recorder(const SimulatedRecorder& how, TraceRandom& random, Trace& trace)
      : how_(how), random_(random), trace_(trace) {}

  void write(double angle, double torque) {
    const double period = in_deg(how_.stick_slip_period);
    const bool high = std::fmod(std::abs(angle), period) < period / 2;
    // Stick-slip needs torque to stick at.
    const double share = std::clamp(torque / (5 * how_.stick_slip.si() + 1e-12), 0.0, 1.0);
    torque += share * how_.stick_slip.si() * (high ? 1 : -1) + how_.noise.si() * random_.normal();
    trace_.points.push_back({deg(quantised(angle + offset_, in_deg(how_.angle_step))),
                             Torque::from_si(quantised(torque, how_.torque_step.si()))});
  }

  // Handle back and forward again: the torque is let go and taken up over the wind-up.
  void stroke(double angle, double torque) {
    const double step = in_deg(how_.step);
    const double wind = in_deg(how_.wind_up);
    const double back = in_deg(how_.stroke_back);
    for (double b = step; b < wind; b += step) write(angle - b, torque * (1 - b / wind));
    if (how_.counts_back) {
      for (double b = wind; b < back; b += step) write(angle - b, 0);
      offset_ -= back - wind;
    }
    for (double b = wind; b > 0; b -= step) write(angle - b, torque * (1 - b / wind));
  }

 private:
  const SimulatedRecorder& how_;
  TraceRandom& random_;
  Trace& trace_;
  double offset_ = 0;
};

}  // namespace

Force simulated_preload(const SimulatedBolt& bolt, Angle angle) {
  return Force::from_si(load_at(bolt, clamp_angle(bolt, in_deg(angle))));
}

Torque simulated_torque(const SimulatedBolt& bolt, Angle angle) {
  return Torque::from_si(bolt.per_force.si() * simulated_preload(bolt, angle).si()) +
         bolt.prevailing;
}

Angle half_gradient_angle(const SimulatedBolt& bolt) {
  // The toe has faded there: θ = θ_0 + u. In u the gradient is s (1 - (1 - r) logistic(z)).
  const double share = 0.5 / (1 - bolt.beyond);
  const double z = std::log(share / (1 - share));
  return bolt.origin + deg(bolt.yield / bolt.per_degree + in_deg(bolt.knee) * z);
}

Trace simulated_trace(const SimulatedBolt& bolt, const SimulatedDamage& damage,
                      const SimulatedRecorder& recorder, const SimulatedStop& stop,
                      std::uint64_t seed) {
  TraceRandom random(seed);
  Trace trace;
  Damaged truth(bolt, damage, random);
  Recorder out(recorder, random, trace);
  std::size_t stroke = 0;
  std::optional<double> snug_at;
  const double step = in_deg(recorder.step);
  for (int i = 0; i * step <= in_deg(stop.most) + 1e-9; ++i) {
    const double angle = i * step;
    const double torque = truth.torque(angle);
    out.write(angle, torque);
    if (stop.at_torque && torque >= stop.at_torque->si()) break;
    if (stop.snug && !snug_at && torque >= stop.snug->si()) snug_at = angle;
    if (snug_at && angle >= *snug_at + in_deg(stop.angle)) break;
    if (stroke < recorder.stroke_ends.size() && angle >= in_deg(recorder.stroke_ends[stroke])) {
      ++stroke;
      out.stroke(angle, torque);
    }
  }
  return trace;
}

TraceRandom::TraceRandom(std::uint64_t seed) : state_(seed) {}

// splitmix64 (Steele, Lea, Flood, "Fast splittable pseudorandom number generators", 2014).
double TraceRandom::uniform(double low, double high) {
  state_ += 0x9e3779b97f4a7c15;
  std::uint64_t z = state_;
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9;
  z = (z ^ (z >> 27)) * 0x94d049bb133111eb;
  z ^= z >> 31;
  return low + (high - low) * static_cast<double>(z >> 11) * 0x1p-53;
}

double TraceRandom::normal() {
  const double radius = std::sqrt(-2 * std::log(1 - uniform(0, 1)));
  return radius * std::cos(2 * std::numbers::pi * uniform(0, 1));
}

bool TraceRandom::once_in(int n) { return uniform(0, n) < 1; }

}  // namespace tautmark::tighten
