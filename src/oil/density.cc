// SPDX-License-Identifier: Apache-2.0
#include "oil/density.h"

#include <fmt/format.h>

#include <cmath>

namespace tautmark::oil {
namespace {

constexpr double kGroup = 0.34878;  // kg/m³ per °F: lubricating oils
constexpr double kLightest = 801, kHeaviest = 1164;
constexpr Temperature kColdest = degC(-50), kHottest = degC(150);
constexpr int kPasses = 6;  // each gains more than three digits

// ρ/ρ60, `from_base` in °F
double change(double base, double from_base) {
  const double alpha = kGroup / base;
  return std::exp(-alpha * from_base * (1 + 0.8 * alpha * from_base));
}

}  // namespace

Result<Density> base_density(Density at_15) {
  double base = at_15.si();
  for (int pass = 0; pass < kPasses && base > 0; ++pass) base = at_15.si() / change(base, -1);
  if (!(base >= kLightest && base <= kHeaviest))
    return refuse(fmt::format("{} kg/m³ at 15 degC is no density of a lubricating oil: {} to {}",
                              at_15.si(), kLightest, kHeaviest));
  return Density::from_si(base);
}

Result<Density> density_at(Density at_15, Temperature at) {
  if (!(at >= kColdest && at <= kHottest))
    return refuse("the density of an oil is known from -50 to 150 degC");
  const auto base = base_density(at_15);
  if (!base) return base;
  return *base * change(base->si(), in_degC(at) * 9 / 5 + 32 - 60);
}

}  // namespace tautmark::oil
