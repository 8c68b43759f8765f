// SPDX-License-Identifier: Apache-2.0
// Recordings made with known truth (synthesise.h), decoded without being told anything.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>

#include "recording/cam_phase.h"
#include "recording/decode.h"
#include "recording/hypotheses.h"
#include "recording/phase_statistics.h"
#include "recording/recording_test_support.h"
#include "recording/synthesise.h"
#include "support/long_tests.h"

namespace tautmark {
namespace {

struct WheelCase {
  const char* name;
  std::vector<double> teeth;
};
std::vector<WheelCase> wheels() {
  std::vector<double> added = slotted_teeth(36, {});
  added.push_back(355);
  return {{"60-2", slotted_teeth(60, {58, 59})},
          {"36-1", slotted_teeth(36, {35})},
          {"36-2", slotted_teeth(36, {34, 35})},
          {"36-2-1", slotted_teeth(36, {17, 34, 35})},
          {"36-2-2-2", slotted_teeth(36, {10, 11, 22, 23, 34, 35})},
          {"24-1", slotted_teeth(24, {23})},
          {"12-1", slotted_teeth(12, {11})},
          {"24 uniform", slotted_teeth(24, {})},
          {"12 uniform", slotted_teeth(12, {})},
          {"36+1", added},
          {"4 (70/110)", {0, 70, 180, 250}},
          {"2 uniform", {0, 180}}};
}

Synthesis engine(const std::vector<double>& teeth, std::uint64_t seed) {
  Synthesis in;
  in.seed = seed;
  in.crank_teeth = teeth;
  in.crank_width = 0.4 * 360 / static_cast<double>(std::max<std::size_t>(teeth.size(), 8));
  in.speed = {{1.5, 230, 250, 0.05, 2, 0.3}, {1, 250, 900, 0.04, 2, 0}, {4, 900, 950, 0.02, 2, 0}};
  in.cams.resize(2);
  in.cams[0].targets = {57.3, 240.5, 310.2, 620.9};
  in.cams[1].targets = {100.1, 333.3, 466.6};
  in.cams[1].width = 35;
  in.sample_rate = 1e6;
  in.crank_jitter = 0.03;
  for (SynthCam& cam : in.cams) cam.jitter = 0.05;
  return in;
}

// Largest distance (degrees) between the places found and the true ones after one common shift:
// the wheel zero is the decoder's own.
double worst_place(const Decoded& decoded, const Synthesis& in) {
  struct Pair {
    double found;
    std::vector<double> truths;
  };
  std::vector<Pair> pairs;
  for (const DecodedCam& cam : decoded.cams) {
    const SynthCam& truth = in.cams[static_cast<std::size_t>(cam.channel - 2)];
    std::vector<double> truths;
    for (const double target : truth.targets)
      truths.push_back(target + (cam.polarity < 0 ? truth.width : 0) - truth.offset);
    const CamPhase phase = cam_phase(decoded, cam).value();
    if (phase.places.size() != truths.size()) return 1e9;
    for (const PlaceSummary& place : phase.places) pairs.push_back({place.angle, truths});
  }
  double best = 1e9;
  for (const double first : pairs.front().truths) {
    const double shift = pairs.front().found - first;
    double worst = 0;
    for (const Pair& pair : pairs) {
      double nearest = 1e9;
      for (const double truth : pair.truths)
        nearest = std::min(nearest, std::abs(wrapped(pair.found - shift - truth)));
      worst = std::max(worst, nearest);
    }
    best = std::min(best, worst);
  }
  return best;
}

TEST(RoundTrip, EveryWheelEverySeed) {
  const std::uint64_t seeds = test::are_long() ? 3 : 1;
  for (const WheelCase& wheel : wheels()) {
    for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
      const Synthesis in = engine(wheel.teeth, seed);
      const auto made = synthesise(in);
      ASSERT_TRUE(made);
      const auto decoded = decode_recording(made->trains);
      ASSERT_TRUE(decoded) << wheel.name << ": " << decoded.error().why;
      EXPECT_EQ(decoded->crank.wheel.name, wheel.name) << seed;
      EXPECT_EQ(decoded->crank.channel, 1);
      EXPECT_TRUE(decoded->cycle_resolved) << wheel.name;
      ASSERT_EQ(decoded->cams.size(), 4u) << wheel.name << " " << seed;
      const double tolerance = wheel.teeth.size() < 6 ? 4 : wheel.teeth.size() < 20 ? 0.3 : 0.1;
      EXPECT_LT(worst_place(*decoded, in), tolerance) << wheel.name << " " << seed;
    }
  }
}

// 2 % lost, 2 % extra, double edges: the wheel and the cycle are still found. Signals.md 4e
// measured 0 to 3 % of the cam edges over 2 degrees wrong.
TEST(RoundTrip, LostExtraAndDoubledEdges) {
  const std::uint64_t seeds = test::are_long() ? 3 : 1;
  int edges = 0, bad = 0;
  for (const WheelCase& wheel : wheels()) {
    if (wheel.teeth.size() < 30 || std::string(wheel.name) == "36+1") continue;
    for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
      Synthesis in = engine(wheel.teeth, seed);
      in.speed = {{test::are_long() ? 6.0 : 3.5, 600, 700, 0.03, 2, 0}};
      in.faults.dropped = 0.02;
      in.faults.extra = 0.02;
      in.faults.doubled = 0.01;
      auto made = synthesise(in);
      ASSERT_TRUE(made);
      for (SignalTrain& train : made->trains.channels) drop_glitches(train.edges);
      const auto decoded = decode_recording(made->trains);
      ASSERT_TRUE(decoded) << wheel.name << ": " << decoded.error().why;
      EXPECT_EQ(decoded->crank.wheel.name, wheel.name) << seed;
      EXPECT_FALSE(decoded->cams.empty()) << wheel.name << seed;
      for (const DecodedCam& cam : decoded->cams)
        for (const CamEdge& edge : cam.edges)
          if (edge.place >= 0) ++edges, bad += std::abs(edge.residual) > 2 ? 1 : 0;
    }
  }
  EXPECT_GT(edges, 1000);
  EXPECT_LT(bad, 0.03 * edges) << bad << " of " << edges;
}

