// SPDX-License-Identifier: Apache-2.0
#include "geometry/chain_length.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <string>
#include <utility>

#include "geometry/counts.h"

namespace tautmark {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr int kMostIterations = 100;

std::optional<Refusal> wrong_teeth(int teeth) {
  if (teeth >= kFewestTeeth && teeth <= kMostTeeth) return std::nullopt;
  return Refusal{fmt::format("the teeth of a sprocket must be from {} to {}, not {}", kFewestTeeth,
                             kMostTeeth, teeth)};
}

std::optional<Refusal> wrong_sprockets(const TwoSprockets& s) {
  if (auto why = wrong_teeth(s.teeth)) return why;
  if (auto why = wrong_teeth(s.other_teeth)) return why;
  if (std::isfinite(s.pitch.si()) && s.pitch.si() > 0) return std::nullopt;
  return Refusal{"the pitch must be above 0"};
}

double radius_in_pitches(int teeth) { return 1 / (2 * std::sin(kPi / teeth)); }

double radius_difference(const TwoSprockets& s) {
  return radius_in_pitches(s.other_teeth) - radius_in_pitches(s.teeth);
}

double exact_length(const TwoSprockets& s, double center) {
  const double a = std::asin(radius_difference(s) / center);
  return 2 * center * std::cos(a) + s.teeth * (kPi - 2 * a) / (2 * kPi) +
         s.other_teeth * (kPi + 2 * a) / (2 * kPi);
}

double tooth_term(const TwoSprockets& s) { return (s.other_teeth - s.teeth) / (2 * kPi); }

}  // namespace

Result<Length> pitch_diameter(Length pitch, int teeth) {
  if (auto why = wrong_sprockets({pitch, teeth, teeth})) return refuse(std::move(why->why));
  return pitch * (2 * radius_in_pitches(teeth));
}

Result<ChainLength> chain_length(const TwoSprockets& sprockets, Length distance) {
  if (auto why = wrong_sprockets(sprockets)) return refuse(std::move(why->why));
  const double center = distance / sprockets.pitch;
  const double least = std::abs(radius_difference(sprockets));
  if (!std::isfinite(center) || !(center > 0) || center <= least) {
    return refuse(
        fmt::format("a center distance of {:.3f} mm puts one sprocket inside the other; it must be "
                    "more than {:.3f} mm",
                    in_mm(distance), least * in_mm(sprockets.pitch)));
  }
  const double term = tooth_term(sprockets);
  return ChainLength{.handbook = 2 * center + 0.5 * (sprockets.teeth + sprockets.other_teeth) +
                                 term * term / center,
                     .exact = exact_length(sprockets, center)};
}

Result<CenterDistance> center_distance(const TwoSprockets& sprockets, double pitches) {
  if (auto why = wrong_sprockets(sprockets)) return refuse(std::move(why->why));
  const double nearest = std::abs(radius_difference(sprockets));
  const double teeth = 0.5 * (sprockets.teeth + sprockets.other_teeth);
  // At the nearest the chain lies around the larger sprocket alone.
  const double least = std::max(sprockets.teeth, sprockets.other_teeth);
  const double term = tooth_term(sprockets);
  const double a = pitches - teeth;
  const double root = a * a - 8 * term * term;
  if (!std::isfinite(pitches) || !(pitches > least) || !(a > 0) || !(root >= 0)) {
    return refuse(
        fmt::format("{:.1f} pitches do not go around both sprockets; more than {:.1f} "
                    "are needed",
                    pitches, std::max(least, teeth + std::sqrt(8.0) * std::abs(term))));
  }
  const double handbook = (a + std::sqrt(root)) / 4;
  // dX/dC = 2 cos a, between 0 and 2, growing: Newton from above comes down without crossing.
  double center = std::max(handbook, nearest) + 1;
  for (int i = 0; i < kMostIterations; ++i) {
    const double slope = 2 * std::cos(std::asin(radius_difference(sprockets) / center));
    double next = center - (exact_length(sprockets, center) - pitches) / slope;
    if (!(next > nearest)) next = (center + nearest) / 2;
    if (std::abs(next - center) < 1e-14 * center) break;
    center = next;
  }
  return CenterDistance{.handbook = sprockets.pitch * handbook, .exact = sprockets.pitch * center};
}

Result<ChordalAction> chordal_action(int teeth) {
  if (auto why = wrong_teeth(teeth)) return refuse(std::move(why->why));
  const double half = kPi / teeth;
  const double s = std::sin(half);
  const double c = std::cos(half);
  return ChordalAction{
      .rise = (1 - c) / (2 * s), .speed_over_mean = half * (1 - c) / s, .speed_over_most = 1 - c};
}

}  // namespace tautmark
