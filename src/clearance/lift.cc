// SPDX-License-Identifier: Apache-2.0
#include "clearance/lift.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "clearance/lift_table.h"

namespace tautmark::clearance {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kCycle = 4 * kPi;
// 0.25 crank deg. Where the second derivative of a law jumps (harmonic: 5 h / B²) the cubic between
// the points is off by about a hundredth of jump * step²; elsewhere the error is far smaller.
constexpr int kPoints = 2880;
constexpr double kStep = kCycle / kPoints;
// Beyond this many steps an angle no longer tells one step from the next.
constexpr double kFar = 1e15;

struct Place {
  const LiftCurve::Point& before;
  const LiftCurve::Point& after;
  double share;  // 0 at before, 1 at after; NaN for an angle that is none
};

Place place_in(const LiftCurve& curve, double angle) {
  const double steps = angle / kStep;
  if (!(std::abs(steps) < kFar))
    return {curve.points[0], curve.points[1], std::numeric_limits<double>::quiet_NaN()};
  auto whole = static_cast<long long>(steps);
  if (steps < static_cast<double>(whole)) --whole;
  const auto wrapped = whole % kPoints;
  const auto i = static_cast<std::size_t>(wrapped < 0 ? wrapped + kPoints : wrapped);
  return {curve.points[i], curve.points[i + 1 == kPoints ? 0 : i + 1],
          steps - static_cast<double>(whole)};
}

double height_at(const Place& p) {
  return hermite(p.before.lift, kStep * p.before.slope, p.after.lift, kStep * p.after.slope,
                 p.share);
}

// The nose of many a lobe is so flat that its highest place is anybody's guess; the middle of the
// two angles a little lower is sharp, and the trade takes it so.
constexpr double kBesideNose = 0.005;

void find_nose(LiftCurve& curve) {
  const auto& points = curve.points;
  const auto top = std::max_element(points.begin(), points.end(),
                                    [](const auto& a, const auto& b) { return a.lift < b.lift; });
  const double at = static_cast<double>(top - points.begin());
  curve.highest = Length::from_si(std::max(top->lift, 0.0));
  const double level = top->lift * (1 - kBesideNose);
  const auto height = [&curve](double steps) { return height_at(place_in(curve, steps * kStep)); };
  const auto leaves = [&](int direction) {
    int i = 1;
    while (i < kPoints / 2 && height(at + direction * i) > level) ++i;
    const double inside = height(at + direction * (i - 1)), outside = height(at + direction * i);
    return direction * (i - 1 + (inside > outside ? (inside - level) / (inside - outside) : 0));
  };
  const double nose = at + (leaves(1) + leaves(-1)) / 2;
  curve.nose = CrankAngle::from_si(std::fmod(nose * kStep + kCycle, kCycle));
}

// cam_at: lift (m) and slope (m per rad) of the cam at an angle of the cycle.
template <class CamAt>
LiftCurve filled(double ratio, Length lash, const CamAt& cam_at) {
  LiftCurve curve;
  curve.points.reserve(kPoints);
  for (int i = 0; i < kPoints; ++i) {
    const LiftCurve::Point cam = cam_at(i * kStep);
    curve.points.push_back({ratio * cam.lift - lash.si(), ratio * cam.slope});
  }
  find_nose(curve);
  return curve;
}

}  // namespace

double law_lift(LiftLaw law, double u) {
  if (u <= 0) return 0;
  if (u >= 1) return 1;
  switch (law) {
    case LiftLaw::harmonic:
      return (1 - std::cos(kPi * u)) / 2;
    case LiftLaw::cycloidal:
      return u - std::sin(2 * kPi * u) / (2 * kPi);
    case LiftLaw::polynomial_345:
      return u * u * u * (10 + u * (-15 + u * 6));
    case LiftLaw::polynomial_4567:
      return u * u * u * u * (35 + u * (-84 + u * (70 - u * 20)));
  }
  return 0;
}

double law_slope(LiftLaw law, double u) {
  if (u <= 0 || u >= 1) return 0;
  switch (law) {
    case LiftLaw::harmonic:
      return kPi / 2 * std::sin(kPi * u);
    case LiftLaw::cycloidal:
      return 1 - std::cos(2 * kPi * u);
    case LiftLaw::polynomial_345:
      return 30 * u * u * (1 - u) * (1 - u);
    case LiftLaw::polynomial_4567:
      return 140 * u * u * u * (1 - u) * (1 - u) * (1 - u);
  }
  return 0;
}

LiftCurve lift_curve(const LawLobe& lobe, double ratio, Length lash) {
  const double height = lobe.height.si(), half = lobe.half_duration.si();
  LiftCurve curve = filled(ratio, lash, [&](double angle) {
    const double x = std::remainder(angle - lobe.center.si(), kCycle);
    const double u = 1 - std::abs(x) / half;
    return LiftCurve::Point{height * law_lift(lobe.law, u),
                            height / half * law_slope(lobe.law, u) * (x < 0 ? 1 : -1)};
  });
  const double center = std::fmod(lobe.center.si(), kCycle);
  curve.nose = CrankAngle::from_si(center < 0 ? center + kCycle : center);
  curve.highest = Length::from_si(std::max(ratio * height - lash.si(), 0.0));
  return curve;
}

Result<LiftCurve> lift_curve(const std::vector<LiftSample>& table, double ratio, Length lash) {
  if (!(ratio > 0) || !std::isfinite(ratio))
    return refuse("the ratio of the rocker must be more than nothing");
  if (!(lash.si() >= 0) || !std::isfinite(lash.si())) return refuse("lash cannot be negative");
  const auto whole = whole_cycle(table);
  if (!whole) return tl::make_unexpected(whole.error());
  std::vector<double> slopes = periodic_spline_slopes(*whole, kCycle);
  hold_shut(*whole, slopes);
  LiftCurve curve = filled(ratio, lash, [&](double angle) {
    const TablePoint cam = between(*whole, slopes, kCycle, angle);
    return LiftCurve::Point{cam.lift, cam.slope};
  });
  if (!(curve.highest.si() > 0)) return refuse("with this lash the valve never opens");
  return curve;
}

Length lift(const LiftCurve& curve, CrankAngle of_cycle) {
  const double height = height_at(place_in(curve, of_cycle.si()));
  return Length::from_si(height < 0 ? 0 : height);
}

double lift_slope(const LiftCurve& curve, CrankAngle of_cycle) {
  const Place p = place_in(curve, of_cycle.si());
  if (height_at(p) <= 0) return 0;
  return hermite_slope(p.before.lift, kStep * p.before.slope, p.after.lift, kStep * p.after.slope,
                       p.share) /
         kStep;
}

}  // namespace tautmark::clearance
