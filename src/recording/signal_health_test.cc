// SPDX-License-Identifier: Apache-2.0
#include "recording/signal_health.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "recording/recording_test_support.h"
#include "recording/synthesise.h"

namespace tautmark {
namespace {

Synthesis engine(std::uint64_t seed) {
  Synthesis in;
  in.seed = seed;
  in.crank_teeth = slotted_teeth(36, {35});
  in.crank_width = 4;
  in.speed = {{6, 1000, 1000, 0.02, 2, 0}};
  in.cams.resize(1);
  in.cams[0].targets = {57.3, 240.5, 310.2, 620.9};
  in.cams[0].width = 25;
  in.cams[0].jitter = 0.05;
  in.sample_rate = 1e6;
  return in;
}

Decoded decoded_of(const SignalTrains& trains) {
  return decode_recording(trains, {.crank_channel = 1, .crank_polarity = 1}).value();
}

// An edge pair of the channel nearest to `edge` index of its polarity +1 taken out.
void drop_pulse(SignalTrain& train, std::size_t pulse) {
  const auto at = train.edges.begin() + static_cast<std::ptrdiff_t>(2 * pulse);
  train.edges.erase(at, at + 2);
}

const HealthFinding* finding(const std::vector<HealthFinding>& all, HealthKind kind) {
  const auto at =
      std::find_if(all.begin(), all.end(), [&](const HealthFinding& f) { return f.kind == kind; });
  return at == all.end() ? nullptr : &*at;
}

// scipy.stats.binom.sf(k - 1, n, p), scipy 1.10.
TEST(SignalHealth, BinomialTail) {
  EXPECT_NEAR(binomial_at_least(5, 20, 1.0 / 35), 0.00020602195136209468, 1e-12);
  EXPECT_NEAR(binomial_at_least(12, 40, 0.25), 0.28485560710188595, 1e-12);
  EXPECT_NEAR(binomial_at_least(1, 7, 0.1), 0.5217031000000001, 1e-12);
  EXPECT_EQ(binomial_at_least(0, 7, 0.1), 1);
}

TEST(SignalHealth, CleanSignalHasNothingBad) {
  const auto made = synthesise(engine(1));
  const auto all = signal_health(made->trains, decoded_of(made->trains));
  ASSERT_EQ(all.size(), 1u) << all.front().words;
  EXPECT_EQ(all[0].kind, HealthKind::no_amplitude);
}

// Pulse 17 + 35 k is tooth 18 of turn k; dropped in 20 of 100 turns.
TEST(SignalHealth, EdgesDroppedAtOneTooth) {
  auto made = synthesise(engine(2));
  for (int turn = 95; turn >= 0; turn -= 5)
    drop_pulse(made->trains.channels[0], 17 + 35 * static_cast<std::size_t>(turn));
  const auto all = signal_health(made->trains, decoded_of(made->trains));
  const HealthFinding* f = finding(all, HealthKind::dropped_teeth);
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->number, 18) << f->words;
  EXPECT_NEAR(f->value, 0.2, 0.011);
  EXPECT_EQ(f->severity, HealthSeverity::bad);
  EXPECT_LT(*f->chance, 1e-9);
}

TEST(SignalHealth, EdgesDroppedAnywhere) {
  Synthesis in = engine(3);
  in.faults.dropped = 0.005;
  const auto made = synthesise(in);
  const auto all = signal_health(made->trains, decoded_of(made->trains));
  const HealthFinding* f = finding(all, HealthKind::dropped_teeth);
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->number, 0) << f->words;
  EXPECT_EQ(f->severity, HealthSeverity::note);
  EXPECT_NEAR(f->value, 0.005, 0.003);
}

TEST(SignalHealth, EdgesDoubledAtOneTooth) {
  auto made = synthesise(engine(4));
  std::vector<SignalEdge>& edges = made->trains.channels[0].edges;
  for (std::size_t turn = 90; turn > 0; turn -= 10) {
    const std::size_t fall = 2 * (4 + 35 * turn) + 1;  // of tooth 5
    const double gap = edges[fall + 1].time - edges[fall].time;
    const SignalEdge rise{edges[fall].time + 0.4 * gap, 1}, again{edges[fall].time + 0.6 * gap, -1};
    const auto at = edges.begin() + static_cast<std::ptrdiff_t>(fall) + 1;
    edges.insert(edges.insert(at, again), rise);
  }
  const auto all = signal_health(made->trains, decoded_of(made->trains));
  const HealthFinding* f = finding(all, HealthKind::extra_edges);
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->number, 5) << f->words;
  EXPECT_NEAR(f->value, 0.09, 0.011);
}

