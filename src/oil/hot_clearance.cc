// SPDX-License-Identifier: Apache-2.0
#include "oil/hot_clearance.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace tautmark::oil {
namespace {

ExpansionOf between(double least, double most) {
  return {ppm_per_K((least + most) / 2), ppm_per_K((most - least) / 2 / std::numbers::sqrt3)};
}

bool positive(double v) { return v > 0 && std::isfinite(v); }

}  // namespace

ExpansionOf expansion_of(Material material) {
  switch (material) {
    case Material::aluminum:
      return between(21, 23);
    case Material::steel:
      return between(11, 12);
    case Material::cast_iron:
      return between(10, 11);
  }
  return {};
}

Result<HotClearance> hot_clearance(const ColdClearance& in) {
  if (!positive(in.radial.si())) return refuse("the radial clearance is not above zero");
  if (!positive(in.diameter.si())) return refuse("the diameter of the journal is not above zero");
  if (!positive(in.cold.si()) || !positive(in.hot.si()))
    return refuse("a temperature is not above absolute zero");
  if (!(in.share >= 0 && in.share <= 1))
    return refuse("the share of the free growth is not between 0 and 1");
  for (const double u : {in.radial_u.si(), in.bore.u.si(), in.journal.u.si(), in.share_u})
    if (!(u >= 0) || !std::isfinite(u)) return refuse("an uncertainty cannot be negative");
  const double warmer = (in.hot - in.cold).si(), radius = in.diameter.si() / 2;
  const double free = radius * (in.bore.middle.si() - in.journal.middle.si()) * warmer;
  const double materials = radius * warmer * std::hypot(in.bore.u.si(), in.journal.u.si());
  HotClearance out;
  out.growth = Length::from_si(in.share * free);
  out.radial = in.radial + out.growth;
  if (!positive(out.radial.si()))
    return refuse(
        fmt::format("{:.3f} mm of clearance are gone at {:.0f} °C: the journal would seize",
                    in_mm(in.radial), in_degC(in.hot)));
  out.u = Length::from_si(std::hypot(in.radial_u.si(), free * in.share_u, in.share * materials));
  out.leakage = std::pow(out.radial / in.radial, 3);
  return out;
}

}  // namespace tautmark::oil
