// SPDX-License-Identifier: Apache-2.0
// Values: signals.md section 11, C5, C6; scipy 1.10 through tests/reference/recording_scipy.py.
#include "recording/phase_statistics.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <map>
#include <numbers>
#include <string>

#include "recording/random.h"
#include "support/long_tests.h"
#include "support/reference_program.h"

namespace tautmark {
namespace {

TEST(PhaseStatistics, MeanScatterJitterAndAllanVariance) {
  const std::vector<double> psi = {1, 2, 4, 7, 11, 16};
  const PhaseStatistics s = phase_statistics(psi);
  EXPECT_NEAR(s.mean, 6.833333, 1e-6);
  EXPECT_NEAR(s.sd, 5.776389, 1e-6);
  EXPECT_NEAR(s.jitter, 1.118034, 1e-6);
  EXPECT_DOUBLE_EQ(s.peak_to_peak, 15);
  EXPECT_NEAR(allan_variance(psi, 1).value(), 5.5, 1e-12);
  EXPECT_NEAR(std::sqrt(allan_variance(psi, 1).value()), 2.345208, 1e-6);
  EXPECT_NEAR(allan_variance(psi, 2, false).value(), 20, 1e-12);
  EXPECT_NEAR(allan_variance(psi, 2, true).value(), 19.333333, 1e-6);
  EXPECT_FALSE(allan_variance(psi, 4));
  EXPECT_FALSE(allan_variance(psi, 0));
}

TEST(PhaseStatistics, OneValueAndNone) {
  EXPECT_EQ(phase_statistics({}).count, 0);
  const PhaseStatistics one = phase_statistics(std::vector<double>{3.0});
  EXPECT_EQ(one.mean, 3);
  EXPECT_EQ(one.sd, 0);
  EXPECT_EQ(one.jitter, 0);
}

// C6: first order with dead time 0.05 s and τ = 0.15 s, step 20 degrees.
TEST(PhaseStatistics, FirstOrderStep) {
  std::vector<double> time, psi;
  for (double t = 0.9; t < 3; t += 1e-4) {
    time.push_back(t);
    psi.push_back(t < 1.05 ? 0 : 20 * (1 - std::exp(-(t - 1.05) / 0.15)));
  }
  const auto r = step_response(time, psi, 1, 0, 20, 0.4);  // 2 % of 20
  ASSERT_TRUE(r);
  EXPECT_NEAR(r->rise_10_90.value(), 0.329584, 1e-5);
  EXPECT_NEAR(r->time_63.value(), 0.2, 1e-5);
  EXPECT_NEAR(r->settling.value(), 0.636803, 1e-5);
  EXPECT_NEAR(r->dead_time.value(), 0.05 - 0.15 * std::log(0.95), 1e-5);
  EXPECT_NEAR(r->overshoot, 0, 1e-9);
  EXPECT_NEAR(r->steady_error, 0, 1e-3);
  // The line from 20 to 80 %: 12 degrees in τ ln 4.
  EXPECT_NEAR(r->slew.value(), 12 / (0.15 * std::log(4.0)), 1e-2);
  EXPECT_FALSE(step_response(time, psi, 1, 5, 5));
  EXPECT_FALSE(step_response(time, psi, 2.9999, 0, 20));
}

TEST(PhaseStatistics, SecondOrderOvershoot) {
  std::vector<double> time, psi;
  const double zeta = 0.4, w = 10, d = w * std::sqrt(1 - zeta * zeta);
  for (double t = 0; t < 3; t += 1e-4) {
    time.push_back(t);
    psi.push_back(
        -10 * (1 - std::exp(-zeta * w * t) * (std::cos(d * t) + zeta * w / d * std::sin(d * t))));
  }
  const auto r = step_response(time, psi, 0, 0, -10);
  ASSERT_TRUE(r);
  EXPECT_NEAR(r->overshoot, 0.253827, 1e-6);
  EXPECT_LT(r->slew.value(), 0);
}

TEST(PhaseStatistics, FindsHuntingAndNothingInNoise) {
  const recording::CounterRandom random(7);
  int found_in_noise = 0;
  for (std::uint32_t seed = 0; seed < 40; ++seed) {
    std::vector<double> time, noise, hunting;
    for (std::size_t c = 0; c < 120; ++c) {
      time.push_back(0.15 * static_cast<double>(c) + 0.01 * random.uniform(seed, c));
      noise.push_back(0.3 * random.normal(seed + 100, c));
      hunting.push_back(noise.back() + 1.2 * std::sin(2 * std::numbers::pi * 1.3 * time.back()));
    }
    const auto h = find_hunting(time, hunting);
    ASSERT_TRUE(h);
    EXPECT_TRUE(h->found);
    EXPECT_NEAR(h->sine.frequency, 1.3, 0.02);
    EXPECT_NEAR(h->sine.amplitude, 1.2, 0.2);
    found_in_noise += find_hunting(time, noise)->found ? 1 : 0;
  }
  EXPECT_LE(found_in_noise, 1);  // chance 0.001 each
  const std::vector<double> few(5, 0.0);
  EXPECT_FALSE(find_hunting(few, few));
}

TEST(PhaseStatistics, FindsStepsWhereTheyAre) {
  const recording::CounterRandom random(3);
  std::vector<double> psi, quiet;
  for (std::size_t c = 0; c < 200; ++c) {
    quiet.push_back(0.2 * random.normal(0, c));
    psi.push_back(quiet.back() + (c >= 70 ? -18.9 : 0) + (c >= 150 ? 18.9 : 0));
  }
  const auto steps = phase_steps(psi);
  ASSERT_EQ(steps.size(), 2u);
  EXPECT_EQ(steps[0].index, 70u);
  EXPECT_NEAR(steps[0].change, -18.9, 0.15);
  EXPECT_EQ(steps[1].index, 150u);
  for (const PhaseStep& step : phase_steps(quiet)) EXPECT_LT(std::abs(step.change), 1);
}

// Known answers of the generator: Random123, file kat_vectors, philox4x32 10 (from memory).
TEST(PhaseStatistics, CounterGeneratorKnownAnswers) {
  EXPECT_EQ(recording::philox({0, 0, 0, 0}, {0, 0}),
            (recording::PhiloxWords{0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}));
  EXPECT_EQ(
      recording::philox({0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff}, {0xffffffff, 0xffffffff}),
      (recording::PhiloxWords{0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}));
}

// A long recording is searched in windows: the same answers, in bounded time.
TEST(PhaseStatistics, FindsHuntingInLongRecordings) {
  const recording::CounterRandom random(9);
  int found_in_noise = 0;
  for (const std::size_t cycles : {1025U, 3000U, 12000U}) {
    if (cycles > 3000 && !test::are_long()) continue;
    std::vector<double> time, noise, hunting, fast;
    for (std::size_t c = 0; c < cycles; ++c) {
      time.push_back(0.04 * static_cast<double>(c) + 0.002 * random.uniform(1, c));
      noise.push_back(0.3 * random.normal(2, c));
      hunting.push_back(noise.back() + 0.8 * std::sin(2 * std::numbers::pi * 1.3 * time.back()));
      fast.push_back(noise.back() + 0.8 * std::sin(2 * std::numbers::pi * 10.7 * time.back()));
    }
    for (const auto& [psi, frequency] : {std::pair(hunting, 1.3), std::pair(fast, 10.7)}) {
      const auto h = find_hunting(time, psi);
      ASSERT_TRUE(h);
      EXPECT_TRUE(h->found) << cycles;
      EXPECT_NEAR(h->sine.frequency, frequency, 0.002) << cycles;
      EXPECT_NEAR(h->sine.amplitude, 0.8, 0.05) << cycles;
    }
    found_in_noise += find_hunting(time, noise)->found ? 1 : 0;
  }
  EXPECT_EQ(found_in_noise, 0);
}

// The series of recording_scipy.py.
void series(std::vector<double>& time, std::vector<double>& psi) {
  for (int i = 0; i < 60; ++i) {
    time.push_back(0.12 * i + 0.02 * std::sin(1.7 * i));
    psi.push_back(2 + 0.8 * std::sin(5.1 * time.back() + 0.4) + 0.3 * std::cos(7.3 * i * i));
  }
}

TEST(PhaseStatistics, AgreesWithScipy) {
  auto all = test::values_told_by("recording_scipy.py");
  ASSERT_EQ(all.size(), 22u);
  std::vector<double> time, psi;
  series(time, psi);
  const auto near = [&](const std::string& name, double value) {
    ASSERT_TRUE(all.contains(name)) << name;
    EXPECT_NEAR(value, all[name], 1e-9 * std::max(1e-3, std::abs(all[name]))) << name;
  };
  for (const double f : {0.5, 0.81, 1.4}) {
    const auto fit = fit_sine(time, psi, f);
    ASSERT_TRUE(fit);
    near(fmt::format("sine_amplitude/{}", f), fit->amplitude);
    near(fmt::format("sine_mean/{}", f), fit->mean);
    near(fmt::format("sine_f/{}", f), fit->f_statistic);
    near(fmt::format("sine_chance/{}", f), fit->chance);
  }
  const LineFit line = line_fit(time, psi);
  near("line_slope", line.slope);
  near("line_at_zero", line.at_zero);
  near("line_slope_error", line.slope_error);
  const PhaseStatistics s = phase_statistics(psi);
  near("mean", s.mean);
  near("sd", s.sd);
  near("jitter", s.jitter);
  near("chi_squared_above/12.1/1", chi_squared_above(12.1, 1));
  near("chi_squared_above/3/4", chi_squared_above(3, 4));
  near("f_above/2.5/2/57", f_above(2.5, 2, 57));
  near("f_above/40/2/9", f_above(40, 2, 9));
}

}  // namespace
}  // namespace tautmark
