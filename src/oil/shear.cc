// SPDX-License-Identifier: Apache-2.0
#include "oil/shear.h"

#include <cmath>
#include <numbers>

namespace tautmark::oil {
namespace {

constexpr double kKnownRate = 1e6;  // 1/s

Result<void> check_shear(const ShearThinning& oil, double rate, double most_exponent) {
  if (!(oil.plateau.si() > 0) || !(oil.low_shear >= oil.plateau) ||
      !std::isfinite(oil.low_shear.si()))
    return refuse("the viscosity at high shear is above 0 and no more than that at low shear");
  if (!(oil.critical > 0) || !std::isfinite(oil.critical))
    return refuse("a critical shear rate is above 0");
  if (!(oil.exponent > 0 && oil.exponent <= most_exponent))
    return refuse("the exponent of shear thinning is out of its range");
  if (!(rate >= 0) || !std::isfinite(rate)) return refuse("a shear rate is not negative");
  return {};
}

ShearedViscosity between_plateaus(const ShearThinning& oil, double share, double rate) {
  ShearedViscosity out{oil.plateau + (oil.low_shear - oil.plateau) * share, {}};
  if (rate > kKnownRate)
    out.warnings.emplace_back(
        "above 1e6 1/s no measurement stands behind this viscosity: some oils have no plateau");
  return out;
}

}  // namespace

Result<ShearedViscosity> cross(const ShearThinning& oil, double rate) {
  constexpr double kMostCross = 2;  // published fits lie between 0.4 and 1.2
  if (const auto fine = check_shear(oil, rate, kMostCross); !fine)
    return tl::make_unexpected(fine.error());
  return between_plateaus(oil, 1 / (1 + std::pow(rate / oil.critical, oil.exponent)), rate);
}

Result<ShearedViscosity> carreau(const ShearThinning& oil, double rate) {
  if (const auto fine = check_shear(oil, rate, 1); !fine) return tl::make_unexpected(fine.error());
  const double relative = rate / oil.critical;
  return between_plateaus(oil, std::pow(1 + relative * relative, (oil.exponent - 1) / 2), rate);
}

double journal_shear_rate(Length radius, Length clearance, RotationalSpeed speed) {
  return 2 * std::numbers::pi * speed.si() * (radius / clearance);
}

std::string_view viscosity_seen(OilFilm film) {
  switch (film) {
    case OilFilm::pressure_fed_clearance:
      return "low-shear viscosity at the oil's temperature: at hot idle the shear rate is 1e3 to "
             "2e4 1/s, good within a few percent";
    case OilFilm::orifice:
      return "none at a sharp edge, only the density; a short drilling loses a little to low-shear "
             "viscosity";
    case OilFilm::crank_bearing_idle:
      return "viscosity at the temperature of the film, which is hotter than the gallery; that "
             "matters more than shear";
    case OilFilm::crank_bearing_fast:
      return "sheared viscosity at the temperature of the film: the shear rate is 1e5 to 1e6 1/s "
             "and more";
  }
  return {};
}

}  // namespace tautmark::oil
