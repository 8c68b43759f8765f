// SPDX-License-Identifier: Apache-2.0
// Against an independent program: scipy 1.10, tests/reference/measure_scipy.py. Without scipy the
// tests fail; they are not skipped.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <map>
#include <string>
#include <vector>

#include "measure/decision.h"
#include "measure/distribution.h"
#include "measure/gauge_rr.h"
#include "measure/roundness.h"
#include "measure/stack.h"
#include "measure/statistics.h"
#include "measure/uncertainty.h"
#include "support/reference_program.h"

namespace tautmark {
namespace {

using References = std::map<std::string, double>;

References references(const std::string& group) {
  return test::values_told_by("measure_scipy.py " + group);
}

double at(const References& all, const std::string& name) {
  const auto found = all.find(name);
  if (found == all.end()) {
    ADD_FAILURE() << "the script prints no " << name;
    return 0;
  }
  return found->second;
}

// The numbers in "student_cdf/-1.5/30".
std::vector<double> arguments(const std::string& name) {
  std::vector<double> result;
  for (std::size_t slash = name.find('/'); slash != std::string::npos;
       slash = name.find('/', slash + 1)) {
    result.push_back(std::strtod(name.c_str() + slash + 1, nullptr));
  }
  return result;
}

void expect_relative(double value, double expected, double tolerance, const std::string& name) {
  EXPECT_NEAR(value, expected, tolerance * std::abs(expected)) << name;
}

TEST(Scipy, AgreesOnDistributions) {
  const References all = references("distributions");
  EXPECT_EQ(all.size(), 45u + 7 + 21 + 4);
  for (const auto& [name, expected] : all) {
    const std::vector<double> x = arguments(name);
    double value = 0;
    if (name.starts_with("student_factor/")) {
      value = student_factor(x[0], x[1]).value();
    } else if (name.starts_with("normal_cdf/")) {
      value = student_cdf(x[0], kInfiniteNu);
    } else if (name.starts_with("student_cdf/")) {
      value = student_cdf(x[0], x[1]);
    } else if (name.starts_with("f_upper_tail/")) {
      value = f_upper_tail(x[0], x[1], x[2]);
    } else {
      FAIL() << "nothing here computes " << name;
    }
    expect_relative(value, expected, 1e-11, name);
  }
}

TEST(Scipy, AgreesOnDecisions) {
  struct Case {
    const char* name;
    Estimate estimate;
    Limits limits;
  };
  const std::vector<Case> cases = {
      {"two-sided", {0.031, 0.004, kInfiniteNu}, {0.025, 0.066}},
      {"far-tail", {0.090, 0.003, kInfiniteNu}, {std::nullopt, 0.070}},
      {"few-readings", {0.0652, 0.003, 2}, {std::nullopt, 0.070}},
      {"lower-few", {0.0271, 0.0015, 3.7}, {0.025, std::nullopt}},
      {"narrow-few", {0.030, 0.002, 4}, {0.025, 0.035}},
      {"one-degree", {0.050, 0.004, 1}, {0.025, 0.066}},
  };
  const References all = references("decisions");
  for (const Case& c : cases) {
    const auto d = decide(c.estimate, c.limits);
    ASSERT_TRUE(d) << d.error().why;
    const std::string name = c.name;
    expect_relative(d->probability_within, at(all, "probability/" + name), 1e-9, name);
    expect_relative(d->rejection_band, at(all, "rejection_band/" + name), 1e-11, name);
  }
  const auto five_u = decide({.value = 2.5, .u = 1}, {.lower = 0, .upper = 5});
  EXPECT_NEAR(five_u->guard_band, at(all, "guard_band/five-u"), 1e-12);
}

TEST(Scipy, AgreesOnAnUncertaintyBudget) {
  const References all = references("budget");
  const std::vector<Contribution> terms = {{"a", 0.374166, 4, 1},
                                           {"b", 0.288675, 1e9, 1},
                                           {"c", 1.0, 12, -1},
                                           {"d", 0.57735, 50, 2},
                                           {"e", 0.3316, 3, 0.5}};
  const Budget independent = combine(terms).value();
  expect_relative(independent.u, at(all, "budget/u"), 1e-13, "u");
  expect_relative(independent.nu, at(all, "budget/nu"), 1e-13, "nu");
  const std::vector<Correlation> correlations = {{0, 2, 0.4}, {3, 1, -0.7}};
  expect_relative(combine(terms, correlations)->u, at(all, "budget/u-correlated"), 1e-13, "r");
}

TEST(Scipy, AgreesOnAnOvalFit) {
  const References all = references("oval");
  constexpr double kDirections[] = {3, 41, 77, 118, 149, 171};
  constexpr double kDeviations[] = {4.1, 11.7, 2.9, -9.8, -7.2, 0.4};
  std::vector<DiameterReading> readings;
  for (std::size_t i = 0; i < std::size(kDirections); ++i) {
    readings.push_back({deg(kDirections[i]), mm(25 + 1e-3 * kDeviations[i])});
  }
  const auto fit = oval_fit(readings);
  ASSERT_TRUE(fit) << fit.error().why;
  // The other side searches for its minimum; 1e-7 is what its search leaves.
  EXPECT_NEAR(in_mm(fit->mean_diameter), at(all, "oval/mean"), 1e-9);
  expect_relative(in_mm(fit->amplitude), at(all, "oval/amplitude"), 1e-7, "amplitude");
  expect_relative(in_deg(fit->long_axis.value()), at(all, "oval/axis"), 1e-7, "axis");
  expect_relative(in_mm(fit->residual_sd.value()), at(all, "oval/residual-sd"), 1e-7, "residual");
  // The other side differentiates numerically.
  expect_relative(fit->mean_u_factor, at(all, "oval/mean-u-factor"), 1e-7, "mean factor");
  expect_relative(fit->amplitude_u_factor, at(all, "oval/amplitude-u-factor"), 1e-7, "factor");
}

TEST(Scipy, AgreesOnTrapezoidQuantiles) {
  const References all = references("trapezoid");
  EXPECT_EQ(all.size(), 9u);
  for (const auto& [name, expected] : all) {
    const std::vector<double> x = arguments(name);
    expect_relative(two_rectangular_half_width(x[0], x[1], x[2]).value(), expected, 1e-10, name);
    EXPECT_NEAR(two_rectangular_coverage(x[0], x[1], expected).value(), x[2], 1e-10) << name;
  }
}

TEST(Scipy, AgreesOnASummary) {
  const References all = references("summary");
  std::vector<double> x;
  std::uint64_t state = 12345;  // minimal standard (Park and Miller), written on both sides
  for (int i = 0; i < 1000; ++i) {
    state = state * 48271 % 2147483647;
    x.push_back(24.97 + 1e-6 * static_cast<double>(state % 1000));
  }
  const auto s = summarize(x);
  ASSERT_TRUE(s);
  expect_relative(s->mean, at(all, "summary/mean"), 1e-14, "mean");
  expect_relative(s->sd.value(), at(all, "summary/sd"), 1e-11, "sd");
  expect_relative(s->lag1.value(), at(all, "summary/lag1"), 1e-9, "lag1");
}

// The factors of the range method, through a study whose ranges are all 1.
TEST(Scipy, AgreesOnTheFactorsOfTheRangeMethod) {
  const References all = references("range_factors");
  for (int trials = 2; trials <= 3; ++trials) {
    for (int parts = 2; parts <= 10; ++parts) {
      GaugeStudy study{.parts = parts, .appraisers = 2, .trials = trials, .readings = {}};
      for (int i = 0; i < 2 * trials * parts; ++i) {
        const bool is_last_trial = i / parts % trials == trials - 1;
        const bool is_last_part = i % parts == parts - 1;
        study.readings.push_back((is_last_trial ? 1 : 0) + (is_last_part ? 1 : 0));
      }
      const auto r = range_gauge_rr(study);
      ASSERT_TRUE(r) << r.error().why;
      EXPECT_NEAR(r->equipment, at(all, fmt::format("range_factor/mean/{}", trials)), 6e-5);
      EXPECT_NEAR(r->part, at(all, fmt::format("range_factor/single/{}", parts)), 6e-5) << parts;
    }
  }
}

}  // namespace
}  // namespace tautmark
