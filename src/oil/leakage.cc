// SPDX-License-Identifier: Apache-2.0
#include "oil/leakage.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tautmark::oil {
namespace {

using std::numbers::pi;

constexpr double kLeastLand = 3;  // clearances
constexpr double kMostReynolds = 2000;
constexpr double kMostTaylor = 41;  // from memory
constexpr double kMostEntrance = 0.01;
constexpr double kLightestLiquid = 500;  // kg/m³

bool positive(Length v) { return v.si() > 0 && std::isfinite(v.si()); }
double cubed(double v) { return v * v * v; }

// What is left of a land when the camshaft has moved.
Result<double> land_left(Length land, Length axial_play, Length gap) {
  if (!positive(land)) return refuse("the length of a land is not above zero");
  if (!(axial_play.si() >= 0)) return refuse("the axial play is negative");
  const Length left = land - axial_play;
  if (!(left.si() > kLeastLand * gap.si()))
    return refuse(
        fmt::format("a land of {:.3f} mm over a gap of {:.3f} mm is no slot but a hole: take an "
                    "orifice",
                    in_mm(left), in_mm(gap)));
  return left.si();
}

}  // namespace

Result<double> annular_land(const AnnularLand& in) {
  if (!positive(in.diameter)) return refuse("the diameter of the journal is not above zero");
  if (!positive(in.radial_clearance)) return refuse("the radial clearance is not above zero");
  if (!(in.radial_clearance.si() < in.diameter.si() / 2))
    return refuse("the radial clearance is larger than the journal");
  if (!(in.eccentricity >= 0 && in.eccentricity <= 1))
    return refuse("the eccentricity is not between 0 and 1");
  const auto land = land_left(in.land, in.axial_play, in.radial_clearance);
  if (!land) return land;
  return pi * in.diameter.si() * cubed(in.radial_clearance.si()) / (12 * *land) *
         eccentric_factor(in.eccentricity);
}

Result<double> worn_land(Length diameter, std::span<const Length> gaps, Length land) {
  if (!positive(diameter)) return refuse("the diameter of the journal is not above zero");
  if (gaps.size() < 4) return refuse("a worn bore needs its gap at four places at least");
  double cubes = 0;
  Length widest{};
  for (const Length gap : gaps) {
    if (!(gap.si() >= 0) || !(gap.si() < diameter.si() / 2))
      return refuse("a gap around the journal is negative or larger than the journal");
    cubes += cubed(gap.si());
    widest = std::max(widest, gap);
  }
  if (!(cubes > 0)) return refuse("there is no gap around the journal");
  const auto length = land_left(land, {}, widest);
  if (!length) return length;
  return pi * diameter.si() * cubes / static_cast<double>(gaps.size()) / (12 * *length);
}

Result<double> grooved_bearing(const AnnularLand& each) {
  const auto one = annular_land(each);
  return one ? Result<double>(2 * *one) : one;
}

Result<double> plane_slot(const PlaneSlot& in) {
  if (!positive(in.width)) return refuse("the width of a slot is not above zero");
  if (!positive(in.height)) return refuse("the height of a slot is not above zero");
  const auto length = land_left(in.length, in.axial_play, in.height);
  if (!length) return length;
  return in.width.si() * cubed(in.height.si()) / (12 * *length);
}

Flow dragged(const PlaneSlot& slot, double meters_per_second) {
  return Flow::from_si(meters_per_second * slot.height.si() * slot.width.si() / 2);
}

Result<double> port_pair(const PortPair& in) {
  if (!positive(in.diameter)) return refuse("the diameter of a port is not above zero");
  if (!positive(in.height)) return refuse("the height of a slot is not above zero");
  if (!(in.distance > in.diameter) || !std::isfinite(in.distance.si()))
    return refuse("the ports overlap: there is no land between them, take an orifice");
  if (const auto land = land_left(in.distance - in.diameter, {}, in.height); !land) return land;
  return cubed(in.height.si()) / 12 * pi / std::acosh(in.distance / in.diameter);
}

Result<double> radial_slot(const RadialSlot& in) {
  if (!positive(in.height)) return refuse("the height of a slot is not above zero");
  if (!positive(in.inner) || !(in.outer > in.inner) || !std::isfinite(in.outer.si()))
    return refuse("the outer radius of a ring is not larger than its inner one");
  if (const auto land = land_left(in.outer - in.inner, {}, in.height); !land) return land;
  return pi * cubed(in.height.si()) / (6 * std::log(in.outer / in.inner));
}

std::string_view laminar_limit_text(LaminarLimit limit) {
  switch (limit) {
    case LaminarLimit::turbulent:
      return "the flow is turbulent: less leaks than computed";
    case LaminarLimit::vortices:
      return "the turning journal makes vortices in the gap: the leakage is not known";
    case LaminarLimit::entrance:
      return "the oil loses pressure at the entrance of the gap: less leaks than computed";
  }
  return "";
}

Result<LaminarCheck> laminar_check(const LandFlow& land, DynamicViscosity viscosity,
                                   Density density) {
  if (!positive(land.diameter) || !positive(land.radial_clearance))
    return refuse("a land has a diameter and a clearance above zero");
  if (!(viscosity.si() > 0)) return refuse("the viscosity of the oil is not above zero");
  if (!(density.si() >= kLightestLiquid))
    return refuse(
        fmt::format("{:.0f} kg/m³ is no liquid: leakage of air follows other laws", density.si()));
  LaminarCheck out;
  const double round = pi * land.diameter.si(), gap = land.radial_clearance.si();
  const double flow = std::abs(land.flow.si()), dp = std::abs(land.difference.si());
  out.mean_speed = flow / (round * gap);
  out.reynolds = 2 * density.si() * flow / (viscosity.si() * round);
  out.taylor = density.si() * std::abs(land.surface_speed) * gap / viscosity.si() *
               std::sqrt(gap / (land.diameter.si() / 2));
  out.entrance = dp > 0 ? 1.5 * density.si() * out.mean_speed * out.mean_speed / 2 / dp : 0;
  if (out.reynolds > kMostReynolds) out.beyond.push_back(LaminarLimit::turbulent);
  if (out.taylor > kMostTaylor) out.beyond.push_back(LaminarLimit::vortices);
  if (out.entrance > kMostEntrance) out.beyond.push_back(LaminarLimit::entrance);
  return out;
}

}  // namespace tautmark::oil
