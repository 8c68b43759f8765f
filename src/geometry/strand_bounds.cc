// SPDX-License-Identifier: Apache-2.0
#include "geometry/strand_bounds.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <span>
#include <utility>

#include "geometry/chain_length.h"
#include "geometry/counts.h"

namespace tautmark {
namespace {

constexpr double kTurn = 2 * std::numbers::pi;
constexpr double kMostElongation = 0.2;

bool counts(int v) { return v >= kFewestTeeth && v <= kMostTeeth; }
bool none_or_more(double v) { return std::isfinite(v) && v >= 0; }
bool range(const LowHigh& r) {
  return none_or_more(r.low) && std::isfinite(r.high) && r.low <= r.high;
}

std::optional<std::string> wrong_inputs(const StrandBoundsInputs& in) {
  if (in.teeth.size() < 2) return "a chain needs at least two sprockets";
  for (const int teeth : in.teeth) {
    if (!counts(teeth)) {
      return fmt::format("teeth must be from {} to {}, not {}", kFewestTeeth, kMostTeeth, teeth);
    }
  }
  if (!counts(in.links)) {
    return fmt::format("links must be from {} to {}, not {}", kFewestTeeth, kMostTeeth, in.links);
  }
  const StrandAssumptions& a = in.assumed;
  const bool sound = none_or_more(a.taken_up.si()) && a.taken_up.si() < 1 &&
                     none_or_more(a.guide_turn.si()) && none_or_more(a.driving_wrap.si()) &&
                     a.driving_wrap.si() <= kTurn / 2 && std::isfinite(a.spread.si()) &&
                     a.spread.si() >= 1 && none_or_more(a.unequal.si()) && a.unequal.si() < 1;
  if (!sound) return "what is assumed of the strands is not a set of numbers that can hold";
  return std::nullopt;
}

std::string in_words(const StrandBoundsInputs& in) {
  const StrandAssumptions& a = in.assumed;
  std::string said = fmt::format(
      "assumed: all sprockets inside the loop, guides and tensioner take up at most {:.3g} % of "
      "the "
      "links, guides on the driving strand turn it by at most {:.3g}°",
      a.taken_up.si() * 100, in_deg(a.guide_turn));
  if (in.teeth.size() > 2) {
    said += fmt::format(
        ", the driving sprocket is wrapped by at least {:.3g}°, neighboring sprockets do not "
        "overlap "
        "and their strand is at most {:.3g} times the least one, driving and slack strand are "
        "equal "
        "within {:.3g} %",
        in_deg(a.driving_wrap), a.spread.si(), a.unequal.si() * 100);
  }
  return said;
}

// Straight strand of two sprockets for a path of so many pitches: half of what is not engaged.
std::optional<double> straight_strand(const StrandBoundsInputs& in, double pitches) {
  const TwoSprockets two{mm(1), in.teeth[0], in.teeth[1]};
  const auto center = center_distance(two, pitches);
  if (!center) return std::nullopt;
  const double c = in_mm(center->exact);
  const double r =
      in_mm(*pitch_diameter(mm(1), two.other_teeth) - *pitch_diameter(mm(1), two.teeth)) / 2;
  return std::sqrt(c * c - r * r);
}

double touching_strand(int teeth, int other) {  // pitches
  const auto radius = [](int n) { return in_mm(*pitch_diameter(mm(1), n)) / 2; };
  return 2 * std::sqrt(radius(teeth) * radius(other));
}

// Wraps of the sprockets add to one turn; the driving one has at least its assumed wrap, at most
// half a turn or, driving sprockets larger than the others, what is left.
LowHigh engaged_teeth(const StrandBoundsInputs& in) {
  const auto [least, most] = std::minmax_element(in.teeth.begin() + 1, in.teeth.end());
  const double own = in.teeth.front();
  const double wraps[] = {in.assumed.driving_wrap.si() / kTurn, 0.5};
  LowHigh engaged{INFINITY, 0};
  for (const double wrap : wraps) {
    engaged.low = std::min(engaged.low, own * wrap + *least * (1 - wrap));
    engaged.high = std::max(engaged.high, own * wrap + *most * (1 - wrap));
  }
  return engaged;
}

// The straight strand from the last driven sprocket to the driving one, and those between the
// others.
struct Straight {
  LowHigh last{};
  std::vector<LowHigh> between{};
};

std::optional<Straight> straight_of_two(const StrandBoundsInputs& in) {
  const auto low = straight_strand(in, in.links * (1 - in.assumed.taken_up.si()));
  const auto high = straight_strand(in, in.links);
  if (!low || !high) return std::nullopt;
  return Straight{{*low, *high}, {}};
}

std::optional<Straight> straight_of_more(const StrandBoundsInputs& in) {
  const LowHigh engaged = engaged_teeth(in);
  LowHigh free{in.links * (1 - in.assumed.taken_up.si()) - engaged.high, in.links - engaged.low};
  Straight straight;
  for (std::size_t j = 1; j + 1 < in.teeth.size(); ++j) {
    const double least = touching_strand(in.teeth[j], in.teeth[j + 1]);
    straight.between.push_back({least, least * in.assumed.spread.si()});
    free.low -= straight.between.back().high;
    free.high -= least;
  }
  // T / (F - T) lies between 1 - unequal and 1 + unequal.
  const double u = in.assumed.unequal.si();
  straight.last = {free.low * (1 - u) / (2 - u), free.high * (1 + u) / (2 + u)};
  if (!(straight.last.low > 0)) return std::nullopt;
  return straight;
}

}  // namespace

Result<StrandBounds> strand_bounds(const StrandBoundsInputs& in) {
  if (const auto why = wrong_inputs(in)) return refuse(*why);
  const auto straight = in.teeth.size() == 2 ? straight_of_two(in) : straight_of_more(in);
  if (!straight) {
    return refuse(
        fmt::format("{} links do not go around these sprockets: {}", in.links, in_words(in)));
  }
  const double turned = in.assumed.guide_turn.si();
  const double taken_up = turned > 0 ? in.links * in.assumed.taken_up.si() : 0;
  LowHigh path = straight->last;
  path.high += taken_up;
  StrandBounds bounds{.assumed = in_words(in)};
  bounds.free_pitches.resize(in.teeth.size() - 1);
  for (std::size_t j = in.teeth.size() - 1;; --j) {
    const int most =
        std::max(in.teeth.front(), *std::max_element(in.teeth.begin() + 1, in.teeth.end()));
    bounds.free_pitches[j - 1] = {std::max(0.0, path.low - most * turned / kTurn), path.high};
    if (j == 1) return bounds;
    path.low += straight->between[j - 2].low;
    path.high += straight->between[j - 2].high;
  }
}

Result<CrankRange> wear_range(const LowHigh& free_pitches, const LowHigh& elongation,
                              int driving_teeth) {
  if (!counts(driving_teeth))
    return refuse("the teeth of the driving sprocket are outside validity");
  if (!range(free_pitches) || !(elongation.low <= elongation.high) ||
      !(std::abs(elongation.low) <= kMostElongation) ||
      !(std::abs(elongation.high) <= kMostElongation)) {
    return refuse("a range of the strand or of the elongation is none");
  }
  const auto change = [&](double pitches, double e) {
    return CrankAngle::from_si(-kTurn / driving_teeth * pitches * e / (1 + e));
  };
  // A chain measured shorter than new (within its uncertainty) makes early: every corner is looked
  // at.
  const CrankAngle corners[] = {
      change(free_pitches.low, elongation.low), change(free_pitches.low, elongation.high),
      change(free_pitches.high, elongation.low), change(free_pitches.high, elongation.high)};
  return CrankRange{std::min(std::min(corners[0], corners[1]), std::min(corners[2], corners[3])),
                    std::max(std::max(corners[0], corners[1]), std::max(corners[2], corners[3]))};
}

Result<WholeTooth> whole_tooth(const WholeToothInputs& in) {
  if (!counts(in.driving_teeth))
    return refuse("the teeth of the driving sprocket are outside validity");
  if (!std::isfinite(in.displacement.si()) || !none_or_more(in.uncertainty.si()) ||
      !std::isfinite(in.wear.latest.si()) || !(in.wear.latest <= in.wear.earliest) ||
      !std::isfinite(in.wear.earliest.si())) {
    return refuse("the displacement, its uncertainty or the range of wear is none");
  }
  const CrankAngle tooth = CrankAngle::from_si(kTurn / in.driving_teeth);
  const CrankAngle low = in.displacement - in.uncertainty - in.wear.earliest;
  const CrankAngle high = in.displacement + in.uncertainty - in.wear.latest;
  if (std::abs(low / tooth) > kMostTeeth || std::abs(high / tooth) > kMostTeeth) {
    return refuse("the displacement is beyond any number of teeth");
  }
  const auto nearest = [&](CrankAngle v) { return static_cast<int>(std::lround(v / tooth)); };
  WholeTooth result{.fewest = nearest(low), .most = nearest(high)};
  const int k = nearest((low + high) / 2);
  result.left_over = {low - tooth * k, high - tooth * k};
  const bool explained = result.left_over.latest.si() <= 0 && result.left_over.earliest.si() >= 0;
  if (result.fewest == result.most && explained) result.teeth = k;
  return result;
}

}  // namespace tautmark
