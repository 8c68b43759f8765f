// SPDX-License-Identifier: Apache-2.0
#include "oil/identify.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "oil/identify_test_support.h"
#include "oil/test_near.h"

namespace tautmark::oil {
namespace {

using namespace test;
using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

// One node, a flow that is given, three ways out: p = Q μ / ΣG, so that
// d ln p = -Σ s dz sd, s = G / ΣG.
Identification star(double sd, double standard_kPa) {
  Identification in;
  in.network.nodes = {"gallery"};
  in.network.elements = {
      {"pump", kSump, 0, FixedFlow{Flow::from_si(1e-4)}},
      {"mains", 0, kSump, Laminar{4e-12}},
      {"rods", 0, kSump, Laminar{3e-12}},
      {"cams", 0, kSump, Laminar{1e-12}},
  };
  in.unknowns = {{"mains", NormalLn{1, sd}}, {"rods", NormalLn{1, sd}}, {"cams", NormalLn{1, sd}}};
  in.apply = [net = in.network](std::span<const double> x, NetworkSolver& solver) {
    for (std::size_t i = 0; i < 3; ++i) open_by(solver, net, i + 1, x[i]);
  };
  in.readings = {gauge(kHotIdle, 0, 1e-4 * 8.60e-3 / 8e-12 * 1e-3, standard_kPa)};
  return in;
}

double mean(const Posterior& of, std::size_t unknown) {
  double sum = 0;
  for (std::size_t i = 0; i < of.weights.size(); ++i)
    sum += of.weights[i] * std::log(of.draw(i)[unknown]);
  return sum;
}
double covariance(const Posterior& of, std::size_t a, std::size_t b) {
  double sum = 0;
  for (std::size_t i = 0; i < of.weights.size(); ++i)
    sum += of.weights[i] * std::log(of.draw(i)[a]) * std::log(of.draw(i)[b]);
  return sum - mean(of, a) * mean(of, b);
}

// The normal posterior of a linear model, in closed form: K = P hᵀ / (h P hᵀ + u²).
TEST(Identify, IsTheClosedFormWhereTheNetworkIsLinear) {
  const double sd = 0.01, u = 0.004, share[] = {4.0 / 8, 3.0 / 8, 1.0 / 8}, low_by = 0.012;
  Identification in = star(sd, 0);
  const double p = in.readings[0].read.si();
  in.readings[0].read = Pressure::from_si(p * (1 - low_by));
  in.readings[0].standard = Pressure::from_si(p * u);
  const auto found = posterior(in, {3, 40'000});
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_GT(found->effective, 20'000);
  double spread = u * u;
  for (const double s : share) spread += s * s * sd * sd;
  for (std::size_t a = 0; a < 3; ++a) {
    // Curvature is a share of sd of what is compared: 1 %.
    EXPECT_NEAR(mean(*found, a), sd * sd * share[a] * low_by / spread, 0.02 * sd) << a;
    for (std::size_t b = 0; b < 3; ++b)
      EXPECT_NEAR(covariance(*found, a, b),
                  (a == b ? sd * sd : 0) - sd * sd * sd * sd * share[a] * share[b] / spread,
                  0.03 * sd * sd)
          << a << b;
  }
  EXPECT_NEAR(found->chi_square, low_by * low_by / spread, 0.02 * found->chi_square);
  EXPECT_TRUE(found->explained);
}

TEST(Identify, IsTheSameAgainForTheSameSeed) {
  const Identification in = star(0.3, 2);
  const auto once = posterior(in, {5, 500}), again = posterior(in, {5, 500}),
             other = posterior(in, {6, 500});
  ASSERT_TRUE(once && again && other);
  EXPECT_EQ(once->values, again->values);
  EXPECT_EQ(once->weights, again->weights);
  EXPECT_NE(once->values, other->values);
}

TEST(Identify, TwoElementsInParallelAreNotToldApart) {
  Identification in = star(0.5, 1);
  in.unknowns.pop_back();
  in.apply = [net = in.network](std::span<const double> x, NetworkSolver& solver) {
    open_by(solver, net, 1, x[0]);
    open_by(solver, net, 2, x[1]);
  };
  const auto found = posterior(in, {7, 4000});
  ASSERT_TRUE(found) << found.error().why;
  ASSERT_EQ(found->inseparable.size(), 1u);
  EXPECT_EQ(found->inseparable[0].one, 0u);
  EXPECT_EQ(found->inseparable[0].other, 1u);
  EXPECT_LT(found->inseparable[0].correlation, -0.9);
  EXPECT_THAT(found->said, Contains("these readings cannot tell mains from rods"));
  EXPECT_THAT(found->told_nothing, IsEmpty());
}

TEST(Identify, SaysWhatTheReadingsSayNothingOf) {
  Identification in;
  in.network = small_engine();
  in.unknowns = {{"cams", NormalLn{1, 0.3}}, {"pump slip", Between{0.5, 2}}};
  in.apply = [net = in.network](std::span<const double> x, NetworkSolver& solver) {
    open_by(solver, net, kSmallCams, x[0]);
    solver.change(kSmallPump, Pump{22e-6, 5.0e-12 * x[1]});
  };
  // A gauge that knows no better than 60 kPa at the head, a good one at the gallery.
  const auto as_it_is = solve(in.network, kHotIdle);
  ASSERT_TRUE(as_it_is);
  in.readings = {gauge(kHotIdle, kSmallGallery, in_kPa(as_it_is->at[kSmallGallery]), 1),
                 gauge(kHotIdle, kSmallHead, in_kPa(as_it_is->at[kSmallHead]), 60)};
  const auto found = posterior(in, {});
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_EQ(found->told_nothing, std::vector<std::size_t>{0});
  EXPECT_THAT(found->said, Contains("these readings say nothing of cams"));
}

TEST(Identify, SaysThatTheNetworkDoesNotExplainTheReadings) {
  Identification in = star(0.02, 1);
  in.readings[0].read = Pressure::from_si(in.readings[0].read.si() * 0.7);
  const auto found = posterior(in, {});
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_FALSE(found->explained);
  EXPECT_LT(found->tail, 1e-6);
  EXPECT_THAT(found->said, Contains(HasSubstr("does not explain the readings: at best node "
                                              "\"gallery\"")));
}

// With the factor known to be 1 in the option, the forecast is what the network gives with 1.
TEST(Identify, ForecastsAnOptionForEveryDraw) {
  Identification in;
  in.network = small_engine();
  in.unknowns = {{"front", NormalLn{2, 0.5}}};
  in.apply = [net = in.network](std::span<const double> x, NetworkSolver& solver) {
    open_by(solver, net, kSmallFront, x[0]);
  };
  in.readings = {gauge(kHotIdle, kSmallHead, 120, 3)};
  const auto found = posterior(in, {});
  ASSERT_TRUE(found) << found.error().why;
  const ReadOff journal = [](const NetworkSolver& solved) { return solved.at(kSmallJournal).si(); };
  const auto renewed = forecast(
      in, *found, kHotIdle,
      [&](std::span<const double>, NetworkSolver& solver) {
        open_by(solver, in.network, kSmallFront, 1);
      },
      journal);
  const auto as_found = forecast(in, *found, kHotIdle, {}, journal);
  ASSERT_TRUE(renewed && as_found);
  const double as_new = solve(in.network, kHotIdle)->at[kSmallJournal].si();
  expect_relative(renewed->interval.low, as_new, 1e-9);
  expect_relative(renewed->interval.high, as_new, 1e-9);
  EXPECT_LT(as_found->interval.high, as_new);
  EXPECT_LT(as_found->interval.low, as_found->interval.median);
}

TEST(Identify, WeightedIntervalsAreThoseOfTheirDistribution) {
  std::vector<double> values, weights;
  for (int i = 0; i < 1000; ++i) {
    // Twice as dense below one half, half the weight there.
    const double x = i < 667 ? i / 1334.0 : 0.5 + (i - 667) / 666.0;
    values.push_back(x);
    weights.push_back(i < 667 ? 0.5 : 1);
  }
  const Interval it = interval_of(values, weights);
  EXPECT_NEAR(it.low, 0.025, 0.002);
  EXPECT_NEAR(it.median, 0.5, 0.002);
  EXPECT_NEAR(it.high, 0.975, 0.002);
}

void expect_refused(const Identification& in, const std::string& why,
                    const Sampling& sampling = {1, 400}) {
  const auto found = posterior(in, sampling);
  ASSERT_FALSE(found) << why;
  EXPECT_THAT(found.error().why, HasSubstr(why));
}

TEST(Identify, RefusesWhatCannotBeFound) {
  const Identification fine = star(0.1, 1);
  Identification in = fine;
  in.readings.clear();
  expect_refused(in, "no reading");
  in = fine;
  in.unknowns.clear();
  expect_refused(in, "no unknown");
  in = fine;
  in.unknowns[1].name = "mains";
  expect_refused(in, "mains: two unknowns have this name");
  in.unknowns[1].name = "";
  expect_refused(in, "without a name");
  in = fine;
  in.unknowns[2].prior = NormalLn{1, 0};
  expect_refused(in, "cams: its usual value and the spread");
  in.unknowns[2].prior = Between{2, 1};
  expect_refused(in, "cams: its lower end");
  in = fine;
  in.apply = {};
  expect_refused(in, "nothing says what the unknowns do");
  in = fine;
  in.readings[0].node = 1;
  expect_refused(in, "reading 1: the network has no node 2");
  in = fine;
  in.readings[0].standard = {};
  expect_refused(in, "reading 1, node \"gallery\": its uncertainty");
  in = fine;
  in.readings[0].read = Pressure::from_si(NAN);
  expect_refused(in, "reading 1, node \"gallery\": not a pressure");
  expect_refused(fine, "99 draws", {1, 99});
  in = fine;
  in.unknowns[2].prior = Between{-2, -1};
  expect_refused(in, "element \"cams\"");
}

// 100 draws of unequal weight are worth fewer.
TEST(Identify, RefusesTooFewEffectiveDraws) {
  expect_refused(star(0.5, 1), "100 draws are worth only", {1, 100});
}

}  // namespace
}  // namespace tautmark::oil