TEST(SignalHealth, ToothMissingInEveryTurn) {
  Synthesis in = engine(5);
  in.faults.dead_teeth = {17};
  const auto made = synthesise(in);
  std::vector<bool> slots(36, true);
  slots[35] = false;
  HealthOptions options;
  options.wheel = slotted_wheel({slots});
  const auto all = signal_health(made->trains, decoded_of(made->trains), options);
  const HealthFinding* f = finding(all, HealthKind::missing_tooth);
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->value, 1);
  EXPECT_EQ(f->severity, HealthSeverity::bad);
  options.wheel = slotted_wheel({std::vector<bool>(24, true)});
  EXPECT_NE(finding(signal_health(made->trains, decoded_of(made->trains), options),
                    HealthKind::other_wheel),
            nullptr);
}

// Real wheels show it (signals.md 3, R03): 12.3 before the gap and 27.9 instead of 10 and 30.
TEST(SignalHealth, GapAsymmetry) {
  Synthesis in = engine(6);
  in.crank_teeth = slotted_teeth(36, {34, 35});
  in.crank_teeth.back() += 2.3;
  const auto made = synthesise(in);
  const auto all = signal_health(made->trains, decoded_of(made->trains));
  const HealthFinding* f = finding(all, HealthKind::gap_asymmetry);
  ASSERT_NE(f, nullptr);
  EXPECT_NEAR(f->value, 2.3, 0.3);
  EXPECT_NE(f->words.find("the gap 27."), std::string::npos) << f->words;
}

std::vector<CamReference> references(const Synthesis& in) {
  return references_of(decoded_of(synthesise(in)->trains));
}

TEST(SignalHealth, BentTargetAgainstAReference) {
  Synthesis in = engine(7);
  const auto good = references(in);
  in.cams[0].offset = -4;  // all late by 4: not this finding
  HealthOptions options;
  options.references = good;
  auto made = synthesise(in);
  EXPECT_EQ(finding(signal_health(made->trains, decoded_of(made->trains), options),
                    HealthKind::place_disagreement),
            nullptr);
  in.cams[0].targets[2] += 3;
  made = synthesise(in);
  const Decoded decoded = decoded_of(made->trains);
  const auto all = signal_health(made->trains, decoded, options);
  const HealthFinding* f = finding(all, HealthKind::place_disagreement);
  ASSERT_NE(f, nullptr);
  EXPECT_NEAR(f->value, -3, 0.2);
  EXPECT_NE(f->words.find("3.0° later (crank)"), std::string::npos) << f->words;
  // Numbers count from the cycle's zero; the bent target is the one before the longest gap.
  const auto& angles = decoded.cams.front().places.angles;
  const auto at = static_cast<std::size_t>(f->number - 1);
  const double to_next = angles[(at + 1) % 4] - angles[at] + (at == 3 ? 720 : 0);
  EXPECT_NEAR(to_next, 620.9 - 313.2, 0.3);
}

TEST(SignalHealth, TargetThatMovesInsideTheRecording) {
  Synthesis in = engine(8);
  auto made = synthesise(in);
  Synthesis other = in;
  other.cams[0].targets[1] += 2;
  const auto moved = synthesise(other);
  std::vector<SignalEdge>& edges = made->trains.channels[1].edges;
  ASSERT_EQ(edges.size(), moved->trains.channels[1].edges.size());
  for (std::size_t i = edges.size() / 2; i < edges.size(); ++i)
    edges[i] = moved->trains.channels[1].edges[i];
  const auto all = signal_health(made->trains, decoded_of(made->trains));
  const HealthFinding* f = finding(all, HealthKind::place_disagreement);
  ASSERT_NE(f, nullptr);
  EXPECT_NEAR(f->value, -2, 0.2) << f->words;
  EXPECT_NE(f->words.find("from 3.0"), std::string::npos) << f->words;
}

