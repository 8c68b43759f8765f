// SPDX-License-Identifier: Apache-2.0
#include "recording/synthesise.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "recording/random.h"

namespace tautmark {
namespace {

using recording::CounterRandom;

constexpr double kMostEdges = 1e7;
constexpr double kPhaserStep = 5e-4;  // s

// Streams of random numbers; cams add 16 each.
enum Stream : std::uint32_t {
  tooth_error,
  crank_edge,
  dropped,
  extra,
  doubled,
  cam_edge,
  chatter,
  voltage
};
constexpr std::uint32_t kStreamsPerChannel = 16;

tl::unexpected<Refusal> refused(const char* why) { return tl::unexpected<Refusal>(Refusal{why}); }

double kappa(const SpeedPiece& p) { return p.order * std::numbers::pi / 180; }

// Length s of the piece up to `angle`, from `start`: the angle less its ripple.
double length_to(const SpeedPiece& p, double start, double angle) {
  if (p.ripple == 0) return angle - start;
  const double k = kappa(p);
  return angle - start +
         p.ripple / k * (std::sin(k * angle + p.phase) - std::sin(k * start + p.phase));
}

double angle_of_length(const SpeedPiece& p, double start, double length) {
  double low = start, high = start + length + 2 * std::abs(p.ripple / kappa(p)) + 1;
  low = std::max(start, start + length - 2 * std::abs(p.ripple / kappa(p)) - 1);
  for (int i = 0; i < 200 && high - low > 1e-12 * std::max(1.0, high); ++i) {
    const double middle = (low + high) / 2;
    (length_to(p, start, middle) < length ? low : high) = middle;
  }
  return (low + high) / 2;
}

double acceleration(const SpeedPiece& p) { return 6 * (p.to - p.from) / p.duration; }

// Phaser position on an even grid of time: second order with a limit of speed after a dead time.
class PhaserMotion {
 public:
  PhaserMotion(const SynthPhaser& phaser, double end) {
    if (phaser.commands.empty()) return;
    double position = 0, speed = 0;
    const double w = phaser.frequency;
    for (double t = 0; t <= end + kPhaserStep; t += kPhaserStep) {
      double target = 0;
      for (const SynthCommand& c : phaser.commands)
        if (t >= c.time + phaser.dead_time) target = c.target;
      speed += kPhaserStep * (w * w * (target - position) - 2 * phaser.damping * w * speed);
      speed = std::clamp(speed, -phaser.slew, phaser.slew);
      position += kPhaserStep * speed;
      at_.push_back(position);
    }
  }
  [[nodiscard]] double at(double time) const {
    if (at_.empty()) return 0;
    const double place = std::clamp(time / kPhaserStep, 0.0, static_cast<double>(at_.size() - 1));
    const auto i = std::min(static_cast<std::size_t>(place), at_.size() - 1);
    const double part = place - static_cast<double>(i);
    return i + 1 < at_.size() ? at_[i] + part * (at_[i + 1] - at_[i]) : at_[i];
  }

