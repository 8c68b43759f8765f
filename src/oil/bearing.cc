// SPDX-License-Identifier: Apache-2.0
#include "oil/bearing.h"

#include <cmath>
#include <numbers>

namespace tautmark::oil {
namespace {

using std::numbers::pi;

constexpr double kLeastEccentricity = 0.02, kMostEccentricity = 0.97;

bool positive(double v) { return v > 0 && std::isfinite(v); }
double cubed(double v) { return v * v * v; }

Result<void> check(const JournalBearing& in) {
  if (!positive(in.radius.si())) return refuse("the radius of the journal is not above zero");
  if (!positive(in.radial_clearance.si())) return refuse("the radial clearance is not above zero");
  if (!(in.radial_clearance < in.radius))
    return refuse("the radial clearance is larger than the journal");
  if (!positive(in.length.si())) return refuse("the length of the bearing is not above zero");
  if (!positive(in.speed.si())) return refuse("the speed of the journal is not above zero");
  if (!positive(in.viscosity.si())) return refuse("the viscosity of the oil is not above zero");
  return {};
}

Result<void> check(const FeedHole& in) {
  if (!positive(in.diameter.si())) return refuse("the diameter of the feed hole is not above zero");
  if (!positive(in.length.si())) return refuse("the length of the bearing is not above zero");
  if (!positive(in.film.si())) return refuse("the film at the feed hole is not above zero");
  if (!(in.diameter.si() <= 0.5 * in.length.si()))
    return refuse("the feed hole is wider than half of the bearing");
  return {};
}

}  // namespace

double sommerfeld(const JournalBearing& in, Force load) {
  const double pressure = load.si() / (2 * in.radius.si() * in.length.si());
  const double slim = in.radius / in.radial_clearance;
  return slim * slim * in.viscosity.si() * in.speed.si() / pressure;
}

BearingFlow with_units(const JournalBearing& in, Force load, const BearingFilm& film) {
  BearingFlow out;
  out.sommerfeld = sommerfeld(in, load);
  const double flow =
      film.flow * in.radius.si() * in.radial_clearance.si() * in.speed.si() * in.length.si();
  out.flow = Flow::from_si(flow);
  out.side_flow = Flow::from_si(film.side * flow);
  out.peak =
      Pressure::from_si(load.si() / (2 * in.radius.si() * in.length.si()) / film.load_by_peak);
  const double coefficient = film.friction * (in.radial_clearance / in.radius);
  out.friction = Torque::from_si(coefficient * load.si() * in.radius.si());
  return out;
}

Result<BearingFlow> loaded_bearing(const JournalBearing& in, Force load) {
  if (const auto fine = check(in); !fine) return tl::make_unexpected(fine.error());
  if (!positive(load.si())) return refuse("the load of the bearing is not above zero");
  const double shape = in.length.si() / (2 * in.radius.si());
  double low = kLeastEccentricity, high = kMostEccentricity;
  auto film = bearing_film(shape, low);
  if (!film) return tl::make_unexpected(film.error());
  const double wanted = std::log(sommerfeld(in, load));
  double above = std::log(film->sommerfeld) - wanted;
  if (above < 0)
    return refuse("the load is so small that the journal runs in the middle: take Petroff's law");
  double below = std::log(bearing_film(shape, high)->sommerfeld) - wanted;
  if (below > 0)
    return refuse("the load is so large that the journal nearly touches: no film to compute");
  // False position on ln S; the end that stays counts half (Illinois).
  double at = low, off = above;
  for (int turn = 0; turn < 60 && std::abs(off) > 1e-7; ++turn) {
    at = (low * below - high * above) / (below - above);
    film = bearing_film(shape, at);
    const bool same_side = off * (std::log(film->sommerfeld) - wanted) > 0;
    off = std::log(film->sommerfeld) - wanted;
    if (off > 0) {
      low = at;
      above = off;
      if (same_side) below /= 2;
    } else {
      high = at;
      below = off;
      if (same_side) above /= 2;
    }
  }
  BearingFlow out = with_units(in, load, *film);
  out.eccentricity = at;
  out.least_film = in.radial_clearance * (1 - out.eccentricity);
  return out;
}

Result<Torque> petroff_torque(const JournalBearing& in) {
  if (const auto fine = check(in); !fine) return tl::make_unexpected(fine.error());
  return Torque::from_si(4 * pi * pi * cubed(in.radius.si()) * in.length.si() * in.viscosity.si() *
                         in.speed.si() / in.radial_clearance.si());
}

double petroff_watts(const JournalBearing& in, Torque torque) {
  return torque.si() * 2 * pi * in.speed.si();
}

Result<double> feed_hole(const FeedHole& in) {
  if (const auto fine = check(in); !fine) return tl::make_unexpected(fine.error());
  return pi * cubed(in.film.si()) / (6 * std::log(4 / pi * (in.length / in.diameter)));
}

Result<double> feed_hole_by_fit(const FeedHole& in) {
  if (const auto fine = check(in); !fine) return tl::make_unexpected(fine.error());
  return 0.675 * cubed(in.film.si()) * std::pow(in.diameter / in.length + 0.4, 1.75);
}

Length film_at(Length radial_clearance, double eccentricity, Angle from_widest) {
  return radial_clearance * (1 + eccentricity * std::cos(from_widest.si()));
}

}  // namespace tautmark::oil
