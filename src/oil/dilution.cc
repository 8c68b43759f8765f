// SPDX-License-Identifier: Apache-2.0
#include "oil/dilution.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "oil/viscosity.h"

namespace tautmark::oil {
namespace {

constexpr double kMostFraction = 0.2;

Result<void> check_range(KinematicViscosity least, KinematicViscosity likely,
                         KinematicViscosity most) {
  if (!(least > kThinnest) || !std::isfinite(most.si()))
    return refuse("a viscosity to blend is more than 0.3 mm²/s");
  if (!(least <= likely && likely <= most))
    return refuse("the range of a viscosity is out of order");
  return {};
}

Result<void> check_blend(const ViscosityRange& oil, const FuelViscosity& fuel) {
  if (const auto fine = check_range(oil.least, oil.likely, oil.most); !fine) return fine;
  if (const auto fine = check_range(fuel.least, fuel.likely, fuel.most); !fine) return fine;
  if (!(fuel.most < oil.least)) return refuse("a fuel is thinner than the oil that it thins");
  return {};
}

double by_double_log(double oil, double fuel, double f) {
  return from_double_log((1 - f) * double_log(oil) + f * double_log(fuel));
}
double by_log(double oil, double fuel, double f) {
  return std::pow(oil, 1 - f) * std::pow(fuel, f);
}

double fraction_by_double_log(double fresh, double found, double fuel) {
  return (double_log(fresh) - double_log(found)) / (double_log(fresh) - double_log(fuel));
}
double fraction_by_log(double fresh, double found, double fuel) {
  return std::log(fresh / found) / std::log(fresh / fuel);
}

struct Ends {
  double least, most;
};
// Thin oils turn the order of the two laws round.
Ends ends_of(double likely, double one, double other) {
  return {std::min({likely, one, other}), std::max({likely, one, other})};
}

std::string said_of(const DilutionExplains& out) {
  if (out.most <= 0) return "no fuel is needed to explain this viscosity";
  if (out.beyond_law)
    return fmt::format("more than {:.0f} % of fuel would be needed: fuel alone does not explain it",
                       kMostFraction * 100);
  if (out.likely <= 0)
    return fmt::format("no fuel is needed; up to {:.1f} % of it would fit too", out.most * 100);
  return fmt::format("{:.1f} % of fuel would explain it, from {:.1f} to {:.1f} %; it is no proof",
                     out.likely * 100, out.least * 100, out.most * 100);
}

}  // namespace

FuelViscosity gasoline_at_100() {
  return {mm2_per_s(0.5), mm2_per_s(0.6), mm2_per_s(0.9),
          "estimate: heavy end of gasoline, from memory"};
}

FuelViscosity diesel_at_100() {
  return {mm2_per_s(0.9), mm2_per_s(1.2), mm2_per_s(1.6),
          "estimate: 2.0 to 4.5 mm²/s at 40 degC carried to 100 degC, from memory"};
}

Result<ViscosityRange> diluted(KinematicViscosity oil, const FuelViscosity& fuel, double fraction) {
  if (const auto fine = check_blend({oil, oil, oil}, fuel); !fine)
    return tl::make_unexpected(fine.error());
  if (!(fraction >= 0 && fraction <= kMostFraction))
    return refuse(
        fmt::format("a fraction of fuel between 0 and {:.0f} %, please", kMostFraction * 100));
  const double nu = in_mm2_per_s(oil);
  const double likely = by_double_log(nu, in_mm2_per_s(fuel.likely), fraction);
  const Ends ends = ends_of(likely, by_double_log(nu, in_mm2_per_s(fuel.least), fraction),
                            by_log(nu, in_mm2_per_s(fuel.most), fraction));
  return ViscosityRange{mm2_per_s(ends.least), mm2_per_s(likely), mm2_per_s(ends.most)};
}

Result<DilutionExplains> dilution_that_explains(const ViscosityRange& fresh,
                                                KinematicViscosity found,
                                                KinematicViscosity expanded,
                                                const FuelViscosity& fuel) {
  if (const auto fine = check_blend(fresh, fuel); !fine) return tl::make_unexpected(fine.error());
  if (!(expanded.si() >= 0)) return refuse("an uncertainty cannot be negative");
  const KinematicViscosity low = found - expanded, high = found + expanded;
  if (!(low > kThinnest) || !std::isfinite(high.si()))
    return refuse("the viscosity found, less its uncertainty, is more than 0.3 mm²/s");
  DilutionExplains out;
  const auto mm2 = [](KinematicViscosity v) { return in_mm2_per_s(v); };
  out.likely = fraction_by_double_log(mm2(fresh.likely), mm2(found), mm2(fuel.likely));
  out.least = fraction_by_double_log(mm2(fresh.least), mm2(high), mm2(fuel.least));
  out.most = fraction_by_log(mm2(fresh.most), mm2(low), mm2(fuel.most));
  const Ends ends = ends_of(out.likely, out.least, out.most);
  out.least = std::clamp(ends.least, 0.0, 1.0);
  out.likely = std::clamp(out.likely, 0.0, 1.0);
  out.most = std::clamp(ends.most, 0.0, 1.0);
  out.beyond_law = out.least > kMostFraction;
  out.said = said_of(out);
  if (out.most > 0)
    out.other_causes = {"the polymers are sheared down for good",
                        "another oil or grade is in it, or was topped up",
                        "the viscosity of the fresh oil was not the one assumed",
                        "the sample was warmer than noted"};
  return out;
}

}  // namespace tautmark::oil