// All targets together are a phase, not a bent target.
TEST(SignalHealth, PhaserMotionIsNoDisagreement) {
  Synthesis in = engine(9);
  in.cams[0].phaser.commands = {{2, 15}, {4, 3}};
  const auto made = synthesise(in);
  const auto all = signal_health(made->trains, decoded_of(made->trains));
  EXPECT_EQ(finding(all, HealthKind::place_disagreement), nullptr)
      << finding(all, HealthKind::place_disagreement)->words;
}

TEST(SignalHealth, PolaritySwap) {
  Synthesis in = engine(10);
  const auto good = references(in);
  auto made = synthesise(in);
  for (SignalEdge& edge : made->trains.channels[1].edges)
    edge.polarity = static_cast<std::int8_t>(-edge.polarity);
  HealthOptions options;
  options.references = good;
  options.reference_crank_polarity = -1;
  const auto all = signal_health(made->trains, decoded_of(made->trains), options);
  int cams = 0, cranks = 0;
  for (const HealthFinding& f : all) {
    if (f.kind != HealthKind::polarity_swap) continue;
    if (f.channel == 1) ++cranks;
    if (f.channel != 2) continue;
    ++cams;
    EXPECT_NEAR(f.value, 25, 0.2);
  }
  EXPECT_EQ(cams, 1);
  EXPECT_EQ(cranks, 1);
  EXPECT_EQ(finding(all, HealthKind::place_disagreement), nullptr);
}

TEST(SignalHealth, CamSilentForAWhile) {
  auto made = synthesise(engine(11));
  std::erase_if(made->trains.channels[1].edges,
                [](const SignalEdge& e) { return e.time > 3 && e.time < 3.6; });
  const auto all = signal_health(made->trains, decoded_of(made->trains));
  const HealthFinding* f = finding(all, HealthKind::silent);
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->channel, 2);
  EXPECT_NEAR(f->value, 0.65, 0.06);
}

TEST(SignalHealth, CrankSilentWhileTheCamGoesOn) {
  auto made = synthesise(engine(12));
  std::erase_if(made->trains.channels[0].edges,
                [](const SignalEdge& e) { return e.time > 3 && e.time < 3.5; });
  const auto all = signal_health(made->trains, decoded_of(made->trains));
  const HealthFinding* f = finding(all, HealthKind::silent);
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->channel, 1);
  EXPECT_NEAR(f->value, 0.5, 0.02);
  EXPECT_EQ(f->severity, HealthSeverity::bad);
}

TEST(SignalHealth, DroppedCamTargetGlitchesAndCoarseSamples) {
  Synthesis in = engine(13);
  in.sample_rate = 5e3;  // 1.2 degrees per sample at 1000 1/min
  auto made = synthesise(in);
  for (const std::size_t cycle : {40, 33, 28, 17, 9, 5})
    drop_pulse(made->trains.channels[1], 2 + 4 * cycle);
  made->trains.channels[1].glitches = 3;
  made->trains.channels[1].unknown_samples = 7;
  const auto all = signal_health(made->trains, decoded_of(made->trains));
  const HealthFinding* f = finding(all, HealthKind::dropped_edges);
  ASSERT_NE(f, nullptr);
  EXPECT_NE(f->number, 0) << f->words;
  EXPECT_NEAR(f->value, 0.12, 0.05);
  EXPECT_NE(finding(all, HealthKind::glitches), nullptr);
  EXPECT_NE(finding(all, HealthKind::unknown_samples), nullptr);
  const HealthFinding* coarse = finding(all, HealthKind::coarse_sampling);
  ASSERT_NE(coarse, nullptr);
  EXPECT_NEAR(coarse->value, 1.2 / std::sqrt(12.0), 0.02);
}

// Recordings published with an open-source engine-control firmware, see shared/data/recordings.
// Steady running with a fine wheel: nothing bad in r01 (signals.md section 12).
TEST(SignalHealth, RealSteadyRunning) {
  const auto trains = test::load_event_csv("r01.csv");
  if (!trains) GTEST_SKIP() << "skipped: no recordings";
  const auto all = signal_health(*trains, decode_recording(*trains).value());
  for (const HealthFinding& f : all) EXPECT_EQ(f.severity, HealthSeverity::note) << f.words;
}

}  // namespace
}  // namespace tautmark