// Signals.md 4e measured 2 to 7 % of the cam edges over 2 degrees wrong at 5 % lost and 5 % extra,
// the wheel known. Here nothing is told, and the cams lose edges as well.
TEST(RoundTrip, OneEdgeInTwentyLostAndOneExtra) {
  int edges = 0, bad = 0;
  for (const auto& [missing, slots] :
       {std::pair{std::vector<int>{58, 59}, 60}, {{35}, 36}, {{17, 34, 35}, 36}}) {
    for (std::uint64_t seed = 1; seed <= (test::are_long() ? 2U : 1U); ++seed) {
      Synthesis in = engine(slotted_teeth(slots, missing), seed);
      in.speed = {{4, 700, 760, 0.05, 2, 0.4}};
      in.crank_jitter = 0.3;
      in.faults.dropped = in.faults.extra = 0.05;
      const auto decoded = decode_recording(synthesise(in)->trains);
      ASSERT_TRUE(decoded) << slots << ": " << decoded.error().why;
      EXPECT_EQ(decoded->crank.wheel.slots, slots) << seed;
      EXPECT_TRUE(decoded->cycle_resolved) << slots << seed;
      const SpeedProfile profile(in.speed);
      std::vector<double> off;
      for (const DecodedCam& cam : decoded->cams)
        for (const CamEdge& edge : cam.edges)
          if (edge.place >= 0) off.push_back(edge.angle - profile.angle_at(edge.time));
      const double zero = circular_mean(off, 360);
      edges += static_cast<int>(off.size());
      for (const double d : off) bad += std::abs(wrapped(d - zero, 360)) > 2 ? 1 : 0;
    }
  }
  EXPECT_GT(edges, 800);
  EXPECT_LT(bad, 0.07 * edges) << bad << " of " << edges;
}

