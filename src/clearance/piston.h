// SPDX-License-Identifier: Apache-2.0
// Where the piston is at every crank angle: the slider-crank with an offset pin.
//
//   x(t) = r cos t + sqrt(l² - (r sin t + d)²)      pin height above the crank center, along the
//   bore r half throw, l rod, d offset of the pin (or bore), positive when the pin is displaced
//   against the side the throw swings to after top dead center (the major thrust side); t throw
//   angle. Drop s = x_max - x, never negative, 0 at top dead center.
//
//   x_max = sqrt((l + r)² - d²)   x_min = sqrt((l - r)² - d²)   stroke = x_max - x_min
//   inverse: x = x_max - s, R = hypot(x, d), t = -atan2(d, x) ± acos((R² + r² - l²)/(2 r R))
//
// The crank angles given and returned here are counted from the TRUE top dead center of the
// cylinder (t = theta + t_T, t_T = -asin(d/(l+r))), in running direction, any number of turns.
// Valid for l > r + |d|, r > 0; the functions other than check() and slider_from_stroke() take it
// for granted. Accuracy: 1e-12 mm for a drop, 1e-6 deg for its inverse within 0.001 mm of a dead
// center, where the piston stands still, 1e-10 deg elsewhere. Source: geometry.md 5.1, 5.2.
#pragma once

#include <optional>

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
// From top dead center, in running direction; 180 deg without offset.
CrankAngle bottom_dead_center(const Slider& slider);

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
