// SPDX-License-Identifier: Apache-2.0
// Recordings with known truth: for tests and for training people. Crank degrees, s, 1/min; phases
// advance positive. The same seed gives the same recording everywhere, on any number of threads.
//
// Time of an angle in closed form: dt/dθ = (1 + r cos(κθ + p))/(6 n), κ = q π/180, so that
// 6 n t(θ) = θ + (r/κ)(sin(κθ + p) - sin p); with a speed ramp that length s solves
// s = ω0 t + ½ α t². Source: signals.md section 9. A piece from 0 to 0 stands still; then the crank
// may rock back and return, as at key-off: θ = θ0 - b sin²(π t/T), an invented law with no speed at
// either end. Teeth passed that way give their edges twice more, backwards and forwards.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "recording/trains.h"

namespace tautmark {

struct SpeedPiece {
  double duration = 1;          // s
  double from = 800, to = 800;  // 1/min, without the ripple
  double ripple = 0;            // r: of the period, under 1
  double order = 2;             // q: events per turn
  double phase = 0;             // p, rad
  double swing_back = 0;        // b, degrees; only where from and to are 0
};

struct SynthJump {
  double time = 0;
  int teeth = 0;  // advance positive
};
struct SynthCommand {
  double time = 0;
  double target = 0;  // phaser angle from its base
};
struct SynthPhaser {
  std::vector<SynthCommand> commands;
  double dead_time = 0.05;                 // s
  double slew = 100;                       // deg/s at most
  double damping = 0.8;                    // ζ
  double frequency = 20;                   // rad/s, undamped
  double stuck_from = 0, stuck_until = 0;  // s: does not move in between
};

struct SynthCam {
  std::vector<double> targets;  // rising edges in the cycle, [0, 720), increasing
  double width = 20;            // degrees, to the falling edge
  std::vector<double> widths;   // one per target; empty: all of `width`
  double offset = 0;            // from the start: a wrong wheel, a wrong reference
  int teeth = 38;               // of the sprocket
  std::vector<SynthJump> jumps;
  double elongation = 0;       // degrees late at the start, not negative
  double elongation_rate = 0;  // deg/s
  SynthPhaser phaser;
  double hunting = 0, hunting_frequency = 1;  // degrees amplitude, Hz
  double chatter = 0, chatter_chance = 0;     // degrees; of changing state, per cycle
  double jitter = 0;                          // sd per edge, degrees
  double delay = 0;                           // s, of the channel
  bool inverted = false;                      // polarity
};

struct SynthFaults {
  double dropped = 0;           // chance per edge
  std::vector<int> dead_teeth;  // of the crank wheel, dropped in every turn
  double extra = 0;             // chance of an extra pulse per crank tooth
  double doubled = 0;           // chance of a double edge of 1 to 50 µs per edge
  bool inverted = false;        // crank polarity
};

struct Synthesis {
  std::uint64_t seed = 1;
  std::vector<double> crank_teeth;   // rising edges in the turn, [0, 360), increasing
  double crank_width = 3;            // degrees, to the falling edge
  std::vector<double> crank_widths;  // one per tooth; empty: all of `crank_width`
  double tooth_error = 0;            // sd, fixed per tooth, degrees
  double crank_jitter = 0;           // sd per edge, degrees
  std::vector<SpeedPiece> speed;
  std::vector<SynthCam> cams;
  SynthFaults faults;
  double sample_rate = 0;  // Hz: times are rounded up to the sample; 0: exact
};

// An edge as it left the wheel: exact time, before faults of the wiring, inversion and rounding.
struct TrueEdge {
  double angle = 0;  // crank degrees since the start, tooth error and jitter included
  double time = 0;   // s, the channel's delay included
  std::int8_t polarity = 0;
};

struct SynthTruth {
  std::vector<std::vector<double>> psi;      // [cam][cycle - first], without jitter
  std::vector<std::int64_t> first_cycle;     // [cam]
  std::vector<std::vector<TrueEdge>> edges;  // [channel - 1]; dropped and dead ones left out
  std::vector<std::int64_t> dropped, extra;  // [channel - 1], pulses
  std::vector<double> tooth_errors;          // degrees
  double last_angle = 0;
};

struct Synthesised {
  SignalTrains trains;  // channel 1 crank, then the cams
  SynthTruth truth;
};
// Refused: no teeth, no speed, never turning, a negative speed, ripple of 1 or more, angles out of
// range or not increasing, widths not one per tooth, over ten million edges or 10 000 s.
Result<Synthesised> synthesise(const Synthesis& in);

// Voltage of an inductive crank sensor, sampled: v = amplitude · n/1000 · Σ g((θ - α)/w) with
// g(x) = -x exp(½ - x²/2) and w = 0.22 of the tooth pitch: the falling zero crossing is the tooth.
// Noise is white, hum a sine, the baseline a slow drift. Rounded to `bits` over ±full_scale when
// bits > 0. Crank jitter and edge faults are left out; dead teeth are missing.
struct InductiveSignal {
  double amplitude = 2;       // V at 1000 1/min
  double sample_rate = 48e3;  // Hz
  double noise = 0;           // V, sd
  double hum = 0, hum_frequency = 50;
  double drift = 0;  // V, of a 0.2 Hz baseline
  int bits = 0;
  double full_scale = 10;  // V
};
// Refused: what synthesise refuses, no sample rate, over a hundred million samples.
Result<std::vector<double>> inductive_crank(const Synthesis& in, const InductiveSignal& signal);

// Teeth of a wheel with `slots` even slots, those of `missing` empty.
std::vector<double> slotted_teeth(int slots, const std::vector<int>& missing);

// Time at crank angle θ >= 0 and speed there; angle at a time.
class SpeedProfile {
 public:
  explicit SpeedProfile(std::vector<SpeedPiece> pieces);
  [[nodiscard]] double time_at(double angle) const;
  [[nodiscard]] double per_minute_at(double angle) const;
  [[nodiscard]] double angle_at(double time) const;
  [[nodiscard]] double per_minute_at_time(double time) const;  // negative while rocking back
  // Every passage of an angle, the first forwards: visit(time, direction).
  template <class Visit>
  void each_passage(double angle, Visit visit) const {
    visit(time_at(angle), 1);
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      const double part = (starts_[i].angle - angle) / pieces_[i].swing_back;
      if (!(pieces_[i].swing_back > 0 && part > 0 && part < 1)) continue;
      const double after = pieces_[i].duration / std::numbers::pi * std::asin(std::sqrt(part));
      visit(starts_[i].time + after, -1);
      visit(starts_[i + 1].time - after, 1);
    }
  }
  [[nodiscard]] double last_time() const { return starts_.back().time; }
  [[nodiscard]] double last_angle() const { return starts_.back().angle; }

 private:
  struct Start {
    double time = 0, angle = 0;
  };
  [[nodiscard]] std::size_t piece_at(double angle) const;
  [[nodiscard]] std::size_t piece_at_time(double time) const;
  [[nodiscard]] double per_minute(std::size_t piece, double angle) const;
  std::vector<SpeedPiece> pieces_;
  std::vector<Start> starts_;  // one more than pieces
};

}  // namespace tautmark