 private:
  std::vector<double> at_;
};

double psi_at(const SynthCam& cam, const PhaserMotion& phaser, bool chattered, double time) {
  double psi = cam.offset - cam.elongation - cam.elongation_rate * time + phaser.at(time) +
               cam.hunting * std::sin(2 * std::numbers::pi * cam.hunting_frequency * time);
  for (const SynthJump& jump : cam.jumps)
    if (time >= jump.time) psi += jump.teeth * 720.0 / cam.teeth;
  return psi + (chattered ? cam.chatter : 0);
}

struct Pulse {
  double rise = 0, fall = 0;
};

void add_pulse(SignalTrain& train, const Pulse& pulse) {
  if (!(pulse.fall > pulse.rise)) return;
  train.edges.push_back({pulse.rise, 1});
  train.edges.push_back({pulse.fall, -1});
}

// Double edges, inversion, rounding to the sample clock, order of time.
void finish(SignalTrain& train, const Synthesis& in, const CounterRandom& random,
            std::uint32_t stream, bool inverted) {
  std::vector<SignalEdge> edges;
  for (std::size_t i = 0; i < train.edges.size(); ++i) {
    const SignalEdge& edge = train.edges[i];
    edges.push_back(edge);
    if (in.faults.doubled == 0 || random.uniform(stream, 2 * i) >= in.faults.doubled) continue;
    const double gap = 1e-6 + 49e-6 * random.uniform(stream, 2 * i + 1);
    edges.push_back({edge.time + gap, static_cast<std::int8_t>(-edge.polarity)});
    edges.push_back({edge.time + 2 * gap, edge.polarity});
  }
  std::stable_sort(edges.begin(), edges.end(),
                   [](const SignalEdge& a, const SignalEdge& b) { return a.time < b.time; });
  train.edges.clear();
  int level = -1;  // pulses that overlap merge
  for (SignalEdge edge : edges) {
    if (edge.polarity == level) continue;
    level = edge.polarity;
    if (in.sample_rate > 0) edge.time = std::ceil(edge.time * in.sample_rate) / in.sample_rate;
    if (inverted) edge.polarity = static_cast<std::int8_t>(-edge.polarity);
    train.edges.push_back(edge);
  }
  // Two edges in one sample are not seen.
  std::vector<SignalEdge> seen;
  for (const SignalEdge& edge : train.edges) {
    if (!seen.empty() && seen.back().time == edge.time)
      seen.pop_back();
    else
      seen.push_back(edge);
  }
  train.edges = std::move(seen);
  train.time_uncertainty = in.sample_rate > 0 ? 1 / in.sample_rate / std::sqrt(12.0) : 0;
}

void make_crank(const Synthesis& in, const SpeedProfile& profile, const CounterRandom& random,
                Synthesised& out) {
  SignalTrain& train = out.trains.channels.emplace_back();
  train.channel = 1;
  train.name = "crank";
  const std::size_t teeth = in.crank_teeth.size();
  for (std::size_t k = 0; k < teeth; ++k)
    out.truth.tooth_errors.push_back(in.tooth_error * random.normal(tooth_error, k));
  const double last = profile.last_angle();
  for (std::uint64_t n = 0;; ++n) {
    const std::size_t k = n % teeth;
    const double at =
        360.0 * static_cast<double>(n / teeth) + in.crank_teeth[k] + out.truth.tooth_errors[k];
    const double rise = at + in.crank_jitter * random.normal(crank_edge, 2 * n);
    const double fall = at + (in.crank_widths.empty() ? in.crank_width : in.crank_widths[k]) +
                        in.crank_jitter * random.normal(crank_edge, 2 * n + 1);
    if (std::max(rise, fall) > last) break;
    if (rise < 0) continue;
    const bool dead = std::find(in.faults.dead_teeth.begin(), in.faults.dead_teeth.end(),
                                static_cast<int>(k)) != in.faults.dead_teeth.end();
    if (!dead && random.uniform(dropped, n) >= in.faults.dropped)
      add_pulse(train, {profile.time_at(rise), profile.time_at(fall)});
    if (random.uniform(extra, 2 * n) < in.faults.extra) {
      const double pitch = 360.0 / static_cast<double>(teeth);
      const double where = at + pitch * (0.3 + 0.5 * random.uniform(extra, 2 * n + 1));
      if (where + pitch / 10 < last)
        add_pulse(train, {profile.time_at(where), profile.time_at(where + pitch / 10)});
    }
  }
  finish(train, in, random, doubled, in.faults.inverted);
}

void make_cam(const Synthesis& in, std::size_t index, const SpeedProfile& profile,
              const CounterRandom& random, Synthesised& out) {
  const SynthCam& cam = in.cams[index];
  const auto streams = static_cast<std::uint32_t>(index + 1) * kStreamsPerChannel;
  SignalTrain& train = out.trains.channels.emplace_back();
  train.channel = static_cast<int>(index) + 2;
  train.name = "cam " + std::to_string(index + 1);
  const double last = profile.last_angle();
  const PhaserMotion phaser(cam.phaser, profile.time_at(last));
  const std::size_t targets = cam.targets.size();
  std::vector<double>& psi = out.truth.psi.emplace_back();
  bool chattered = false;
  for (std::uint64_t cycle = 0; 720.0 * static_cast<double>(cycle) < last + 720; ++cycle) {
    if (random.uniform(streams + chatter, cycle) < cam.chatter_chance) chattered = !chattered;
    double sum = 0, count = 0;
    for (std::size_t j = 0; j < targets; ++j) {
      Pulse pulse;
      bool inside = true;
      for (const bool falling : {false, true}) {
        const double at =
            720.0 * static_cast<double>(cycle) + cam.targets[j] + (falling ? cam.width : 0);
        const double phase = psi_at(cam, phaser, chattered, profile.time_at(std::min(at, last)));
        const std::uint64_t n = 2 * (cycle * targets + j) + (falling ? 1 : 0);
        const double angle = at - phase + cam.jitter * random.normal(streams + cam_edge, n);
        inside = inside && angle >= 0 && angle <= last;
        if (!inside) break;
        (falling ? pulse.fall : pulse.rise) = profile.time_at(angle) + cam.delay;
        sum += phase;
        ++count;
      }
      if (inside && random.uniform(streams + dropped, cycle * targets + j) >= in.faults.dropped)
        add_pulse(train, pulse);
    }
    if (count > 0) psi.push_back(sum / count);
  }
  finish(train, in, random, streams + doubled, false);
}

const char* problem(const Synthesis& in) {
  if (in.crank_teeth.empty()) return "a crank wheel without teeth";
  if (in.speed.empty()) return "no speed";
  const auto outside = [](const std::vector<double>& angles, double limit) {
    for (std::size_t i = 0; i < angles.size(); ++i)
      if (!(angles[i] >= 0 && angles[i] < limit) || (i > 0 && !(angles[i] > angles[i - 1])))
        return true;
    return false;
  };
  if (outside(in.crank_teeth, 360)) return "crank teeth must increase within 0 to 360";
  if (!in.crank_widths.empty() && in.crank_widths.size() != in.crank_teeth.size())
    return "one width per crank tooth";
  double turns = 0;
  for (const SpeedPiece& p : in.speed) {
    if (!(p.duration > 0) || !(p.from > 0) || !(p.to > 0) ||
        !std::isfinite(p.duration * p.from * p.to))
      return "every speed piece must turn forward for some time";
    if (!(std::abs(p.ripple) < 1) || !(p.order > 0)) return "ripple under 1, order above 0";
    turns += p.duration * std::max(p.from, p.to) / 60;
  }
  double edges = turns * static_cast<double>(in.crank_teeth.size());
  for (const SynthCam& cam : in.cams) {
    if (outside(cam.targets, 720)) return "cam targets must increase within 0 to 720";
    if (cam.teeth < 1) return "a cam sprocket without teeth";
    edges += turns * static_cast<double>(cam.targets.size());
  }
  return edges > kMostEdges ? "over ten million edges" : nullptr;
}

}  // namespace

SpeedProfile::SpeedProfile(std::vector<SpeedPiece> pieces) : pieces_(std::move(pieces)) {
  starts_.push_back({});
  for (const SpeedPiece& p : pieces_) {
    const double length = 3 * (p.from + p.to) * p.duration;
    starts_.push_back(
        {starts_.back().time + p.duration, angle_of_length(p, starts_.back().angle, length)});
  }
}

std::size_t SpeedProfile::piece_at(double angle) const {
  std::size_t i = 0;
  while (i + 1 < pieces_.size() && angle > starts_[i + 1].angle) ++i;
  return i;
}

double SpeedProfile::time_at(double angle) const {
  const std::size_t i = piece_at(angle);
  const SpeedPiece& p = pieces_[i];
  const double length = length_to(p, starts_[i].angle, angle);
  const double w = 6 * p.from, a = acceleration(p);
  // The stable form of (-w + √(w² + 2 a s))/a: also right for a = 0.
  return starts_[i].time + 2 * length / (w + std::sqrt(std::max(0.0, w * w + 2 * a * length)));
}

double SpeedProfile::per_minute_at(double angle) const {
  const std::size_t i = piece_at(angle);
  const SpeedPiece& p = pieces_[i];
  const double length = length_to(p, starts_[i].angle, angle);
  const double w = 6 * p.from;
  return std::sqrt(std::max(0.0, w * w + 2 * acceleration(p) * length)) / 6 /
         (1 + p.ripple * std::cos(kappa(p) * angle + p.phase));
}

double SpeedProfile::angle_at(double time) const {
  std::size_t i = 0;
  while (i + 1 < pieces_.size() && time > starts_[i + 1].time) ++i;
  const SpeedPiece& p = pieces_[i];
  const double t = time - starts_[i].time;
  return angle_of_length(p, starts_[i].angle, 6 * p.from * t + 0.5 * acceleration(p) * t * t);
}

Result<std::vector<double>> inductive_crank(const Synthesis& in, const InductiveSignal& signal) {
  if (const char* why = problem(in)) return refused(why);
  if (!(signal.sample_rate > 0)) return refused("no sample rate");
  const SpeedProfile profile(in.speed);
  const double samples = std::floor(profile.last_time() * signal.sample_rate);
  if (!(samples < 1e8)) return refused("over a hundred million samples");
  const CounterRandom random(in.seed);
  const std::vector<double>& teeth = in.crank_teeth;
  double pitch = 360;  // of neighbors: a gap does not widen the teeth
  for (std::size_t k = 1; k < teeth.size(); ++k) pitch = std::min(pitch, teeth[k] - teeth[k - 1]);
  const double width = 0.22 * pitch;
  std::vector<double> errors, volts;
  for (std::size_t k = 0; k < teeth.size(); ++k)
    errors.push_back(in.tooth_error * random.normal(tooth_error, k));
  for (std::uint64_t i = 0; static_cast<double>(i) < samples; ++i) {
    const double time = static_cast<double>(i) / signal.sample_rate;
    const double angle = profile.angle_at(time);
    double sum = 0;
    for (std::size_t k = 0; k < teeth.size(); ++k) {
      if (std::find(in.faults.dead_teeth.begin(), in.faults.dead_teeth.end(),
                    static_cast<int>(k)) != in.faults.dead_teeth.end())
        continue;
      const double x = std::remainder(angle - teeth[k] - errors[k], 360.0) / width;
      if (std::abs(x) < 8) sum -= x * std::exp(0.5 - x * x / 2);
    }
    const double pi2 = 2 * std::numbers::pi;
    double v = signal.amplitude * profile.per_minute_at(angle) / 1000 * sum +
               signal.noise * random.normal(voltage, i) +
               signal.hum * std::sin(pi2 * signal.hum_frequency * time) +
               signal.drift * std::sin(pi2 * 0.2 * time);
    if (signal.bits > 0) {
      const double step = 2 * signal.full_scale / std::exp2(signal.bits);
      v = std::clamp(std::round(v / step) * step, -signal.full_scale, signal.full_scale);
    }
    volts.push_back(v);
  }
  return volts;
}

Result<Synthesised> synthesise(const Synthesis& in) {
  if (const char* why = problem(in)) return refused(why);
  const SpeedProfile profile(in.speed);
  const CounterRandom random(in.seed);
  Synthesised out;
  out.truth.last_angle = profile.last_angle();
  make_crank(in, profile, random, out);
  for (std::size_t c = 0; c < in.cams.size(); ++c) make_cam(in, c, profile, random, out);
  out.trains.last_time = profile.time_at(profile.last_angle());
  out.trains.format = "synthetic";
  return out;
}

std::vector<double> slotted_teeth(int slots, const std::vector<int>& missing) {
  std::vector<double> teeth;
  for (int s = 0; s < slots; ++s)
    if (std::find(missing.begin(), missing.end(), s) == missing.end())
      teeth.push_back(360.0 * s / slots);
  return teeth;
}

}  // namespace tautmark
