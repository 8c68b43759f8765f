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
constexpr double kMostSeconds = 1e4;
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
      if (t >= phaser.stuck_from && t < phaser.stuck_until) speed = 0;
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

// One channel while it is made: angles become edges.
struct Channel {
  const SpeedProfile& profile;
  double delay = 0;
  SignalTrain train{};
  std::vector<TrueEdge> truth{};
  std::int64_t dropped = 0, extra = 0;

  void add_edge(double angle, int polarity, bool is_true) {
    profile.each_passage(angle, [&](double time, int direction) {
      const auto sign = static_cast<std::int8_t>(polarity * direction);
      train.edges.push_back({time + delay, sign});
      if (is_true) truth.push_back({angle, time + delay, sign});
    });
  }
  void add_pulse(double rise, double fall, bool is_true) {
    if (!(fall > rise)) return;
    add_edge(rise, 1, is_true);
    add_edge(fall, -1, is_true);
    extra += is_true ? 0 : 1;
  }
};

double width_of(const std::vector<double>& widths, double all, std::size_t index) {
  return widths.empty() ? all : widths[index];
}

void keep(Channel&& channel, Synthesised& out) {
  std::stable_sort(channel.truth.begin(), channel.truth.end(),
                   [](const TrueEdge& a, const TrueEdge& b) { return a.time < b.time; });
  out.trains.channels.push_back(std::move(channel.train));
  out.truth.edges.push_back(std::move(channel.truth));
  out.truth.dropped.push_back(channel.dropped);
  out.truth.extra.push_back(channel.extra);
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
  Channel channel{profile};
  channel.train.channel = 1;
  channel.train.name = "crank";
  const std::size_t teeth = in.crank_teeth.size();
  for (std::size_t k = 0; k < teeth; ++k)
    out.truth.tooth_errors.push_back(in.tooth_error * random.normal(tooth_error, k));
  const double last = profile.last_angle();
  for (std::uint64_t n = 0;; ++n) {
    const std::size_t k = n % teeth;
    const double at =
        360.0 * static_cast<double>(n / teeth) + in.crank_teeth[k] + out.truth.tooth_errors[k];
    const double rise = at + in.crank_jitter * random.normal(crank_edge, 2 * n);
    const double fall = at + width_of(in.crank_widths, in.crank_width, k) +
                        in.crank_jitter * random.normal(crank_edge, 2 * n + 1);
    if (std::max(rise, fall) > last) break;
    if (rise < 0) continue;
    const bool dead = std::find(in.faults.dead_teeth.begin(), in.faults.dead_teeth.end(),
                                static_cast<int>(k)) != in.faults.dead_teeth.end();
    const bool lost = dead || random.uniform(dropped, n) < in.faults.dropped;
    channel.dropped += lost ? 1 : 0;
    if (!lost) channel.add_pulse(rise, fall, true);
    if (random.uniform(extra, 2 * n) < in.faults.extra) {
      const double pitch = 360.0 / static_cast<double>(teeth);
      const double where = at + pitch * (0.3 + 0.5 * random.uniform(extra, 2 * n + 1));
      if (where + pitch / 10 < last) channel.add_pulse(where, where + pitch / 10, false);
    }
  }
  finish(channel.train, in, random, doubled, in.faults.inverted);
  keep(std::move(channel), out);
}