// Phase of every cycle against the truth: jump, elongation, phaser, hunting.
TEST(RoundTrip, PhaseFollowsTheTruth) {
  for (std::uint64_t seed = 1; seed <= 4; ++seed) {
    Synthesis in = engine(slotted_teeth(36, {35}), seed);
    in.speed = {{12, 800, 820, 0.02, 2, 0}};
    const Synthesis good = in;
    in.cams[0].jumps = {{6, -1}};
    in.cams[0].elongation = 2.4;
    in.cams[1].elongation = 1.8;
    in.cams[1].hunting = 1.0;
    in.cams[1].phaser.commands = {{3, 15}, {9, 0}};
    const auto reference = decode_recording(synthesise(good)->trains);
    const auto made = synthesise(in);
    const auto decoded = decode_recording(made->trains);
    ASSERT_TRUE(reference && decoded);
    for (const DecodedCam& cam : decoded->cams) {
      if (cam.polarity < 0) continue;
      std::vector<double> nominal;
      for (const CamReference& r : references_of(*reference))
        if (r.channel == cam.channel && r.polarity == cam.polarity) nominal = r.angles;
      const auto phase = cam_phase(*decoded, cam, nominal);
      ASSERT_TRUE(phase);
      const auto& truth = made->truth.psi[static_cast<std::size_t>(cam.channel - 2)];
      int compared = 0, pulls = 0;
      for (const CyclePhase& c : phase->cycles) {
        // The cycle of the truth in which these edges lie.
        const SpeedProfile profile(in.speed);
        double nearest = 1e9;
        std::size_t at = 0;
        for (std::size_t k = 0; k < truth.size(); ++k) {
          double middle = 0;
          const auto& targets = in.cams[static_cast<std::size_t>(cam.channel - 2)].targets;
          for (const double t : targets) middle += t / static_cast<double>(targets.size());
          const double apart =
              std::abs(profile.time_at(720.0 * static_cast<double>(k) + middle) - c.time);
          if (apart < nearest) nearest = apart, at = k;
        }
        const bool moving = c.time < 0.3 || std::abs(c.time - 6) < 0.4 ||
                            std::abs(c.time - 3.3) < 0.6 || std::abs(c.time - 9.3) < 0.6;
        if (moving || c.edges < static_cast<int>(nominal.size())) continue;
        EXPECT_NEAR(c.psi, truth[at], cam.channel == 3 ? 0.5 : 0.15) << seed << " " << c.time;
        pulls += std::abs(c.psi - truth[at]) < 3 * c.sigma + 0.05 ? 1 : 0;
        ++compared;
      }
      EXPECT_GT(compared, 40);
      if (cam.channel == 2) {
        EXPECT_GT(pulls, 0.97 * compared);
      }
    }
  }
}

// One tooth inside the recording is found, with its direction.
TEST(RoundTrip, JumpInsideTheRecording) {
  for (std::uint64_t seed = 1; seed <= 10; ++seed) {
    Synthesis in = engine(slotted_teeth(60, {58, 59}), seed);
    in.speed = {{10, 700, 760, 0.03, 2, 0}};
    in.cams[0].teeth = 38;
    const int teeth = seed % 2 == 0 ? 1 : -1;
    in.cams[0].jumps = {{4 + 0.1 * static_cast<double>(seed), teeth}};
    const auto decoded = decode_recording(synthesise(in)->trains);
    ASSERT_TRUE(decoded);
    std::vector<double> psi;
    const CamPhase phase = cam_phase(*decoded, decoded->cams.front()).value();
    for (const CyclePhase& c : phase.cycles) psi.push_back(c.psi);
    const auto steps = phase_steps(psi);
    ASSERT_FALSE(steps.empty()) << seed;
    double change = 0;
    for (const PhaseStep& step : steps) change += step.change;
    EXPECT_EQ(jump_of_step(change, 0.05, 0.1, 38), teeth) << seed << " " << change;
  }
}

// Phase of both cams (rising edges) against a good engine, as evidence.
std::vector<PhaseEvidence> evidence_of(const Decoded& decoded, const Decoded& good,
                                       const std::vector<double>& ratio) {
  const std::vector<CamReference> references = references_of(good);
  const double zero = zero_in_reference(decoded, references);
  std::vector<PhaseEvidence> evidence;
  for (const DecodedCam& cam : decoded.cams) {
    if (cam.polarity < 0) continue;
    for (const CamReference& r : references) {
      if (r.channel != cam.channel || r.polarity != cam.polarity) continue;
      const CamPhase phase = cam_phase(decoded, cam, r.angles, zero).value();
      std::vector<double> psi;
      for (const CyclePhase& c : phase.cycles) psi.push_back(c.psi);
      const PhaseStatistics s = phase_statistics(psi);
      const double count = std::max(1, s.count);
      evidence.push_back({fmt::format("cam {}", cam.channel - 1),
                          s.mean,
                          s.sd / std::sqrt(count),
                          0.5,
                          38,
                          1,
                          ratio[static_cast<std::size_t>(cam.channel - 2)],
                          {},
                          {}});
    }
  }
  return evidence;
}

