// SPDX-License-Identifier: Apache-2.0
#include "oil/orifice.h"

#include <algorithm>
#include <cmath>

namespace tautmark::oil {
namespace {

using std::numbers::pi;

constexpr double kBlendFrom = 40, kBlendTo = 60;  // Re d/L

bool not_negative(double v) { return v >= 0 && std::isfinite(v); }
bool positive(double v) { return v > 0 && std::isfinite(v); }
bool discharges(double coefficient) { return coefficient > 0 && coefficient <= 1; }
double area_of(Length diameter) { return pi / 4 * diameter.si() * diameter.si(); }

}  // namespace

Result<double> round_hole(Length diameter, double discharge) {
  if (!not_negative(diameter.si())) return refuse("the diameter of a hole is negative");
  if (!discharges(discharge))
    return refuse("the discharge coefficient of a hole is not above 0 and at most 1");
  return discharge * area_of(diameter);
}

Result<double> spool_edge(Length width, Length opening, double discharge) {
  if (!positive(width.si())) return refuse("the width of a valve edge is not above zero");
  if (!std::isfinite(opening.si())) return refuse("the opening of a valve edge is not a number");
  if (!discharges(discharge))
    return refuse("the discharge coefficient of a valve edge is not above 0 and at most 1");
  return discharge * width.si() * std::max(0.0, opening.si());
}

double in_series(double one, double other) {
  const double least = std::min(one, other), most = std::max(one, other);
  return least > 0 ? least / std::hypot(1, least / most) : 0;
}

double side_by_side(double one, double other) { return one + other; }

Result<double> partly_blocked(double clean, double blocked) {
  if (!not_negative(clean)) return refuse("a clean screen has an area that is not negative");
  if (!(blocked >= 0 && blocked <= 1))
    return refuse("the blocked share of a screen is not between 0 and 1");
  return clean * (1 - blocked);
}

Result<CheckedOrifice> check_valve(Length hole, Pressure opens, double discharge) {
  const auto area = round_hole(hole, discharge);
  if (!area) return tl::make_unexpected(area.error());
  if (!not_negative(opens.si())) return refuse("the opening pressure of a valve is negative");
  return CheckedOrifice{*area, opens};
}

Flow through_orifice(double area, Pressure difference, Density density) {
  const double dp = difference.si();
  return Flow::from_si(std::copysign(area * std::sqrt(2 * std::abs(dp) / density.si()), dp));
}

Flow through_orifice(double area, Pressure difference, Density density, Pressure smoothing) {
  const double dp = difference.si();
  return Flow::from_si(area * std::sqrt(2 / density.si()) * dp /
                       std::sqrt(std::hypot(dp, smoothing.si())));
}

double drilling_discharge(double x) {
  if (!(x > 0)) return 0;
  const double long_one = 1 / std::sqrt(2.28 + 64 / x);
  const double short_one = 1 / std::sqrt(1.5 + 13.74 / std::sqrt(x));
  const double u = std::clamp((x - kBlendFrom) / (kBlendTo - kBlendFrom), 0.0, 1.0);
  const double share = u * u * (3 - 2 * u);
  return long_one + share * (short_one - long_one);
}

Result<DrillingFlow> through_drilling(const Drilling& hole, Pressure difference,
                                      DynamicViscosity viscosity, Density density) {
  if (!positive(hole.diameter.si()) || !positive(hole.length.si()))
    return refuse("a drilling has a diameter and a length above zero");
  if (!positive(viscosity.si())) return refuse("the viscosity of the oil is not above zero");
  if (!positive(density.si())) return refuse("the density of the oil is not above zero");
  if (!std::isfinite(difference.si())) return refuse("the pressure difference is not a number");
  DrillingFlow out;
  if (difference.si() == 0) return out;
  const double ideal = std::sqrt(2 * std::abs(difference.si()) / density.si());
  const double most = density.si() * ideal * hole.diameter.si() / viscosity.si();
  const double slim = hole.diameter / hole.length;
  // The coefficient rises with Re by less than its root, so that every turn comes nearer.
  out.discharge = 0.6;
  for (int turn = 0; turn < 200; ++turn) {
    const double next = drilling_discharge(out.discharge * most * slim);
    const bool done = std::abs(next - out.discharge) <= 1e-15 * next;
    out.discharge = next;
    if (done) break;
  }
  out.reynolds = out.discharge * most;
  out.flow =
      Flow::from_si(std::copysign(out.discharge * ideal * area_of(hole.diameter), difference.si()));
  return out;
}

}  // namespace tautmark::oil
