// SPDX-License-Identifier: Apache-2.0
#include "tighten/wrench.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

namespace tautmark::tighten {
namespace {

constexpr double kLeastShare = 0.2;
constexpr double kPreferredFrom = 0.4;
constexpr double kPreferredTo = 0.9;

WrenchFit fit_of(Torque setting, const Wrench& wrench, std::size_t index) {
  WrenchFit fit{.index = index, .of_maximum = setting / wrench.highest};
  const double deviation = deviation_of(wrench);
  fit.low = setting * (1 - deviation);
  fit.high = setting * (1 + deviation);
  const Torque from = usable_from(wrench);
  if (setting < from) {
    fit.why = fmt::format("too large: usable from {:.3g} N·m, the step is {:.3g} N·m", from.si(),
                          setting.si());
  } else if (setting > wrench.highest) {
    fit.why = fmt::format("too small: it ends at {:.3g} N·m, the step is {:.3g} N·m",
                          wrench.highest.si(), setting.si());
  } else if (wrench.out_of_calibration) {
    fit.why = "its calibration has run out";
  } else {
    fit.fits = true;
    if (fit.of_maximum < kPreferredFrom) fit.why = "low in its range";
    if (fit.of_maximum > kPreferredTo) fit.why = "at the end of its range";
  }
  return fit;
}

}  // namespace

double deviation_of(const Wrench& wrench) {
  if (wrench.deviation) return *wrench.deviation;
  return wrench.highest > newton_metre(10) ? 0.04 : 0.06;
}

Torque usable_from(const Wrench& wrench) {
  const Torque share = wrench.highest * kLeastShare;
  return wrench.lowest ? std::max(*wrench.lowest, share) : share;
}

std::vector<WrenchFit> choose_wrench(Torque setting, std::span<const Wrench> wrenches) {
  std::vector<WrenchFit> fits;
  for (std::size_t i = 0; i < wrenches.size(); ++i) fits.push_back(fit_of(setting, wrenches[i], i));
  const auto rank = [&](const WrenchFit& fit) {
    const bool preferred = fit.of_maximum >= kPreferredFrom && fit.of_maximum <= kPreferredTo;
    return std::tuple(!fit.fits, !preferred, deviation_of(wrenches[fit.index]),
                      wrenches[fit.index].highest.si());
  };
  std::stable_sort(fits.begin(), fits.end(),
                   [&](const WrenchFit& a, const WrenchFit& b) { return rank(a) < rank(b); });
  return fits;
}

}  // namespace tautmark::tighten
