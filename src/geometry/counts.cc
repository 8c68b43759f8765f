// SPDX-License-Identifier: Apache-2.0
#include "geometry/counts.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <numeric>
#include <string>
#include <string_view>
#include <utility>

#include "geometry/returns.h"

namespace tautmark {
namespace {

constexpr int kFewestStrands = 2;

std::optional<Refusal> wrong_count(std::string_view what, int count, int fewest) {
  if (count >= fewest && count <= kMostTeeth) return std::nullopt;
  return Refusal{fmt::format("{} must be a whole number from {} to {}, not {}", what, fewest,
                             kMostTeeth, count)};
}

bool all_finite(std::span<const double> values) {
  return std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
}

WholeTeeth whole_teeth(int teeth, CrankAngle displacement, CrankAngle tooth) {
  return {.teeth = teeth, .left_over = displacement - tooth * teeth};
}

// Half a tooth exactly has two nearest counts; the one nearer to zero claims less.
int nearest_count(double teeth) {
  const double rounded = std::ceil(std::abs(teeth) - 0.5);
  return static_cast<int>(std::copysign(rounded, teeth));
}

Result<std::vector<int>> all_pitches(std::span<const int> counts, LinkCount counted) {
  std::vector<int> pitches;
  pitches.reserve(counts.size());
  for (const int count : counts) {
    const Result<int> one = pitches_counted(count, counted);
    if (!one) return tl::make_unexpected(one.error());
    pitches.push_back(*one);
  }
  return pitches;
}

long long sum_of(std::span<const int> counts) {
  return std::accumulate(counts.begin(), counts.end(), 0LL);
}

std::optional<LinkCount> other_way_that_fits(const LinkSumInputs& in) {
  for (const LinkCount other :
       {LinkCount::pitches, LinkCount::with_both_marks, LinkCount::between}) {
    if (other == in.counted) continue;
    const auto pitches = all_pitches(in.counts, other);
    if (pitches && sum_of(*pitches) == in.chain_links) return other;
  }
  return std::nullopt;
}

std::optional<MovedSprocket> single_moved_sprocket(std::span<const int> difference) {
  const std::size_t strands = difference.size();
  if (strands <= kFewestStrands) return std::nullopt;
  if (std::count_if(difference.begin(), difference.end(), [](int d) { return d != 0; }) != 2) {
    return std::nullopt;
  }
  for (std::size_t i = 0; i < strands; ++i) {
    const std::size_t next = (i + 1) % strands;
    if (difference[i] != 0 && difference[i] == -difference[next]) {
      return MovedSprocket{.arriving = i, .leaving = next, .teeth_late = difference[next]};
    }
  }
  return std::nullopt;
}

}  // namespace

Result<ToothAngle> tooth_angle(int cam_teeth) {
  if (auto wrong = wrong_count("teeth of the cam sprocket", cam_teeth, kFewestTeeth)) {
    return tl::make_unexpected(*wrong);
  }
  const CamAngle cam = cam_deg(360.0 / cam_teeth);
  return ToothAngle{.cam = cam, .crank = to_crank(cam)};
}

Result<ToothSplit> tooth_split(const ToothSplitInputs& in) {
  const Result<ToothAngle> tooth = tooth_angle(in.cam_teeth);
  if (!tooth) return tl::make_unexpected(tooth.error());
  if (!(std::abs(in_crank_deg(in.displacement)) <= 720)) {
    return refuse("the displacement must lie within one turn of the camshaft (720° crank)");
  }
  ToothSplit split{.tooth = *tooth, .teeth = in.displacement / tooth->crank};
  const int nearest = nearest_count(split.teeth);
  split.nearest = whole_teeth(nearest, in.displacement, tooth->crank);
  split.below = whole_teeth(nearest - 1, in.displacement, tooth->crank);
  split.above = whole_teeth(nearest + 1, in.displacement, tooth->crank);
  return split;
}

Result<MarkReturn> mark_return(const MarkReturnInputs& in) {
  for (const auto& [what, count] : {std::pair{"links of the chain", in.chain_links},
                                    std::pair{"teeth of the crank sprocket", in.crank_teeth},
                                    std::pair{"teeth of the cam sprocket", in.cam_teeth}}) {
    if (auto wrong = wrong_count(what, count, kFewestTeeth)) return tl::make_unexpected(*wrong);
  }
  const auto turns = mark_returns({{{in.crank_teeth, in.cam_teeth}},
                                   {{.links = in.chain_links, .driver_teeth = in.crank_teeth}}});
  if (!turns) return tl::make_unexpected(turns.error());
  return MarkReturn{.turns_sprocket_marks = turns->sprocket_marks,
                    .turns_crank_link = turns->links.front(),
                    .turns_all = turns->all,
                    .chain_circuits = turns->all * in.crank_teeth / in.chain_links,
                    .cam_at_half_speed = in.cam_teeth == 2 * in.crank_teeth};
}

Result<int> pitches_counted(int count, LinkCount counted) {
  if (auto wrong = wrong_count("a link count", count, 0)) return tl::make_unexpected(*wrong);
  const int pitches = counted == LinkCount::with_both_marks ? count - 1
                      : counted == LinkCount::between       ? count + 1
                                                            : count;
  if (pitches < 1) return refuse("two marks on two sprockets are at least one pitch apart");
  return pitches;
}

Result<LinkSum> link_sum(const LinkSumInputs& in) {
  if (in.counts.size() < kFewestStrands) {
    return refuse("a chain around two or more sprockets has two or more strands: count every one");
  }
  if (auto wrong = wrong_count("links of the chain", in.chain_links, kFewestTeeth)) {
    return tl::make_unexpected(*wrong);
  }
  const Result<std::vector<int>> pitches = all_pitches(in.counts, in.counted);
  if (!pitches) return tl::make_unexpected(pitches.error());
  const long long sum = sum_of(*pitches);
  if (sum > kMostTeeth) return refuse("the counts together are more links than any chain has");

  LinkSum result{.pitches = *pitches, .sum = static_cast<int>(sum)};
  result.surplus = result.sum - in.chain_links;
  if (result.surplus != 0) result.fits_as = other_way_that_fits(in);
  if (in.expected.empty()) return result;

  if (in.expected.size() != in.counts.size()) {
    return refuse(fmt::format("{} strands were counted but {} counts are expected",
                              in.counts.size(), in.expected.size()));
  }
  const Result<std::vector<int>> expected = all_pitches(in.expected, in.expected_counted);
  if (!expected) return tl::make_unexpected(expected.error());
  if (const long long expected_sum = sum_of(*expected); expected_sum != in.chain_links) {
    return refuse(fmt::format(
        "the expected counts are {} pitches in all and the chain has {} links: the expected counts "
        "or the chain are not from the same sheet",
        expected_sum, in.chain_links));
  }
  if (result.surplus != 0) return result;
  for (std::size_t i = 0; i < expected->size(); ++i) {
    result.difference.push_back(result.pitches[i] - (*expected)[i]);
  }
  result.moved = single_moved_sprocket(result.difference);
  return result;
}

Result<Elongation> elongation_over_links(const ElongationInputs& in) {
  if (auto wrong = wrong_count("links measured over", in.links, 1)) {
    return tl::make_unexpected(*wrong);
  }
  const std::array values{in.measured.si(), in.pitch.si(), in.length_uncertainty.si()};
  if (!all_finite(values) || !(in.measured.si() > 0) || !(in.pitch.si() > 0) ||
      !(in.length_uncertainty.si() >= 0)) {
    return refuse("measured length and pitch must be positive lengths");
  }
  const Length nominal = in.pitch * in.links;
  const Length increase = in.measured - nominal;
  return Elongation{.nominal = nominal,
                    .length_increase = increase,
                    .elongation = Ratio::from_si(increase / nominal),
                    .uncertainty = Ratio::from_si(in.length_uncertainty / nominal)};
}

}  // namespace tautmark
