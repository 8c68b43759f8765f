// SPDX-License-Identifier: Apache-2.0
// Where the piston is at every crank angle: the slider-crank with an offset pin.
//
//   x(t) = r cos t + sqrt(l² - (r sin t + d)²)      pin height above the crank center, along the
//   bore r half throw, l rod, d offset of the pin (or bore), positive when the pin is displaced
//   against the side the throw swings to after top dead center (the major thrust side); t throw
//   angle. Drop s = x_max - x, never negative, 0 at top dead center.
//
// The crank angles given and returned here are counted from the TRUE top dead center of the
// cylinder (t = theta + t_T, t_T = -asin(d/(l+r))), in running direction, any number of turns.
// Valid for l > r + |d|, r > 0. Source: geometry.md 5.1.
#pragma once

#include <optional>
#include <utility>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::clearance {

struct Slider {
  Length half_throw{};
  Length rod{};
  Length pin_offset{};
};

// Refuses what no crank can be: half throw or rod not positive, rod too short for the offset.
Result<Slider> slider_from_stroke(Length stroke, Length rod, Length pin_offset);
Result<void> check(const Slider& slider);

Length stroke_of(const Slider& slider);  // more than 2 r where the pin is offset
CrankAngle bottom_dead_center(
    const Slider& slider);  // from top dead center, 180 deg without offset

Length drop(const Slider& slider, CrankAngle from_top);
double drop_slope(const Slider& slider, CrankAngle from_top);  // m per rad, positive going down

// The two crank angles where the piston has dropped by that much: going down (0 up to the bottom)
// and coming up (negative). Empty beyond the stroke, and for a negative drop.
struct DropAngles {
  CrankAngle down{};
  CrankAngle up{};
};
std::optional<DropAngles> angles_at_drop(const Slider& slider, Length drop);

}  // namespace tautmark::clearance