void make_cam(const Synthesis& in, std::size_t index, const SpeedProfile& profile,
              const CounterRandom& random, Synthesised& out) {
  const SynthCam& cam = in.cams[index];
  const auto streams = static_cast<std::uint32_t>(index + 1) * kStreamsPerChannel;
  Channel channel{profile, cam.delay};
  channel.train.channel = static_cast<int>(index) + 2;
  channel.train.name = "cam " + std::to_string(index + 1);
  const double last = profile.last_angle();
  const PhaserMotion phaser(cam.phaser, profile.time_at(last));
  const std::size_t targets = cam.targets.size();
  std::vector<double>& psi = out.truth.psi.emplace_back();
  std::int64_t& first_cycle = out.truth.first_cycle.emplace_back(0);
  bool chattered = false;
  for (std::uint64_t cycle = 0; 720.0 * static_cast<double>(cycle) < last + 720; ++cycle) {
    if (random.uniform(streams + chatter, cycle) < cam.chatter_chance) chattered = !chattered;
    double sum = 0, count = 0;
    for (std::size_t j = 0; j < targets; ++j) {
      double rise = 0, fall = 0;
      bool inside = true;
      for (const bool falling : {false, true}) {
        const double at = 720.0 * static_cast<double>(cycle) + cam.targets[j] +
                          (falling ? width_of(cam.widths, cam.width, j) : 0);
        const double phase = psi_at(cam, phaser, chattered, profile.time_at(std::min(at, last)));
        const std::uint64_t n = 2 * (cycle * targets + j) + (falling ? 1 : 0);
        const double angle = at - phase + cam.jitter * random.normal(streams + cam_edge, n);
        inside = inside && angle >= 0 && angle <= last;
        if (!inside) break;
        (falling ? fall : rise) = angle;
        sum += phase;
        ++count;
      }
      if (!inside) continue;
      const bool lost = random.uniform(streams + dropped, cycle * targets + j) < in.faults.dropped;
      channel.dropped += lost ? 1 : 0;
      if (!lost) channel.add_pulse(rise, fall, true);
    }
    if (count == 0) continue;
    if (psi.empty()) first_cycle = static_cast<std::int64_t>(cycle);
    psi.push_back(sum / count);
  }
  finish(channel.train, in, random, streams + doubled, cam.inverted);
  keep(std::move(channel), out);
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
  const auto no_widths = [](const std::vector<double>& widths, std::size_t count) {
    return !widths.empty() &&
           (widths.size() != count ||
            !std::all_of(widths.begin(), widths.end(), [](double w) { return w > 0; }));
  };
  if (no_widths(in.crank_widths, in.crank_teeth.size())) return "one width above 0 for each tooth";
  double turns = 0, seconds = 0;
  for (const SpeedPiece& p : in.speed) {
    if (!(p.duration > 0) || !(p.from >= 0) || !(p.to >= 0) ||
        !std::isfinite(p.duration * p.from * p.to))
      return "every speed piece must stand or turn forward for some time";
    if (!(p.swing_back >= 0) || (p.swing_back > 0 && p.from + p.to > 0))
      return "the crank rocks back only where it stands";
    if (!(std::abs(p.ripple) < 1) || !(p.order > 0)) return "ripple under 1, order above 0";
    turns += p.duration * std::max(p.from, p.to) / 60;
    seconds += p.duration;
  }
  if (!(turns > 0)) return "the crank never turns";
  if (seconds > kMostSeconds) return "over ten thousand seconds";
  double edges = turns * static_cast<double>(in.crank_teeth.size());
  for (const SynthCam& cam : in.cams) {
    if (outside(cam.targets, 720)) return "cam targets must increase within 0 to 720";
    if (cam.teeth < 1) return "a cam sprocket without teeth";
    if (no_widths(cam.widths, cam.targets.size())) return "one width above 0 for each target";
    edges += turns * static_cast<double>(cam.targets.size());
  }
  return edges > kMostEdges ? "over ten million edges" : nullptr;
}

}  // namespace

Result<std::vector<double>> inductive_crank(const Synthesis& in, const InductiveSignal& signal) {
  if (const char* why = problem(in)) return refuse(why);
  if (!(signal.sample_rate > 0)) return refuse("no sample rate");
  const SpeedProfile profile(in.speed);
  const double samples = std::floor(profile.last_time() * signal.sample_rate);
  if (!(samples < 1e8)) return refuse("over a hundred million samples");
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
    double v = signal.amplitude * profile.per_minute_at_time(time) / 1000 * sum +
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
  if (const char* why = problem(in)) return refuse(why);
  const SpeedProfile profile(in.speed);
  const CounterRandom random(in.seed);
  Synthesised out;
  out.truth.last_angle = profile.last_angle();
  make_crank(in, profile, random, out);
  for (std::size_t c = 0; c < in.cams.size(); ++c) make_cam(in, c, profile, random, out);
  out.trains.last_time = profile.last_time();
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