// Two and three teeth at once: no edge keeps its place, all places are found again.
TEST(RoundTrip, SeveralTeethAtOnceInsideTheRecording) {
  for (const int teeth : {-3, -2, 2, 3}) {
    Synthesis in = engine(slotted_teeth(60, {58, 59}), 3);
    in.speed = {{8, 700, 760, 0.03, 2, 0}};
    in.cams[0].jumps = {{4, teeth}};
    const auto decoded = decode_recording(synthesise(in)->trains);
    ASSERT_TRUE(decoded);
    const CamPhase phase = cam_phase(*decoded, decoded->cams.front()).value();
    EXPECT_NEAR(phase.cycles[phase.cycles.size() - 2].psi - phase.cycles[1].psi, teeth * 720.0 / 38,
                0.3);
    EXPECT_LE(phase.wrong_edges, 8);
  }
}

// A cam channel that is 50 µs late, at 700 to 2100 1/min.
TEST(RoundTrip, DelayOfASensor) {
  Synthesis in = engine(slotted_teeth(60, {58, 59}), 3);
  in.speed = {{6, 700, 2100, 0.02, 2, 0}};
  in.cams[0].delay = 50e-6;
  const auto decoded = decode_recording(synthesise(in)->trains);
  ASSERT_TRUE(decoded);
  const CamPhase phase = cam_phase(*decoded, decoded->cams.front()).value();
  const auto delay = sensor_delay(phase);
  ASSERT_TRUE(delay);
  EXPECT_NEAR(delay->seconds, 50e-6, 4 * delay->standard_error + 1e-6);
  in.speed = {{6, 700, 800, 0.02, 2, 0}};
  const auto one_speed = decode_recording(synthesise(in)->trains);
  ASSERT_TRUE(one_speed);
  EXPECT_FALSE(sensor_delay(cam_phase(*one_speed, one_speed->cams.front()).value()));
}

// Teeth 0.3 degrees off in the mean, speed 1 100 to 2 600 1/min: corrected, the cam stands where it
// is; a spacing learned elsewhere does as well. Nominal teeth leave the error in.
TEST(RoundTrip, LearnedToothSpacing) {
  Synthesis in = engine(slotted_teeth(36, {35}), 21);
  in.tooth_error = 0.3;
  in.crank_jitter = 0.01;
  in.speed.clear();  // ripple that falls with speed squared, as geometry does not
  for (double n = 1100; n < 2600; n += 100)
    in.speed.push_back({0.6, n, n + 100, 0.02 * std::pow(1100 / (n + 50), 2), 2, 0});
  const auto made = synthesise(in);
  DecodeOptions learn;
  learn.learn_spacing = true;
  learn.crank_polarity = 1;
  const auto learned = decode_recording(made->trains, learn);
  ASSERT_TRUE(learned);
  ASSERT_TRUE(learned->crank.spacing) << learned->notes.back();
  for (std::size_t tooth = 0; tooth < 35; ++tooth)
    EXPECT_NEAR(learned->crank.spacing->teeth[tooth].degrees,
                made->truth.tooth_errors[tooth] - made->truth.tooth_errors[0], 0.02);
  DecodeOptions nominal;
  nominal.crank_polarity = 1;
  DecodeOptions known = nominal;
  known.spacing = learned->crank.spacing;
  const auto plain = decode_recording(made->trains, nominal);
  const auto again = decode_recording(made->trains, known);
  ASSERT_TRUE(plain && again);
  EXPECT_FALSE(plain->crank.spacing);
  // Worst edge against the truth; all angles count from tooth 0 where it really is.
  const auto worst = [&](const Decoded& decoded) {
    const SpeedProfile profile(in.speed);
    double most = 0;
    for (const DecodedCam& cam : decoded.cams)
      for (const CamEdge& edge : cam.edges)
        if (edge.place >= 0)
          most = std::max(most, std::abs(wrapped(edge.angle - profile.angle_at(edge.time) +
                                                     made->truth.tooth_errors[0],
                                                 360)));
    return most;
  };
  EXPECT_LT(worst(*learned), 0.06);
  EXPECT_LT(worst(*again), 0.06);
  EXPECT_GT(worst(*plain), 0.2);
  for (const auto* one : {&*learned, &*again}) {
    EXPECT_NE(one->notes.back().find("corrected by up to"), std::string::npos);
    EXPECT_EQ(one->speed.size(), plain->speed.size());
  }
}

