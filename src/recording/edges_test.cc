// SPDX-License-Identifier: Apache-2.0
// Waves whose crossings are known in closed form.
#include "recording/edges.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "recording/logic_scan.h"
#include "recording/survey.h"

namespace tautmark {
namespace {

constexpr double kPi = std::numbers::pi;

Parsed<SignalTrains> trains_of_values(const std::vector<double>& values, double step,
                                      std::size_t most_rows = 1009) {
  SampleSource source;
  source.format = "test";
  source.names = {"one"};
  source.step = step;
  source.scan = [&](Extent, const SampleVisit& visit) -> tl::expected<void, Diagnostics> {
    // Uneven blocks: nothing may depend on where they end.
    std::size_t size = 1;
    for (std::size_t at = 0; at < values.size(); at += size, size = size * 7 % 1009 + 1) {
      const std::size_t rows = std::min({size, most_rows, values.size() - at});
      SampleBlock block{static_cast<std::int64_t>(at), rows, nullptr, {values.data() + at}};
      if (auto done = visit(block); !done) return done;
      size = rows;
    }
    return {};
  };
  source.place = [](std::int64_t) { return TextPlace{"test", 0, 0, 1, {}}; };
  return trains_of(source);
}

SignalTrain train_of(const std::vector<double>& values, double step) {
  auto trains = trains_of_values(values, step);
  EXPECT_TRUE(trains);
  return trains ? trains->channels[0] : SignalTrain();
}

// A hall sensor with linear flanks of 8 samples, noise and slow drift: the middle of a flank
// is known exactly.
TEST(Edges, HallFlanksBetweenSamples) {
  constexpr double kStep = 1e-5, kPeriod = 0.00371, kFlank = 8 * kStep;
  std::mt19937_64 random(1);
  std::normal_distribution<double> noise(0, 0.02);
  std::vector<double> values;
  for (int i = 0; i < 200000; ++i) {
    const double t = i * kStep, within = std::fmod(t, kPeriod);
    const double up = std::clamp(within / kFlank, 0.0, 1.0);
    const double down = std::clamp((within - kPeriod / 3) / kFlank, 0.0, 1.0);
    values.push_back(0.4 + 4.4 * (up - down) + 0.01 * t + noise(random));
  }
  const SignalTrain train = train_of(values, kStep);
  EXPECT_EQ(train.kind, SignalKind::hall);
  EXPECT_EQ(train.glitches, 0);
  ASSERT_NEAR(static_cast<double>(train.edges.size()), 2 * 2 / kPeriod, 2);
  double sum = 0, squares = 0;
  const auto count = static_cast<double>(train.edges.size());
  for (const SignalEdge& edge : train.edges) {
    const double begin = edge.polarity > 0 ? 0 : kPeriod / 3;
    const double turn = std::round((edge.time - begin - kFlank / 2) / kPeriod);
    const double error = edge.time - (turn * kPeriod + begin + kFlank / 2);
    ASSERT_LT(std::abs(error), kFlank / 8);
    sum += error;
    squares += error * error;
  }
  EXPECT_LT(std::abs(sum / count), 0.05 * kStep);
  // Noise over slope: 0.02 V / (4.4 V / 8 samples), and interpolation averages two samples.
  const double predicted = 0.02 / (4.4 / kFlank);
  EXPECT_NEAR(train.time_uncertainty, predicted, 0.25 * predicted);
  EXPECT_NEAR(std::sqrt(squares / count), 0.85 * predicted, 0.25 * predicted);
}

// Steady samples are looked at together; blocks too short for that are read one by one.
TEST(Edges, SteadySamplesAsOneByOne) {
  constexpr double kStep = 1e-5, kPeriod = 0.00371;
  std::mt19937_64 random(2);
  std::normal_distribution<double> noise(0, 0.02);
  std::vector<double> values;
  for (int i = 0; i < 200000; ++i) {
    const double t = i * kStep, within = std::fmod(t, kPeriod) / (4 * kStep);
    const double up = std::clamp(within, 0.0, 1.0);
    const double down = std::clamp(within - 40, 0.0, 1.0);
    values.push_back(0.4 + 4.4 * (up - down) + 0.8 * std::sin(3 * t) + noise(random));
    if (i % 1777 == 0) values.back() = NAN;
    if (i % 7919 == 0) values.back() = 1e31;  // over range
  }
  const auto together = trains_of_values(values, kStep);
  const auto one_by_one = trains_of_values(values, kStep, 50);
  ASSERT_TRUE(together && one_by_one);
  const SignalTrain &a = together->channels[0], &b = one_by_one->channels[0];
  EXPECT_EQ(a.kind, SignalKind::hall);
  EXPECT_GT(a.unknown_samples, 100);
  EXPECT_EQ(a.unknown_samples, b.unknown_samples);
  ASSERT_EQ(a.edges.size(), b.edges.size());
  for (std::size_t i = 0; i < a.edges.size(); ++i) {
    EXPECT_EQ(a.edges[i].polarity, b.edges[i].polarity);
    EXPECT_NEAR(a.edges[i].time, b.edges[i].time, 1e-3 * kStep);
  }
}

// Teeth of a 36-1 wheel, waves that grow with speed 1 : 20, speed 60 to 1200 1/min: every tooth is
// found on the flank through its middle, at its time.
TEST(Edges, InductiveAmplitudeGrowsWithSpeed) {
  constexpr double kStep = 2e-5, kTime = 4;
  std::mt19937_64 random(2);
  std::normal_distribution<double> noise(0, 0.004);
  const auto angle = [](double t) { return 360 * (1 * t + (20 - 1) * t * t / (2 * kTime)); };
  const auto speed = [](double t) { return 1 + (20 - 1) * t / kTime; };  // turns a second
  std::vector<double> values;
  for (double t = 0; t < kTime; t += kStep) {
    double wave = 0;
    const double at = angle(t);
    for (int k = -2; k <= 2; ++k) {
      const double slot = std::round(at / 10) + k;
      if (std::fmod(slot + 3600, 36) == 35) continue;  // the missing tooth
      const double x = (at - slot * 10) / (0.22 * 10);
      wave -= x * std::exp(0.5 - x * x / 2);
    }
    values.push_back(2.5 + 0.1 * speed(t) * wave + noise(random));
  }
  const SignalTrain train = train_of(values, kStep);
  EXPECT_EQ(train.kind, SignalKind::inductive);
  std::vector<double> at;  // slots of the falling edges
  for (const SignalEdge& edge : train.edges)
    if (edge.polarity < 0 && edge.time > 0.2) at.push_back(angle(edge.time) / 10);
  const double turns = (angle(kTime) - angle(0.2)) / 360;
  EXPECT_NEAR(static_cast<double>(at.size()), 35 * turns, 2);
  double last = at[0] - 1;
  for (const double slot : at) {
    ASSERT_LT(std::abs(slot - std::round(slot)), 0.05);  // 0.5 degrees of 10
    ASSERT_NE(std::fmod(std::round(slot), 36), 35);
    ASSERT_TRUE(std::round(slot - last) == 1 || std::round(slot - last) == 2) << slot;
    last = slot;
  }
}

// A hall signal through the coupling capacitor of a sound input (20 Hz): spikes at its flanks.
TEST(Edges, AcCoupledHallKeepsItsFlanks) {
  constexpr double kStep = 1 / 48000.0, kPeriod = 0.0431;
  const double keep = 1 / (1 + 2 * kPi * 20 * kStep);
  std::mt19937_64 random(8);
  std::normal_distribution<double> noise(0, 0.002);
  std::vector<double> values;
  double last = 0, out = 0;
  for (int i = 0; i < 480000; ++i) {
    const double level = std::fmod(i * kStep, kPeriod) < 0.3 * kPeriod ? 1 : 0;
    out = keep * (out + level - last);
    last = level;
    values.push_back(out + noise(random));
  }
  const SignalTrain train = train_of(values, kStep);
  EXPECT_EQ(train.kind, SignalKind::inductive);
  EXPECT_NEAR(static_cast<double>(train.edges.size()), 2 * 10 / kPeriod, 3);
  for (const SignalEdge& edge : train.edges) {
    const double begin = edge.polarity > 0 ? 0 : 0.3 * kPeriod;
    const double turn = std::round((edge.time - begin) / kPeriod);
    ASSERT_NEAR(edge.time, turn * kPeriod + begin, 1.5 * kStep);
  }
}

TEST(Edges, NothingButNoiseIsDead) {
  std::mt19937_64 random(3);
  std::normal_distribution<double> noise(0, 0.01);
  std::vector<double> values(50000);
  for (double& value : values) value = 2.5 + noise(random);
  EXPECT_EQ(train_of(values, 1e-4).kind, SignalKind::dead);
  EXPECT_TRUE(train_of(values, 1e-4).edges.empty());
  EXPECT_EQ(train_of(std::vector<double>(1000, 3.3), 1e-4).kind, SignalKind::dead);
}

// Cam pulses of an inductive sensor: 1 % of the time, nothing between them.
TEST(Edges, RareInductivePulses) {
  std::mt19937_64 random(4);
  std::normal_distribution<double> noise(0, 0.01);
  std::vector<double> values;
  for (int i = 0; i < 300000; ++i) {
    const double x = (std::fmod(i, 10000) - 5000.25) / 30;
    values.push_back(0.2 - 3 * x * std::exp(0.5 - x * x / 2) + noise(random));
  }
  const SignalTrain train = train_of(values, 1e-5);
  EXPECT_EQ(train.kind, SignalKind::inductive);
  std::vector<double> falling;
  for (const SignalEdge& edge : train.edges)
    if (edge.polarity < 0) falling.push_back(edge.time);
  ASSERT_EQ(falling.size(), 30U);
  for (std::size_t i = 0; i < falling.size(); ++i)
    EXPECT_NEAR(falling[i], (10000.0 * static_cast<double>(i) + 5000.25) * 1e-5, 0.3e-5);
}

std::vector<SignalEdge> even_edges(int count) {
  std::vector<SignalEdge> edges;
  for (int i = 0; i < count; ++i)
    edges.push_back({i * 1.0, static_cast<std::int8_t>(i % 2 == 0 ? 1 : -1)});
  return edges;
}

// 3 % of the local interval decides.
TEST(Glitches, BelowThreePercent) {
  for (const double length : {0.029, 0.031}) {
    auto edges = even_edges(40);
    const std::int8_t after = static_cast<std::int8_t>(-edges[20].polarity);
    edges.insert(edges.begin() + 21, {{20.5, after}, {20.5 + length, edges[20].polarity}});
    const auto dropped = drop_glitches(edges);
    EXPECT_EQ(dropped, length < 0.03 ? 1 : 0);
    EXPECT_EQ(edges.size(), length < 0.03 ? 40U : 42U);
  }
}

// A target that covers 1 % of its wheel is no glitch.
TEST(Glitches, ATrainOfNarrowPulsesStays) {
  std::vector<SignalEdge> edges;
  for (int i = 0; i < 40; ++i) {
    edges.push_back({i * 1.0, 1});
    edges.push_back({i + 0.01, -1});
  }
  EXPECT_EQ(drop_glitches(edges), 0);
  EXPECT_EQ(edges.size(), 80U);
}

TEST(Glitches, ABouncingEdgeKeepsItsFirstChange) {
  auto edges = even_edges(40);
  const std::int8_t here = edges[20].polarity;
  for (int k = 1; k <= 6; ++k)
    edges.insert(edges.begin() + 20 + k,
                 SignalEdge{20 + k * 0.001, static_cast<std::int8_t>(k % 2 == 1 ? -here : here)});
  EXPECT_EQ(drop_glitches(edges), 3);
  ASSERT_EQ(edges.size(), 40U);
  EXPECT_EQ(edges[20].time, 20.0);
  for (std::size_t i = 1; i < edges.size(); ++i)
    EXPECT_EQ(edges[i].polarity, -edges[i - 1].polarity);
}

// Against the obvious loop, with every size of sample and every cut into pieces.
TEST(LogicScan, AgreesWithOneSampleAfterTheOther) {
  std::mt19937_64 random(5);
  for (std::size_t unit = 1; unit <= 8; ++unit) {
    const std::size_t channels = std::min<std::size_t>(unit * 8 - 1, 64);
    std::string bytes;
    std::uint64_t state = random();
    std::vector<std::vector<SignalEdge>> expected(channels);
    for (int i = 0; i < 30000; ++i) {
      const std::uint64_t before = state;
      if (random() % 700 == 0 || (i > 9000 && i < 9200)) state ^= std::uint64_t{1} << random() % 64;
      for (std::size_t b = 0; b < unit; ++b) bytes += static_cast<char>(state >> (8 * b) & 0xFF);
      for (std::size_t c = 0; c < channels && i > 0; ++c)
        if (((before ^ state) >> c & 1) != 0)
          expected[c].push_back(
              {(i - 0.5) * 1e-6, static_cast<std::int8_t>((state >> c & 1) != 0 ? 1 : -1)});
    }
    std::vector<SignalTrain> trains(channels);
    LogicScan scan(unit, 1e-6, trains);
    for (std::size_t at = 0, size = 1; at < bytes.size(); at += size, size = random() % 5000)
      scan.feed(std::string_view(bytes).substr(at, size));
    EXPECT_EQ(scan.samples(), 30000);
    EXPECT_FALSE(scan.ends_within_sample());
    for (std::size_t c = 0; c < channels; ++c) {
      ASSERT_EQ(trains[c].edges.size(), expected[c].size()) << unit << " " << c;
      for (std::size_t i = 0; i < expected[c].size(); ++i) {
        ASSERT_DOUBLE_EQ(trains[c].edges[i].time, expected[c][i].time);
        ASSERT_EQ(trains[c].edges[i].polarity, expected[c][i].polarity);
      }
    }
  }
}

// Quantiles of a uniform distribution, and of one whose first value says nothing of its scale.
TEST(Survey, QuantilesAndGroups) {
  LevelHistogram uniform;
  uniform.add(0);
  for (int i = 1; i <= 100000; ++i) uniform.add(-3 + i * 1e-4);
  for (const double share : {0.01, 0.25, 0.5, 0.9})
    EXPECT_NEAR(uniform.quantile(share), -3 + 10 * share, 0.01);
  EXPECT_NEAR(uniform.share_between(0, 1), 0.1, 0.002);
  LevelHistogram two;
  for (int i = 0; i < 1000; ++i) two.add(i % 10 == 0 ? 4.8 + i * 1e-4 : 0.3 + i * 1e-4);
  EXPECT_NEAR(two.two_group_split(), (0.4 + 4.8) / 2, 0.1);
}

// White noise of a known size on a wave: the fourth differences see the noise only.
TEST(Survey, NoiseUnderAWave) {
  std::mt19937_64 random(6);
  std::normal_distribution<double> noise(0, 0.05);
  std::vector<double> values;
  for (int i = 0; i < 50000; ++i) values.push_back(2 * std::sin(2 * kPi * i / 60) + noise(random));
  ChannelSurvey survey;
  survey.add(values.data(), values.size());
  EXPECT_NEAR(survey.levels(true).noise, 0.05, 0.002);
  EXPECT_EQ(survey.levels(true).kind, SignalKind::inductive);
}

}  // namespace
}  // namespace tautmark
