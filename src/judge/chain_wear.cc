// SPDX-License-Identifier: Apache-2.0
#include "judge/chain_wear.h"

#include <algorithm>
#include <cmath>

#include "geometry/phase.h"
#include "judge/dimension.h"

namespace tautmark {
namespace {

// Beyond these the number of links was miscounted, see chain-elongation.
constexpr double kLongest = 0.05, kShortest = -0.005;

void add_grooves(const CheckInput& input, const Chain& chain, MeasuredWear& wear) {
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::guide || place.chain != &chain) continue;
    const auto groove = dimension_at(input, Measurand::groove_depth, place);
    if (!groove || !groove->impossible.empty()) continue;
    wear.parts.grooves[place.guide->name] = Length::from_si(std::max(0.0, groove->mean));
    wear.evidence.insert(wear.evidence.end(), groove->evidence.begin(), groove->evidence.end());
  }
}

std::optional<WornLate> late_from_path(const Drive& drive, const Chain& chain,
                                       const MeasuredWear& wear, std::string_view wheel,
                                       double turns) {
  const auto as_new = path_inputs(drive, chain);
  const auto worn = path_inputs(drive, chain, wear.parts);
  if (!as_new || !worn) return std::nullopt;
  const auto change = phase_change(*as_new, *worn);
  const auto slopes = path_derivatives(*worn);
  if (!change || !slopes) return std::nullopt;
  for (std::size_t i = 0; i < slopes->sprockets.size(); ++i) {
    const PhaseDerivatives& slope = slopes->sprockets[i];
    if (!same_place(worn->elements[slope.element].name, wheel)) continue;
    const double late = -(*change)[i].si() * turns;
    return WornLate{late, late, std::abs(slope.per_elongation) * wear.elongation_U * turns, true};
  }
  return std::nullopt;
}

std::optional<WornLate> late_from_counts(const Drive& drive, const Chain& chain,
                                         const MeasuredWear& wear, std::string_view wheel,
                                         double driver_turns) {
  const auto strand = strand_from_counts(drive, chain, wheel);
  const auto teeth = teeth_under(drive, chain, driver_of(drive, chain));
  if (!strand || !teeth) return std::nullopt;
  const double e = wear.parts.elongation.si();
  const auto range = wear_range(*strand, {e, e}, *teeth);
  if (!range) return std::nullopt;
  const double most = -range->latest.si() * driver_turns;
  return WornLate{-range->earliest.si() * driver_turns, most,
                  e != 0 ? std::abs(most / e) * wear.elongation_U : 0, false};
}

}  // namespace

std::optional<LowHigh> strand_from_counts(const Drive& drive, const Chain& chain,
                                          std::string_view wheel) {
  if (!chain.links) return std::nullopt;
  StrandBoundsInputs in{.links = *chain.links, .assumed = kUsualDrive};
  const auto wheels = wheels_of(drive, chain);
  std::size_t at = 0;
  for (std::size_t i = 0; i < wheels.size(); ++i) {
    const auto teeth = teeth_under(drive, chain, wheels[i]);
    if (!teeth) return std::nullopt;
    in.teeth.push_back(*teeth);
    if (same_place(wheels[i], wheel)) at = i;
  }
  const auto bounds = strand_bounds(in);
  if (!bounds || at == 0) return std::nullopt;
  return bounds->free_pitches[at - 1];
}

std::optional<MeasuredWear> measured_wear(const CheckInput& input, const Chain& chain) {
  const auto place = std::find_if(input.places.begin(), input.places.end(), [&](const auto& p) {
    return p.type == PlaceType::chain && p.chain == &chain;
  });
  if (place == input.places.end() || !chain.pitch) return std::nullopt;
  const auto length = dimension_at(input, Measurand::chain_length, *place);
  if (!length || !length->impossible.empty()) return std::nullopt;
  std::optional<int> links;
  for (const auto& [entry, reading] : readings_at(input, Measurand::chain_length, place->path)) {
    if (!reading->links || (links && *links != *reading->links)) return std::nullopt;
    links = reading->links;
  }
  if (!links) return std::nullopt;
  const double nominal = *links * chain.pitch->value.si();
  const double elongation = length->mean / nominal - 1;
  if (!(elongation < kLongest && elongation > kShortest)) return std::nullopt;
  MeasuredWear wear;
  wear.parts.elongation = Ratio::from_si(elongation);
  wear.elongation_U = 2 * length->budget.u / nominal;
  wear.evidence = length->evidence;
  add_grooves(input, chain, wear);
  return wear;
}

std::optional<WornLate> worn_late(const Drive& drive, const Chain& chain, const MeasuredWear& wear,
                                  std::string_view wheel) {
  const auto own = shaft_turns(drive, wheel);
  const auto driver = shaft_turns(drive, driver_of(drive, chain));
  if (!own || !driver) return std::nullopt;
  const auto crank_turns = [](const Fraction& f) {
    return static_cast<double>(f.under) / static_cast<double>(f.over);
  };
  if (auto late = late_from_path(drive, chain, wear, wheel, crank_turns(*own))) return late;
  return late_from_counts(drive, chain, wear, wheel, crank_turns(*driver));
}

}  // namespace tautmark
