// SPDX-License-Identifier: Apache-2.0
// Engines with a known fault, recorded, decoded and weighed: what the answer should be is known
// without asking the program. For the test of the whole way and for the confusion table of the
// benchmark. Every case depends on its number alone.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "recording/decode.h"
#include "recording/edges.h"
#include "recording/evidence.h"
#include "recording/hypotheses.h"
#include "recording/nominal.h"
#include "recording/random.h"
#include "recording/samples.h"
#include "recording/slots.h"
#include "recording/synthesise.h"

namespace tautmark::test {

enum class Fault {
  right,
  elongation,
  jump_one,
  jump_chain,
  jump_all,
  jump_and_elongation,
  slipped,
  crank_reference,
  phaser
};
inline constexpr int kFaults = 9;
inline constexpr std::array<const char*, kFaults> kFaultNames = {
    "right",         "elongation", "jump, one cam", "jump, a chain",  "jump, all",
    "jump and wear", "slipped",    "crank off",     "phaser off base"};

enum class Signal { exact, sampled, hall, inductive };
inline constexpr std::array<const char*, 4> kSignalNames = {"exact", "sampled", "hall",
                                                            "inductive"};
enum class Speed { cranking, idle, fast, start };
inline constexpr std::array<const char*, 4> kSpeedNames = {"cranking", "idle", "fast", "start"};

struct TruthWheel {
  const char* name;
  std::vector<double> teeth;
  double zero;   // angle of the first tooth after the largest gap
  int symmetry;  // equal zeros
  std::vector<double> widths;
};
inline const std::vector<TruthWheel>& truth_wheels() {
  static const std::vector<TruthWheel> kWheels = [] {
    std::vector<double> added = slotted_teeth(36, {}), widths;
    added.push_back(355);
    // 111010001101110000111010: three runs of three wide teeth; what stands before them, read
    // backwards, is largest for the run that ends at tooth 13, so the zero is tooth 14.
    for (int tooth = 0; tooth < 24; ++tooth)
      widths.push_back((0x5c3b17 >> tooth & 1) != 0 ? 10 : 5);
    return std::vector<TruthWheel>{
        {"60-2", slotted_teeth(60, {58, 59}), 0, 1, {}},
        {"36-1", slotted_teeth(36, {35}), 0, 1, {}},
        {"36-2-1", slotted_teeth(36, {17, 34, 35}), 0, 1, {}},
        {"36-2-2-2", slotted_teeth(36, {10, 11, 22, 23, 34, 35}), 0, 3, {}},
        {"24-1", slotted_teeth(24, {23}), 0, 1, {}},
        {"36+1", added, 350, 1, {}},
        {"24 wide and narrow", slotted_teeth(24, {}), 210, 1, widths},
        {"24 uniform", slotted_teeth(24, {}), 0, 24, {}},
        {"12 uniform", slotted_teeth(12, {}), 0, 12, {}},
        {"4 (70/110)", {0, 70, 180, 250}, 0, 2, {}},
        {"2 uniform", {0, 180}, 0, 2, {}}};
  }();
  return kWheels;
}

struct CamInDrive {
  int channel = 0;
  std::string name;
  int teeth = 0;  // of its sprocket
  int chain = 0;
  double strand_ratio = 1;
  std::optional<double> travel_from = {}, travel_to = {};
};

struct TruthCase {
  std::size_t wheel = 0;
  Fault fault{};
  Signal signal{};
  Speed speed{};
  double lost = 0;                // lost, extra and half as many double edges, chance
  double noise = 0;               // V, analog signals
  bool nominal = false;           // reference from the drawing, not from a good recording
  std::vector<CamInDrive> drive;  // channel c + 2
  std::vector<int> jump;          // teeth per cam, advance positive
  std::vector<double> phase;      // per cam, degrees
  Synthesis good, bad;
};

class Draw {
 public:
  explicit Draw(std::uint64_t seed) : random_(seed) {}
  double between(double low, double high) { return low + (high - low) * random_.uniform(0, n_++); }
  std::size_t below(std::size_t count) {
    return std::min(count - 1, static_cast<std::size_t>(between(0, static_cast<double>(count))));
  }
  template <class T>
  T one_of(std::initializer_list<T> values) {
    return values.begin()[below(values.size())];
  }

