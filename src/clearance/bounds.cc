// SPDX-License-Identifier: Apache-2.0
#include "clearance/bounds.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tautmark::clearance {
namespace {

constexpr double kTurn = 2 * std::numbers::pi;
constexpr double kCycle = 2 * kTurn;
constexpr double kLook = 0.125 * kRadiansPerDegree;

double drop_at(const Slider& slider, double angle) {
  return drop(slider, CrankAngle::from_si(angle)).si();
}

}  // namespace

double largest_lift(const LiftCurve& curve, double at, double within) {
  const auto of = [&](double angle) { return lift(curve, CrankAngle::from_si(angle)).si(); };
  if (!(within > 0)) return of(at);
  if (!(within < kTurn)) return curve.highest.si();
  if (std::abs(std::remainder(curve.nose.si() - at, kCycle)) <= within) return curve.highest.si();
  double largest = std::max(of(at - within), of(at + within));
  const int looks = static_cast<int>(2 * within / kLook);
  for (int i = 1; i <= looks; ++i)
    largest = std::max(largest, of(at - within + 2 * within * i / (looks + 1)));
  return largest;
}

double steepest(const LiftCurve& curve) {
  double most = 0;
  for (const LiftCurve::Point& point : curve.points) most = std::max(most, std::abs(point.slope));
  return most;
}

DropRange drop_range(const Slider& slider, double from_top, double within) {
  const double a = drop_at(slider, from_top - within);
  if (!(within > 0)) return {a, a};
  const double b = drop_at(slider, from_top + within);
  DropRange range{std::min(a, b), std::max(a, b)};
  const auto holds = [&](double place) {
    return std::abs(std::remainder(place - from_top, kTurn)) <= within;
  };
  if (holds(0)) range.least = 0;
  if (holds(bottom_dead_center(slider).si())) range.most = stroke_of(slider).si();
  return range;
}

}  // namespace tautmark::clearance
