// SPDX-License-Identifier: Apache-2.0
#include "clearance/piston.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tautmark::clearance {
namespace {

// The letters of the header.
struct Letters {
  double r, l, d;
};

Letters letters(const Slider& slider) {
  return {slider.half_throw.si(), slider.rod.si(), slider.pin_offset.si()};
}

double highest(const Letters& s) { return std::sqrt((s.l + s.r + s.d) * (s.l + s.r - s.d)); }
double lowest(const Letters& s) { return std::sqrt((s.l - s.r + s.d) * (s.l - s.r - s.d)); }
double throw_at_top(const Letters& s) { return -std::asin(s.d / (s.l + s.r)); }

}  // namespace

Result<void> check(const Slider& slider) {
  const auto [r, l, d] = letters(slider);
  if (!(r > 0) || !std::isfinite(r)) return refuse("the stroke must be more than nothing");
  if (!std::isfinite(l) || !std::isfinite(d) || !(l > r + std::abs(d)))
    return refuse(fmt::format(
        "a rod of {:.6g} mm is too short: it must be longer than half the throw and the pin "
        "offset together ({:.6g} mm)",
        l * 1e3, (r + std::abs(d)) * 1e3));
  return {};
}

Result<Slider> slider_from_stroke(Length stroke, Length rod, Length pin_offset) {
  const double s = stroke.si(), l = rod.si(), d = pin_offset.si();
  if (!(s > 0) || !std::isfinite(s)) return refuse("the stroke must be more than nothing");
  const double room = 4 * l * l - 4 * d * d - s * s;
  if (!(l > s / 2) || !(room > 0) || !std::isfinite(room))
    return refuse(
        fmt::format("a rod of {:.6g} mm is too short for a stroke of {:.6g} mm", l * 1e3, s * 1e3));
  // stroke = x_max - x_min solved for r: 4 r² = s² (4 l² - 4 d² - s²) / (4 l² - s²).
  const double four_r_squared = s * s * room / (4 * l * l - s * s);
  const Slider slider{.half_throw = Length::from_si(std::sqrt(four_r_squared) / 2),
                      .rod = rod,
                      .pin_offset = pin_offset};
  if (const auto fine = check(slider); !fine) return tl::make_unexpected(fine.error());
  return slider;
}

Length stroke_of(const Slider& slider) {
  const Letters s = letters(slider);
  return Length::from_si(highest(s) - lowest(s));
}

CrankAngle bottom_dead_center(const Slider& slider) {
  const Letters s = letters(slider);
  return CrankAngle::from_si(std::numbers::pi - std::asin(s.d / (s.l - s.r)) - throw_at_top(s));
}

Length drop(const Slider& slider, CrankAngle from_top) {
  const Letters s = letters(slider);
  const double t = from_top.si() + throw_at_top(s);
  const double side = s.r * std::sin(t) + s.d;
  const double x = s.r * std::cos(t) + std::sqrt((s.l + side) * (s.l - side));
  return Length::from_si(std::max(highest(s) - x, 0.0));
}

double drop_slope(const Slider& slider, CrankAngle from_top) {
  const Letters s = letters(slider);
  const double t = from_top.si() + throw_at_top(s);
  const double side = s.r * std::sin(t) + s.d;
  return s.r * std::sin(t) + side * s.r * std::cos(t) / std::sqrt((s.l + side) * (s.l - side));
}

std::optional<DropAngles> angles_at_drop(const Slider& slider, Length drop) {
  const Letters s = letters(slider);
  const double down = drop.si();
  if (!(down >= 0) || down > highest(s) - lowest(s)) return std::nullopt;
  const double x = highest(s) - down;
  const double reach = std::hypot(x, s.d);
  const double cosine = (reach * reach + s.r * s.r - s.l * s.l) / (2 * s.r * reach);
  const double middle = -std::atan2(s.d, x) - throw_at_top(s);
  const double half = std::acos(std::clamp(cosine, -1.0, 1.0));
  // At the top itself rounding may leave the one angle on the other's side.
  return DropAngles{.down = CrankAngle::from_si(std::max(middle + half, 0.0)),
                    .up = CrankAngle::from_si(std::min(middle - half, 0.0))};
}

}  // namespace tautmark::clearance
