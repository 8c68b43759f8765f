// SPDX-License-Identifier: Apache-2.0
#include "measure/uncertainty.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "measure/statistics.h"

namespace tautmark {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

// GUM (JCGM 100:2008) Annex H.1, end gauge. Nanometers and kelvin.
//   l = l_s + d - l_s (δα θ + α_s δθ)
constexpr double kStandard = 50000623;  // l_s
constexpr double kDifference = 215;     // d
constexpr double kAlpha = 11.5e-6;      // α_s
constexpr double kTheta = -0.1;         // θ

struct EndGauge {
  Budget difference;
  Budget length;
};

Contribution term(std::string name, double u, double nu = kInfiniteNu, double sensitivity = 1) {
  return {.name = std::move(name), .u = u, .nu = nu, .sensitivity = sensitivity};
}

EndGauge end_gauge(double u_d, double nu_d, double u_delta_alpha, double u_delta_theta) {
  EndGauge result;
  result.difference = combine({term("random", 5.8, 24), term("comparator, random", 3.9, 5),
                               term("comparator, systematic", 6.7, 8)})
                          .value();
  const double used_u = u_d > 0 ? u_d : result.difference.u;
  const double used_nu = nu_d > 0 ? nu_d : result.difference.nu;
  result.length = combine({term("l_s", 25, 18), term("d", used_u, used_nu),
                           term("δα", u_delta_alpha, 50, -kStandard * kTheta),
                           term("δθ", u_delta_theta, 2, -kStandard * kAlpha),
                           term("α_s", rectangular_u(2e-6), kInfiniteNu, 0)})
                      .value();
  return result;
}

EndGauge exact_end_gauge() { return end_gauge(0, 0, rectangular_u(1e-6), rectangular_u(0.05)); }

double part(const Budget& budget, std::size_t i) {
  return std::abs(budget.terms.at(i).sensitivity) * budget.terms.at(i).u;
}

// M2.1: published 50.000838 mm; both temperature terms have a best estimate of zero.
TEST(EndGaugeH1, HasItsPublishedLength) { EXPECT_EQ(kStandard + kDifference, 50000838); }

// M2.2: u(d) published 9.7 nm with 25.6 degrees of freedom.
TEST(EndGaugeH1, CombinesTheDifference) {
  const Budget d = exact_end_gauge().difference;
  EXPECT_NEAR(d.u, 9.681941953967707, 1e-12);
  EXPECT_NEAR(d.nu, 25.447251, 1e-6);
}

// M2.3 to M2.6: published 2.9, 16.6, 32 nm, nu 16.7.
TEST(EndGaugeH1, CombinesTheLength) {
  const Budget l = exact_end_gauge().length;
  EXPECT_NEAR(part(l, 2), 2.886787, 1e-6);
  EXPECT_NEAR(part(l, 3), 16.599027, 1e-6);
  EXPECT_NEAR(l.u, 31.663879111008633, 1e-9);
  EXPECT_NEAR(l.nu, 16.75185573762724, 1e-9);
}

// M2.3 to M2.6, M2.8, last column: with the inputs rounded as the annex prints them.
TEST(EndGaugeH1, CombinesTheRoundedInputs) {
  const Budget l = end_gauge(9.7, 25.6, 0.58e-6, 0.029).length;
  EXPECT_NEAR(part(l, 2), 2.900036, 1e-6);
  EXPECT_NEAR(part(l, 3), 16.675208, 1e-6);
  EXPECT_NEAR(l.u, 31.710610, 1e-6);
  const double k = student_factor(0.99, l.nu, NuRounding::truncate).value();
  EXPECT_NEAR(k * l.u, 92.619766, 1e-6);
  EXPECT_NEAR(l.nu, 16.656063, 1e-6);
}

// M2.7, M2.8: k_99 published 2.92, U published 93 nm (from u_c rounded up to 32 nm first).
TEST(EndGaugeH1, HasItsPublishedExpandedUncertainty) {
  const Budget l = exact_end_gauge().length;
  const double k = student_factor(0.99, l.nu, NuRounding::truncate).value();
  EXPECT_NEAR(k, 2.920782, 1e-6);
  EXPECT_NEAR(k * l.u, 92.48327620212562, 1e-8);
  EXPECT_NEAR(k * l.u, 93, 1);
}

// M2.9, M2.10: second-order terms published 11.7 and 1.7 nm, u_c with them 34 nm.
TEST(EndGaugeH1, HasItsPublishedSecondOrderTerms) {
  const double u_theta = std::hypot(0.2, arcsine_u(0.5));
  const double first = second_order_product_u(-kStandard, rectangular_u(1e-6), u_theta);
  const double second =
      second_order_product_u(-kStandard, rectangular_u(2e-6), rectangular_u(0.05));
  EXPECT_NEAR(first, 11.726186, 1e-6);
  EXPECT_NEAR(second, 1.666687, 1e-6);
  std::vector<Contribution> terms = exact_end_gauge().length.terms;
  terms.push_back(term("δα θ", first));
  terms.push_back(term("α_s δθ", second));
  EXPECT_NEAR(combine(terms).value().u, 33.806545, 1e-6);
}

// GUM (JCGM 100:2008) Table G.2 prints 12.71, 4.30, 3.18, 2.57, 2.26, 2.12, 2.01.
TEST(StudentFactor, HasThePublishedValues) {
  struct Row {
    double nu, t;
  };
  for (const Row& row : {Row{1, 12.706205}, Row{2, 4.302653}, Row{3, 3.182446}, Row{5, 2.570582},
                         Row{9, 2.262157}, Row{16, 2.119905}, Row{50, 2.008559}}) {
    EXPECT_NEAR(student_factor(0.95, row.nu).value(), row.t, 1e-6) << row.nu;
  }
}

// M3.5: normal quantiles of the tables.
TEST(StudentFactor, IsTheNormalFactorForInfiniteNu) {
  EXPECT_NEAR(student_factor(0.90, kInfiniteNu).value(), 1.644853627, 1e-9);
  EXPECT_NEAR(student_factor(0.95, kInfiniteNu).value(), 1.959963985, 1e-9);
}

TEST(StudentFactor, TruncatesOnRequest) {
  EXPECT_EQ(student_factor(0.95, 16.75, NuRounding::truncate).value(),
            student_factor(0.95, 16).value());
  EXPECT_LT(student_factor(0.95, 16.75).value(), student_factor(0.95, 16).value());
}

TEST(StudentFactor, RefusesImpossibleInput) {
  EXPECT_FALSE(student_factor(0, 5));
  EXPECT_FALSE(student_factor(1, 5));
  EXPECT_FALSE(student_factor(kNan, 5));
  EXPECT_FALSE(student_factor(0.95, 0.99));
  EXPECT_FALSE(student_factor(0.95, kNan));
  EXPECT_FALSE(coverage_factor(0));
}

TEST(CoverageFactor, IsTwoForManyDegreesOfFreedomAndStudentsForFew) {
  EXPECT_EQ(coverage_factor(kInfiniteNu).value(), 2);
  EXPECT_EQ(coverage_factor(50).value(), 2);
  EXPECT_NEAR(coverage_factor(9).value(), 2.262157, 1e-6);
}

// GUM (JCGM 100:2008) Annex H.2, simultaneous resistance and reactance, method 1.
struct Impedance {
  CorrelatedMeans means;
  double voltage, current, phase;
};

Impedance impedance() {
  const std::vector<std::vector<double>> series = {
      {5.007, 4.994, 5.005, 4.990, 4.999},
      {19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3},
      {1.0456, 1.0438, 1.0468, 1.0428, 1.0433}};
  Impedance result{
      .means = correlated_means(series).value(), .voltage = 0, .current = 0, .phase = 0};
  result.voltage = result.means.mean[0];
  result.current = result.means.mean[1];
  result.phase = result.means.mean[2];
  return result;
}

double u_of(const Impedance& z, double per_voltage, double per_current, double per_phase,
            bool with_correlation) {
  const std::vector<Contribution> terms = {term("V", z.means.u[0], kInfiniteNu, per_voltage),
                                           term("I", z.means.u[1], kInfiniteNu, per_current),
                                           term("phi", z.means.u[2], kInfiniteNu, per_phase)};
  return with_correlation ? combine(terms, z.means.correlations).value().u
                          : combine(terms).value().u;
}

void expect_relative(double value, double expected) {
  EXPECT_NEAR(value, expected, std::abs(expected) * 1e-7);
}

// M2.15: R published 127.732 ± 0.071 ohm.
TEST(ImpedanceH2, ResistanceHasItsPublishedValue) {
  const Impedance z = impedance();
  const double r = z.voltage / z.current * std::cos(z.phase);
  const double x = z.voltage / z.current * std::sin(z.phase);
  expect_relative(r, 127.73216993);
  expect_relative(u_of(z, r / z.voltage, -r / z.current, -x, true), 0.07107141);
  expect_relative(u_of(z, r / z.voltage, -r / z.current, -x, false), 0.19454445);
}

// M2.16: X published 219.847 ± 0.295 ohm.
TEST(ImpedanceH2, ReactanceHasItsPublishedValue) {
  const Impedance z = impedance();
  const double r = z.voltage / z.current * std::cos(z.phase);
  const double x = z.voltage / z.current * std::sin(z.phase);
  expect_relative(x, 219.84651191);
  expect_relative(u_of(z, x / z.voltage, -x / z.current, r, true), 0.29558168);
  expect_relative(u_of(z, x / z.voltage, -x / z.current, r, false), 0.20090931);
}

// M2.17: Z published 254.260 ± 0.236 ohm.
TEST(ImpedanceH2, ImpedanceHasItsPublishedValue) {
  const Impedance z = impedance();
  const double value = z.voltage / z.current;
  expect_relative(value, 254.25970195);
  expect_relative(u_of(z, value / z.voltage, -value / z.current, 0, true), 0.23633613);
  expect_relative(u_of(z, value / z.voltage, -value / z.current, 0, false), 0.20407643);
}

// M2.18: correlations published -0.36, 0.86, -0.65.
TEST(ImpedanceH2, CorrelationsHaveTheirPublishedValues) {
  const Impedance z = impedance();
  ASSERT_EQ(z.means.correlations.size(), 3u);
  expect_relative(z.means.correlations[0].r, -0.35531122);
  expect_relative(z.means.correlations[1].r, 0.85762421);
  expect_relative(z.means.correlations[2].r, -0.64511122);
}

TEST(CorrelatedMeans, RefusesSeriesThatAreNotSimultaneous) {
  using Series = std::vector<std::vector<double>>;
  EXPECT_FALSE(correlated_means(Series{}));
  EXPECT_FALSE(correlated_means(Series{{1}, {2}}));
  EXPECT_FALSE(correlated_means(Series{{1, 2}, {1, 2, 3}}));
  EXPECT_FALSE(correlated_means(Series{{1, kNan}, {1, 2}}));
  EXPECT_EQ(correlated_means(Series{{1, 1}, {1, 2}}).value().correlations[0].r, 0);
}

// M2.20: worked shop case of the measurement note, own arithmetic, micrometers.
TEST(Combine, ShopCase) {
  const std::vector<double> readings = {24.972, 24.973, 24.971, 24.972, 24.973};
  const Summary s = summarize(readings).value();
  EXPECT_NEAR(s.mean, 24.9722, 1e-12);
  EXPECT_NEAR(s.sd.value() * 1e3, 0.8366600, 1e-6);
  const double size = 24972;  // the note takes the nominal size for the two temperature terms
  const Budget budget =
      combine({term("repeat", s.sd.value() * 1e3 / std::sqrt(5.0), 4),
               term("resolution", resolution_u(1)), term("calibration", certificate_u(2, 2)),
               term("zero", rectangular_u(1)),
               term("temperature difference", rectangular_u(2), kInfiniteNu, size * 11.5e-6),
               term("expansion", rectangular_u(1e-6), kInfiniteNu, size * 5)})
          .value();
  constexpr double kParts[] = {0.374166, 0.288675, 1.000000, 0.577350, 0.331605, 0.072088};
  for (std::size_t i = 0; i < std::size(kParts); ++i) EXPECT_NEAR(part(budget, i), kParts[i], 1e-6);
  EXPECT_NEAR(budget.u, 1.292991, 1e-6);
  EXPECT_NEAR(budget.nu, 570.408, 1e-3);
  EXPECT_NEAR(coverage_factor(budget.nu).value() * budget.u, 2.585981, 1e-6);
}

// M3.10: clearance, bore and journal sharing part of their error.
TEST(Combine, SharedErrorOfADifferenceCancels) {
  const std::vector<Contribution> terms = {term("bore", 2.5),
                                           term("journal", 1.5, kInfiniteNu, -1)};
  EXPECT_NEAR(combine(terms).value().u, 2.915475947, 1e-6);
  const std::vector<Correlation> half = {{0, 1, 0.5}};
  EXPECT_NEAR(combine(terms, half).value().u, 2.179449472, 1e-6);
}

// Closed form: full correlation of equal terms.
TEST(Combine, FullCorrelationAddsOrCancelsCompletely) {
  const std::vector<Correlation> full = {{0, 1, 1}};
  EXPECT_DOUBLE_EQ(combine({term("a", 3), term("b", 3)}, full).value().u, 6);
  EXPECT_NEAR(combine({term("a", 3), term("b", 3, kInfiniteNu, -1)}, full).value().u, 0, 1e-15);
}

TEST(Combine, CorrelatedTermsHaveNoMoreDegreesOfFreedomThanTheSmaller) {
  const std::vector<Correlation> half = {{0, 1, 0.5}};
  EXPECT_LE(combine({term("a", 3, 4), term("b", 3, 7)}, half).value().nu, 4);
}

TEST(Combine, DoesNotRunOutOfExponent) {
  const Budget tiny = combine({term("a", 3e-200, 4), term("b", 4e-200, 4)}).value();
  EXPECT_NEAR(tiny.u / 5e-200, 1, 1e-12);
  EXPECT_NEAR(tiny.nu, 625.0 * 4 / (81 + 256), 1e-9);
  EXPECT_EQ(combine({term("a", 0)}).value().u, 0);
}

TEST(Combine, RefusesImpossibleTerms) {
  EXPECT_FALSE(combine({}));
  EXPECT_FALSE(combine({term("a", -1)}));
  EXPECT_FALSE(combine({term("a", kNan)}));
  EXPECT_FALSE(combine({term("a", certificate_u(2, 0))}));
  EXPECT_FALSE(combine({term("a", 1, 0.5)}));
  EXPECT_FALSE(combine({term("a", 1, kNan)}));
  EXPECT_FALSE(combine({term("a", 1, 5, kNan)}));
  EXPECT_FALSE(combine({term("a", 1e308, 5, 1e308)}));
}

TEST(Combine, RefusesImpossibleCorrelations) {
  const auto with = [](std::vector<Correlation> r) {
    return combine({term("a", 1), term("b", 1), term("c", 1)}, r).has_value();
  };
  EXPECT_TRUE(with({{0, 1, 0.5}, {1, 2, 0.5}}));
  EXPECT_FALSE(with({{0, 1, 1.1}}));
  EXPECT_FALSE(with({{0, 1, kNan}}));
  EXPECT_FALSE(with({{0, 3, 0.1}}));
  EXPECT_FALSE(with({{1, 1, 1}}));
  EXPECT_FALSE(with({{0, 1, 0.5}, {1, 0, 0.5}}));
  // a follows b and b follows c, yet a opposes c.
  EXPECT_FALSE(with({{0, 1, 1}, {1, 2, 1}, {0, 2, -1}}));
  EXPECT_FALSE(with({{0, 1, 0.9}, {1, 2, 0.9}, {0, 2, -0.9}}));
  EXPECT_TRUE(with({{0, 1, 1}, {1, 2, 1}, {0, 2, 1}}));
}

}  // namespace
}  // namespace tautmark
