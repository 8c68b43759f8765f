// SPDX-License-Identifier: Apache-2.0
// Properties that hold for every input, tried on random ones.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include "measure/decision.h"
#include "measure/roundness.h"
#include "measure/thermal.h"
#include "measure/uncertainty.h"

namespace tautmark {
namespace {

// A decimal number as someone would type it, in [low, high].
double typed(int low, int high, double step) { return *rc::gen::inRange(low, high + 1) * step; }

double any_nu() { return *rc::gen::arbitrary<bool>() ? kInfiniteNu : typed(1, 60, 1); }
double any_level() { return *rc::gen::element(0.5, 0.95, 0.975, 0.999); }

Limits any_limits() {
  const double lower = typed(-500, 500, 1e-3);
  const double upper = lower + typed(0, 300, 1e-3);
  switch (*rc::gen::inRange(0, 3)) {
    case 0:
      return {.lower = std::nullopt, .upper = upper};
    case 1:
      return {.lower = lower, .upper = std::nullopt};
    default:
      return {.lower = lower, .upper = upper};
  }
}

Limits mirrored(const Limits& limits) {
  Limits result;
  if (limits.upper) result.lower = -*limits.upper;
  if (limits.lower) result.upper = -*limits.lower;
  return result;
}

RC_GTEST_PROP(DecideProperty, IsMonotoneTowardAnUpperLimit, ()) {
  const Limits limits{.lower = std::nullopt, .upper = typed(-500, 500, 1e-3)};
  const double u = typed(1, 200, 1e-3);
  const double nu = any_nu();
  const double level = any_level();
  const double first = typed(-1500, 1500, 1e-3);
  const double second = first + typed(0, 500, 1e-3);
  const auto nearer = decide({.value = first, .u = u, .nu = nu}, limits, level);
  const auto farther = decide({.value = second, .u = u, .nu = nu}, limits, level);
  RC_ASSERT(nearer.has_value() && farther.has_value());
  RC_ASSERT(nearer->conformity <= farther->conformity);
  RC_ASSERT(nearer->probability_within >= farther->probability_within);
}

RC_GTEST_PROP(DecideProperty, MirrorsWithItsLimits, ()) {
  const Limits limits = any_limits();
  const double value = typed(-1000, 1000, 1e-3);
  const double u = typed(1, 200, 1e-3);
  const double nu = any_nu();
  const double level = any_level();
  const auto straight = decide({.value = value, .u = u, .nu = nu}, limits, level);
  const auto mirror = decide({.value = -value, .u = u, .nu = nu}, mirrored(limits), level);
  RC_ASSERT(straight.has_value() && mirror.has_value());
  RC_ASSERT(straight->conformity == mirror->conformity);
  RC_ASSERT(std::abs(straight->probability_within - mirror->probability_within) <= 1e-14);
  RC_ASSERT(straight->guard_band == mirror->guard_band);
}

RC_GTEST_PROP(DecideProperty, ProbabilityAgreesWithTheVerdict, ()) {
  const Limits limits = any_limits();
  const double level = any_level();
  const auto d = decide(
      {.value = typed(-1000, 1000, 1e-3), .u = typed(1, 200, 1e-3), .nu = any_nu()}, limits, level);
  RC_ASSERT(d.has_value());
  RC_ASSERT(d->probability_within >= 0 && d->probability_within <= 1);
  RC_ASSERT(std::isfinite(d->guard_band) && d->guard_band >= d->rejection_band);
  if (d->conformity == Conformity::pass) RC_ASSERT(d->probability_within >= level - 2e-6);
  if (d->conformity == Conformity::fail) RC_ASSERT(d->probability_within <= 1 - level + 1e-12);
}

RC_GTEST_PROP(DecideProperty, ASmallerUncertaintyNeverTakesAPassAway, ()) {
  const Limits limits = any_limits();
  const double value = typed(-1000, 1000, 1e-3);
  const double level = any_level();
  const double u = typed(2, 200, 1e-3);
  const auto coarse = decide({.value = value, .u = u}, limits, level);
  const auto fine = decide({.value = value, .u = u / 2}, limits, level);
  RC_ASSERT(coarse.has_value() && fine.has_value());
  if (coarse->conformity == Conformity::pass) RC_ASSERT(fine->conformity == Conformity::pass);
  if (coarse->conformity == Conformity::fail) RC_ASSERT(fine->conformity == Conformity::fail);
}

RC_GTEST_PROP(WhatWouldDecideProperty, NeededUncertaintyDecides, ()) {
  const Limits limits = any_limits();
  const Estimate estimate{
      .value = typed(-1000, 1000, 1e-3), .u = typed(1, 200, 1e-3), .nu = any_nu()};
  const double sd = estimate.u * typed(0, 100, 1e-2);
  const auto w = what_would_decide(estimate, limits, 0.95, sd, *rc::gen::inRange(1, 12));
  if (!w) return;  // the scatter alone exceeds u
  if (w->decider == Decider::better_gauge || w->decider == Decider::more_readings) {
    RC_ASSERT(w->needed_u > 0);
    const auto then = decide({.value = estimate.value, .u = w->needed_u}, limits);
    RC_ASSERT(then.has_value());
    RC_ASSERT(then->conformity == w->then);
  }
  RC_ASSERT(w->further_readings.has_value() == (w->decider == Decider::more_readings));
}

RC_GTEST_PROP(CombineProperty, DoesNotDependOnTheOrder, ()) {
  std::vector<Contribution> terms;
  terms.reserve(10);
  const int count = *rc::gen::inRange(1, 10);
  for (int i = 0; i < count; ++i) {
    terms.push_back({.name = std::to_string(i),
                     .u = typed(0, 1000, 1e-6),
                     .nu = any_nu(),
                     .sensitivity = typed(-100, 100, 0.1)});
  }
  std::vector<Contribution> shuffled = terms;
  std::mt19937 random(static_cast<unsigned>(*rc::gen::inRange(0, 1000)));
  std::shuffle(shuffled.begin(), shuffled.end(), random);
  const auto first = combine(terms);
  const auto second = combine(shuffled);
  RC_ASSERT(first.has_value() && second.has_value());
  RC_ASSERT(std::abs(first->u - second->u) <= 1e-13 * first->u);
  if (std::isinf(first->nu)) {
    RC_ASSERT(std::isinf(second->nu));
  } else {
    RC_ASSERT(std::abs(first->nu - second->nu) <= 1e-12 * first->nu);
  }
}

RC_GTEST_PROP(CombineProperty, HasAtLeastTheSmallestNuAndNoTermAboveTheWhole, ()) {
  std::vector<Contribution> terms;
  double smallest = kInfiniteNu;
  double largest = 0;
  const int count = *rc::gen::inRange(1, 10);
  for (int i = 0; i < count; ++i) {
    terms.push_back({.name = "t", .u = typed(1, 1000, 1e-6), .nu = any_nu()});
    smallest = std::min(smallest, terms.back().nu);
    largest = std::max(largest, terms.back().u);
  }
  const auto budget = combine(terms);
  RC_ASSERT(budget.has_value());
  RC_ASSERT(budget->u >= largest * (1 - 1e-14));
  RC_ASSERT(budget->nu >= smallest * (1 - 1e-12));
}

RC_GTEST_PROP(ThermalProperty, CorrectionUndoesGrowth, ()) {
  const Length true_size = mm(typed(1, 500'000, 1e-3));
  const Expansion part = ppm_per_K(typed(0, 300, 0.1));
  const Expansion gauge = ppm_per_K(typed(0, 300, 0.1));
  const Temperature part_temperature = degC(typed(-400, 1500, 0.1));
  const Temperature gauge_temperature = degC(typed(-400, 1500, 0.1));
  // What a grown gauge reads on a grown part.
  const Length grown = length_at(true_size, part, part_temperature).value();
  const double scale = length_at(mm(1), gauge, gauge_temperature).value() / mm(1);
  const auto corrected = thermal_correction({.reading = grown / scale,
                                             .part_alpha = part,
                                             .part_temperature = part_temperature,
                                             .instrument_alpha = gauge,
                                             .instrument_temperature = gauge_temperature});
  RC_ASSERT(corrected.has_value());
  RC_ASSERT(std::abs(corrected->at_20 / true_size - 1) < 1e-14);
}

RC_GTEST_PROP(OvalFitProperty, RecoversAnyOval, ()) {
  const double amplitude = typed(1, 200, 1e-3);
  const double axis = typed(0, 1799, 0.1);
  const double offset = typed(0, 599, 0.1);
  const int directions = *rc::gen::inRange(3, 9);
  std::vector<DiameterReading> readings;
  for (int i = 0; i < directions; ++i) {
    const double t = offset + 180.0 * i / directions;
    readings.push_back({deg(t), mm(30 + amplitude * std::cos(2 * (t - axis) * kRadiansPerDegree))});
  }
  const auto fit = oval_fit(readings);
  RC_ASSERT(fit.has_value());
  RC_ASSERT(std::abs(in_mm(fit->amplitude) - amplitude) < 1e-11);
  RC_ASSERT(std::abs(std::remainder(in_deg(*fit->long_axis) - axis, 180)) < 1e-6);
}

}  // namespace
}  // namespace tautmark
