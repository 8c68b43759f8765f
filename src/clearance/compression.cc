// SPDX-License-Identifier: Apache-2.0
#include "clearance/compression.h"

#include <cmath>

namespace tautmark::clearance {
namespace {

constexpr CrankAngle kFurthest = crank_deg(150);  // from the bottom: there is no compression left
constexpr double kMostExponent = 1.67;            // of a gas of single atoms

double volume_ratio(const CompressionInputs& in, CrankAngle after_bottom) {
  const CrankAngle at = bottom_dead_center(in.slider) + after_bottom;
  return 1 + (in.ratio - 1) * (drop(in.slider, at) / stroke_of(in.slider));
}

Result<void> check_inputs(const CompressionInputs& in, CrankAngle late) {
  if (const auto fine = check(in.slider); !fine) return fine;
  if (!(in.ratio > 1) || !std::isfinite(in.ratio))
    return refuse("a compression ratio is more than 1");
  if (!(in.exponent >= 1 && in.exponent <= kMostExponent))
    return refuse("the exponent of a compression lies between 1 and 1.67");
  if (!(std::abs((in.closes_after_bottom + late).si()) <= kFurthest.si()) ||
      !(std::abs(in.closes_after_bottom.si()) <= kFurthest.si()))
    return refuse("an intake valve that closes more than 150° from the bottom compresses nothing");
  return {};
}

}  // namespace

Result<double> effective_ratio(const CompressionInputs& in, CrankAngle late) {
  if (const auto fine = check_inputs(in, late); !fine) return tl::make_unexpected(fine.error());
  return volume_ratio(in, in.closes_after_bottom + late);
}

Result<double> pressure_share(const CompressionInputs& in, CrankAngle late) {
  if (const auto fine = check_inputs(in, late); !fine) return tl::make_unexpected(fine.error());
  return std::pow(
      volume_ratio(in, in.closes_after_bottom + late) / volume_ratio(in, in.closes_after_bottom),
      in.exponent);
}

Pressure expected_reading(Pressure nominal, double share, Pressure air) {
  return (nominal + air) * share - air;
}

std::optional<CrankAngle> latest_at_share(const CompressionInputs& in, double share) {
  const auto share_at = [&in](CrankAngle late) { return pressure_share(in, late); };
  CrankAngle low = {}, high = kFurthest - in.closes_after_bottom;
  // Before the bottom, closing later gains first.
  if (in.closes_after_bottom.si() < 0) low = -in.closes_after_bottom;
  const auto first = share_at(low), last = share_at(high);
  if (!first || !last || !(*first >= share) || !(*last < share)) return std::nullopt;
  for (CrankAngle middle = (low + high) / 2; middle != low && middle != high;
       middle = (low + high) / 2)
    (*share_at(middle) >= share ? low : high) = middle;
  return low;
}

}  // namespace tautmark::clearance