// The inductive voltage falls through zero at the teeth, its size grows with speed.
TEST(RoundTrip, InductiveVoltage) {
  Synthesis in = engine(slotted_teeth(36, {35}), 1);
  in.speed = {{2, 300, 1200, 0.05, 2, 0}};
  const auto volts = inductive_crank(in, {});
  ASSERT_TRUE(volts);
  const SpeedProfile profile(in.speed);
  std::size_t crossings = 0;
  double early = 0, late = 0;
  for (std::size_t i = 1; i < volts->size(); ++i) {
    const double a = (*volts)[i - 1], b = (*volts)[i];
    (2 * i < volts->size() ? early : late) = std::max(2 * i < volts->size() ? early : late, b);
    if (!(a > 1e-5 && b <= 0)) continue;
    const double time = (static_cast<double>(i) - 1 + a / (a - b)) / 48e3;
    EXPECT_NEAR(wrapped(profile.angle_at(time), 10), 0, 0.03);
    ++crossings;
  }
  EXPECT_NEAR(static_cast<double>(crossings), profile.last_angle() / 360 * 35, 2);
  EXPECT_GT(late, 1.5 * early);
  // Angle and time are each other's inverse.
  for (const double angle : {1.0, 100.0, 5000.0})
    EXPECT_NEAR(profile.angle_at(profile.time_at(angle)), angle, 1e-6);
}

// The zeros of a wheel with equal zeros, and of the cycle, are chosen by a cam; one that moves past
// a zero chooses another. The reference undoes that.
TEST(RoundTrip, ZeroChosenByACamThatMoved) {
  for (const auto& teeth : {slotted_teeth(36, {10, 11, 22, 23, 34, 35}), slotted_teeth(36, {35})}) {
    Synthesis good = engine(teeth, 9);
    good.speed = {{4, 650, 660, 0.03, 2, 0}};
    good.cams[0].targets = {1.0, 240.5, 310.2};  // after the longest gap, just past a zero
    Synthesis moved = good;
    moved.cams[0].jumps = {{0, 1}};
    moved.cams[1].elongation = 1;
    const auto a = decode_recording(synthesise(good)->trains);
    const auto b = decode_recording(synthesise(moved)->trains);
    ASSERT_TRUE(a && b);
    ASSERT_EQ(a->crank.polarity, b->crank.polarity);
    const auto evidence = evidence_of(*b, *a, {1, 1});
    ASSERT_EQ(evidence.size(), 2u);
    EXPECT_NEAR(evidence[0].phase, 720.0 / 38, 0.1);
    EXPECT_NEAR(evidence[1].phase, -1, 0.1);
  }
}

// The whole way: recording of a good engine as reference, recording of a bad one, what it means.
TEST(RoundTrip, MeaningOfEnginesWithKnownFaults) {
  struct Fault {
    Meaning meaning;
    std::vector<int> jump;
    double wear;  // degrees late at strand ratio 1
  };
  const Fault faults[] = {{Meaning::right, {0, 0}, 0},
                          {Meaning::elongation, {0, 0}, 4},
                          {Meaning::jump, {-1, 0}, 0},
                          {Meaning::jump, {0, 2}, 0},
                          {Meaning::jump, {1, 1}, 0},
                          {Meaning::jump_and_elongation, {-1, 0}, 2.4},
                          {Meaning::jump_and_elongation, {0, -3}, 5}};
  Synthesis good = engine(slotted_teeth(60, {58, 59}), 100);
  good.speed = {{4, 650, 660, 0.03, 2, 0}};
  const auto reference = decode_recording(synthesise(good)->trains);
  ASSERT_TRUE(reference);
  for (const Fault& fault : faults) {
    for (std::uint64_t seed = 1; seed <= 4; ++seed) {
      Synthesis in = good;
      in.seed = seed;
      const std::vector<double> ratio = {1.338, 1};
      for (std::size_t c = 0; c < 2; ++c) {
        in.cams[c].elongation = fault.wear * ratio[c];
        in.cams[c].jumps = {{0, fault.jump[c]}};
      }
      DecodeOptions as_reference;
      as_reference.crank_polarity = reference->crank.polarity;
      const auto decoded = decode_recording(synthesise(in)->trains, as_reference);
      ASSERT_TRUE(decoded);
      const auto evidence = evidence_of(*decoded, *reference, ratio);
      ASSERT_EQ(evidence.size(), 2u);
      const auto report = weigh_meanings(evidence);
      ASSERT_TRUE(report);
      EXPECT_EQ(report->answers[0].meaning, fault.meaning)
          << report->sentence << " " << evidence[0].phase << " " << evidence[1].phase;
      EXPECT_FALSE(report->none_fits) << report->sentence;
      if (!report->answers[0].jump.empty()) {
        EXPECT_EQ(report->answers[0].jump, fault.jump) << report->sentence;
      }
    }
  }
}

}  // namespace
}  // namespace tautmark