 private:
  recording::CounterRandom random_;
  std::uint64_t n_ = 0;
};

// Ripple falls with speed squared, from at most 0.25 at 250 1/min.
inline std::vector<SpeedPiece> speed_of(Speed speed, Draw& draw, double order, double phase,
                                        double strength) {
  const auto ripple = [&](double n) { return strength * std::min(1.0, 250 * 250 / (n * n)); };
  const auto piece = [&](double seconds, double from, double to) {
    return SpeedPiece{seconds, from, to, ripple((from + to) / 2), order, phase};
  };
  const double crank = draw.between(180, 280), idle = draw.between(600, 950),
               fast = draw.between(1500, 3000);
  switch (speed) {
    case Speed::cranking:
      return {piece(12 * 120 / crank, crank, crank * draw.between(0.95, 1.1))};
    case Speed::idle:
      return {piece(14 * 120 / idle, idle, idle * draw.between(0.97, 1.05))};
    case Speed::fast:
      return {piece(18 * 120 / fast, fast, fast * draw.between(0.9, 1.1))};
    case Speed::start:
      return {piece(1.5, crank, crank), piece(0.8, crank, idle), piece(2, idle, idle)};
  }
  return {};
}

inline double tooth_of(const TruthCase& c, std::size_t cam) {
  return tooth_in_crank_degrees(c.drive[cam].teeth);
}

// An angle that is no whole tooth of any cam, with either sign.
inline double no_tooth(const TruthCase& c, Draw& draw) {
  for (;;) {
    const double angle = draw.between(6, 28) * (draw.below(2) == 0 ? 1 : -1);
    const double part = std::abs(std::remainder(angle, tooth_of(c, 0)));
    if (part > 3) return angle;
  }
}

inline TruthCase truth_case(std::uint64_t index) {
  Draw draw(1000 + index);
  TruthCase c;
  c.fault = static_cast<Fault>(index % kFaults);
  c.wheel = index / kFaults % truth_wheels().size();
  const TruthWheel& wheel = truth_wheels()[c.wheel];
  c.signal = static_cast<Signal>(draw.below(4));
  const bool few = wheel.teeth.size() < 6;
  if (c.signal == Signal::inductive && (few || !wheel.widths.empty())) c.signal = Signal::hall;
  c.speed = static_cast<Speed>(draw.below(4));
  c.lost = draw.one_of({0.0, 0.0, 0.0, 0.005, 0.02});

  // The engine: one chain with two cams, two with one each, or two with two each.
  const std::size_t kind = c.fault == Fault::crank_reference || c.fault == Fault::jump_chain
                               ? 1 + draw.below(2)
                               : draw.below(3);
  const std::size_t cams = kind == 2 ? 4 : 2;
  const int teeth = draw.one_of({36, 38, 40, 42, 46, 48, 50});
  const bool phaser = c.fault == Fault::phaser || draw.below(4) == 0;
  for (std::size_t b = 0; b < cams; ++b) {
    CamInDrive cam;
    cam.channel = static_cast<int>(b) + 2;
    cam.name = "cam " + std::to_string(b + 1);
    cam.teeth = teeth;
    cam.chain = kind == 0 ? 1 : kind == 1 ? static_cast<int>(b) : static_cast<int>(b / 2);
    cam.strand_ratio = kind == 1 ? 1 : b % 2 == 0 ? 1.338 : 1;
    if (phaser && b % 2 == 0) cam.travel_from = 0, cam.travel_to = 45;
    c.drive.push_back(cam);
  }
  const auto chain_of = [&](std::size_t b) { return c.drive[b].chain; };

  // The fault.
  c.jump.assign(cams, 0);
  c.phase.assign(cams, 0);
  const int k = draw.one_of({-3, -2, -1, -1, 1, 1, 2, 3});
  const std::size_t moved = draw.below(cams);
  const double worn = draw.between(2.5, 8),
               worn_too = draw.below(2) == 0 ? draw.between(2.5, 6) : 0;
  for (std::size_t b = 0; b < cams; ++b) {
    const bool is_jump =
        c.fault == Fault::jump_all ||
        (c.fault == Fault::jump_chain && chain_of(b) == chain_of(moved)) ||
        ((c.fault == Fault::jump_one || c.fault == Fault::jump_and_elongation) && b == moved);
    if (is_jump) c.jump[b] = k;
    c.phase[b] = c.jump[b] * tooth_of(c, b);
    // With one cam a chain only another chain's wear tells a jump with wear from a slipped wheel.
    if (c.fault == Fault::elongation || c.fault == Fault::jump_and_elongation)
      c.phase[b] -= c.drive[b].strand_ratio * (chain_of(b) == chain_of(0) ? worn
                                               : kind == 1                ? std::max(worn_too, 2.5)
                                                                          : worn_too);
  }
  if (c.fault == Fault::jump_and_elongation && kind == 2 && chain_of(moved) != chain_of(0) &&
      worn_too == 0) {
    for (std::size_t b = 0; b < cams; ++b)
      if (chain_of(b) == chain_of(moved)) c.phase[b] -= c.drive[b].strand_ratio * 3;
  }
  if (c.fault == Fault::slipped) c.phase[moved] = no_tooth(c, draw);
  if (c.fault == Fault::crank_reference) c.phase.assign(cams, no_tooth(c, draw));
  if (c.fault == Fault::phaser) c.phase[0] = draw.between(4, 40);

  // The signals.
  const double pitch = 360.0 / static_cast<double>(wheel.teeth.size());
  Synthesis& good = c.good;
  good.seed = 2 * index + 1;
  good.crank_teeth = wheel.teeth;
  good.crank_widths = wheel.widths;
  good.crank_width = wheel.teeth.size() == 37 ? 3 : std::min(20.0, 0.4 * pitch);
  good.tooth_error = std::min(0.1, 0.01 * pitch);
  good.cams.resize(cams);
  for (std::size_t b = 0; b < cams; ++b) {
    SynthCam& cam = good.cams[b];
    const double first = draw.between(20, 80);
    switch (few ? draw.below(3)
                : draw.below(5)) {  // an even cam is like an even crank of few teeth
      case 0:
        cam.targets = {first + 100};
        cam.width = 60;
        break;
      case 1:
        cam.targets = {first, first + 183.2, first + 253, first + 563.6};
        break;
      case 2:
        cam.targets = {first, first + 233.2, first + 366.5};
        cam.width = 35;
        break;
      case 3:
        cam.targets = {first, first + 180, first + 360, first + 540};
        cam.width = 40;
        break;
      default:
        cam.targets = {first, first + 70, first + 180, first + 420, first + 490, first + 600};
        break;
    }
    cam.teeth = teeth;
    cam.jitter = 0.05;
  }
  // One cam at least must not look the same after half a cycle: else nothing says what a cycle is.
  good.cams[cams - 1].targets = {60, 243.2, 313, 623.6};
  good.cams[cams - 1].width = 25;
  good.crank_jitter = 0.02;
  const double order = draw.one_of({2.0, 3.0}), phase = draw.between(0, 6.28);
  const double strength = draw.between(0.05, 0.25);
  c.bad = good;
  c.bad.seed = 2 * index + 2;
  c.bad.speed = speed_of(c.speed, draw, order, phase, strength);
  const bool unequal = draw.below(4) == 0;  // the reference at another speed
  good.speed = speed_of(unequal ? Speed::idle : c.speed, draw, order,
                        phase + draw.between(-0.2, 0.2), strength * draw.between(0.8, 1.2));
  for (std::size_t b = 0; b < cams; ++b) {
    c.bad.cams[b].offset = c.phase[b];
    c.bad.cams[b].jitter = draw.between(0.05, 0.4);
  }
  c.bad.crank_jitter = draw.between(0.02, 0.3) * std::min(1.0, pitch / 10);
  double fastest = 0;
  for (const SpeedPiece& p : c.bad.speed) fastest = std::max({fastest, p.from, p.to});
  const double rate = std::max(
      20e3, 20 * static_cast<double>(std::max<std::size_t>(60, wheel.teeth.size())) * fastest / 60);
  if (c.signal != Signal::exact) c.bad.sample_rate = rate;
  c.noise = draw.between(0.005, 0.08);
  c.bad.faults.dropped = c.lost;
  c.bad.faults.extra = c.lost;
  c.bad.faults.doubled = c.lost / 2;
  c.nominal = wheel.teeth.size() > 6 && wheel.symmetry == 1 && draw.below(5) == 0;
  return c;
}

// Analog voltages of `rate` through the edge finders. Crank inductive or like a hall sensor.
inline SignalTrains sampled_trains(const TruthCase& c, const SignalTrains& exact) {
  const recording::CounterRandom random(c.bad.seed);
  const double rate = c.bad.sample_rate;
  const auto samples = static_cast<std::size_t>(exact.last_time * rate);
  std::vector<std::vector<double>> volts;
  SampleSource source;
  source.format = "synthetic";
  source.step = 1 / rate;
  for (const SignalTrain& train : exact.channels) {
    source.names.push_back(train.name);
    if (train.channel == 1 && c.signal == Signal::inductive) {
      InductiveSignal signal;
      signal.sample_rate = rate;
      signal.amplitude = 6;
      signal.noise = c.noise / 2;
      signal.hum = 0.02;
      volts.push_back(inductive_crank(c.bad, signal).value());
      volts.back().resize(samples, 0);
      continue;
    }
    std::vector<double>& v = volts.emplace_back(samples, 0.4);
    const double flank = 3 / rate;
    std::size_t next = 0;
    double level = 0;
    for (std::size_t i = 0; i < samples; ++i) {
      const double t = static_cast<double>(i) / rate;
      while (next < train.edges.size() && train.edges[next].time + flank / 2 <= t)
        level = train.edges[next++].polarity > 0 ? 1 : 0;
      double part = level;
      if (next < train.edges.size()) {
        const double in = (t - train.edges[next].time) / flank + 0.5;
        if (in > 0) part = train.edges[next].polarity > 0 ? in : 1 - in;
      }
      v[i] +=
          4.2 * part + c.noise * random.normal(1000 + static_cast<std::uint32_t>(train.channel), i);
    }
  }
  source.scan = [&](Extent, const SampleVisit& visit) -> tl::expected<void, Diagnostics> {
    constexpr std::size_t kRows = 8192;
    for (std::size_t at = 0; at < samples; at += kRows) {
      SampleBlock block{static_cast<std::int64_t>(at), std::min(kRows, samples - at), nullptr, {}};
      for (const auto& v : volts) block.channels.push_back(v.data() + at);
      if (auto done = visit(block); !done) return done;
    }
    return {};
  };
  source.place = [](std::int64_t) { return TextPlace{"test", 0, 0, 1, {}}; };
  return trains_of(source).value_or(SignalTrains());
}

inline SignalTrains recorded(const TruthCase& c) {
  Synthesis in = c.bad;
  if (c.signal == Signal::hall || c.signal == Signal::inductive) in.sample_rate = 0;
  SignalTrains trains = synthesise(in).value().trains;
  if (c.signal == Signal::hall || c.signal == Signal::inductive) return sampled_trains(c, trains);
  for (SignalTrain& train : trains.channels) train.glitches = drop_glitches(train.edges);
  return trains;
}

// The same jump on all of several chains: the crank side's, its sprocket or its sensor wheel.
inline bool same_on_several_chains(const TruthCase& c) {
  bool several = false;
  for (std::size_t b = 0; b < c.drive.size(); ++b) {
    if (c.jump[b] == 0 || c.jump[b] != c.jump[0]) return false;
    several = several || c.drive[b].chain != c.drive[0].chain;
  }
  return several;
}

// Whether a jump with this truth stands out from every other jump, right and wear included: not
// with few teeth, and not where the wheel's equal zeros make it another. Worked out from the angles
// alone: 2 degrees apart, wear up to 10.
inline bool can_be_told(const TruthCase& c) {
  const TruthWheel& wheel = truth_wheels()[c.wheel];
  if (wheel.teeth.size() < 6 || same_on_several_chains(c)) return false;
  const std::size_t cams = c.phase.size();
  std::vector<std::vector<bool>> sets(1, std::vector<bool>(cams, true));
  for (std::size_t b = 0; b < cams; ++b) {
    std::vector<bool> one(cams, false), chain(cams, false);
    for (std::size_t o = 0; o < cams; ++o) chain[o] = c.drive[o].chain == c.drive[b].chain;
    one[b] = true;
    sets.push_back(one);
    sets.push_back(chain);
  }
  const double apart = 360.0 / wheel.symmetry;
  for (int m = -30; m <= 30; ++m) {
    for (const auto& set : sets) {
      for (int k = -3; k <= 3; ++k) {
        std::vector<int> jump(cams, 0);
        for (std::size_t b = 0; b < cams; ++b) jump[b] = set[b] ? k : 0;
        if (jump == c.jump) continue;
        bool explained = true;
        for (std::size_t chain = 0; chain < cams && explained; ++chain) {
          bool fits = false;
          for (double e = 0; e <= 10 && !fits; e += 0.25) {
            fits = true;
            for (std::size_t b = 0; b < cams; ++b)
              if (c.drive[b].chain == static_cast<int>(chain))
                fits = fits && std::abs(c.phase[b] + m * apart - jump[b] * tooth_of(c, b) +
                                        e * c.drive[b].strand_ratio) < 2;
          }
          explained = fits;
        }
        if (explained) return false;
      }
    }
  }
  return true;
}

struct TruthResult {
  std::string why;  // of a refusal; empty: weighed
  std::string wheel;
  std::optional<MeaningReport> report;
  std::vector<PhaseEvidence> evidence;
  std::int64_t edges = 0, wrong_edges = 0;  // cam edges; over 2 degrees from the truth
};

inline TruthResult run(const TruthCase& c) {
  TruthResult result;
  DecodeOptions options;
  std::vector<CamReference> references;
  if (c.nominal) {
    options.crank_polarity = c.signal == Signal::inductive ? -1 : 1;
    for (std::size_t b = 0; b < c.good.cams.size(); ++b) {
      CamReference r{static_cast<int>(b) + 2, 1, c.good.cams[b].targets, 0};
      for (double& angle : r.angles) angle -= truth_wheels()[c.wheel].zero;
      references.push_back(std::move(r));
    }
  } else {
    Synthesis in = c.good;
    if (c.signal == Signal::inductive) {  // the flank through the tooth is where it is
      options.crank_polarity = 1;
    }
    const auto reference = decode_recording(synthesise(in).value().trains, options);
    if (!reference) {
      result.why = "reference: " + reference.error().why;
      return result;
    }
    options.crank_polarity = c.signal == Signal::inductive ? -1 : reference->crank.polarity;
    references = references_of(*reference);
  }
  const SignalTrains trains = recorded(c);
  const auto decoded = decode_recording(trains, options);
  if (!decoded) {
    result.why = decoded.error().why;
    return result;
  }
  result.wheel = decoded->crank.wheel.name;

  // The decoder's zero and the crank's polarity are one constant.
  const SpeedProfile profile(c.bad.speed);
  std::vector<double> off, apart;
  for (const DecodedCam& cam : decoded->cams)
    for (const CamEdge& edge : cam.edges)
      if (edge.place >= 0) off.push_back(edge.angle - profile.angle_at(edge.time));
  for (const double d : off) apart.push_back(wrapped(d - circular_mean(off, 360), 360));
  const double middle = lower_median(apart);
  for (const double d : apart) {
    ++result.edges;
    result.wrong_edges += std::abs(wrapped(d - middle, 360)) > 2 ? 1 : 0;
  }

  // By the way that judge goes: nominal edges, channels known.
  Nominals nominals;
  nominals.crank_polarity = options.crank_polarity;
  std::vector<double> bias;
  for (const CamInDrive& cam : c.drive) {
    NominalCam& nominal = nominals.cams.emplace_back(NominalCam{cam.name, cam.channel, {}});
    double& systematic = bias.emplace_back(0);
    for (const CamReference& r : references) {
      if (r.channel != cam.channel) continue;
      systematic = std::max(systematic, r.systematic);
      for (const double angle : r.angles) nominal.edges.push_back({angle, r.polarity});
    }
  }
  const auto found = against_nominals(*decoded, nominals);
  if (!found || found->cams.size() != c.drive.size()) {
    result.why = found ? "a cam is missing" : found.error().why;
    return result;
  }
  for (std::size_t i = 0; i < c.drive.size(); ++i) {
    const CamInDrive& cam = c.drive[i];
    const CamAgainstNominal& seen = found->cams[i];
    result.evidence.push_back({cam.name, seen.phase, seen.statistical,
                               std::hypot(0.5, seen.detail.systematic, bias[i]), cam.teeth,
                               cam.chain, cam.strand_ratio, cam.travel_from, cam.travel_to});
  }
  result.report =
      weigh_meanings(result.evidence, kDefaultPriors, common_angles(decoded->crank.wheel)).value();
  return result;
}

}  // namespace tautmark::test
