// SPDX-License-Identifier: Apache-2.0
// Form of the teeth, for the eye: seats where the rollers lie, convex flanks, short lands. The
// proportions stand near the middle of what is common for roller and bush chains; nothing is
// measured from a drawing.
#include <algorithm>

#include "draw/parts.h"

namespace tautmark::draw {
namespace {

// In pitches.
constexpr double kSeatRadius = 0.32;  // half a roller of 5/8 pitch and a little
constexpr double kSeatHalfAngle = 65 * kPi / 180;
constexpr double kAddendum = 0.25;  // pitch circle to tip
constexpr double kHalfLand = 0.07;
constexpr double kFlankRadius = 0.8;

constexpr double kBeltDepth = 0.36,
                 kBeltAddendum = -0.1;  // from the pitch line, which lies outside
constexpr double kBeltHalfRoot = 0.2, kBeltHalfOpening = 0.29;

}  // namespace

Path sprocket_outline(int teeth, double pitch_radius, double pitch) {
  const double seat = kSeatRadius * pitch, tip = pitch_radius + kAddendum * pitch;
  const double half_pitch = kPi / teeth;
  const XY seat_end{seat * std::sin(kSeatHalfAngle),
                    pitch_radius - seat * std::cos(kSeatHalfAngle)};
  const double land = half_pitch - std::min(kHalfLand * pitch / tip, half_pitch / 2);
  Path path;
  for (int gap = 0; gap < teeth; ++gap) {
    const double middle = (2 * gap + 1) * half_pitch;
    const XY up = clock_direction(middle), right = right_of(up);
    const XY left_tip = clock_direction(middle - land) * tip;
    if (gap == 0)
      path.move(left_tip);
    else
      path.line(left_tip);
    path.arc(kFlankRadius * pitch, false, true, up * seat_end.y - right * seat_end.x);
    path.arc(seat, false, false, up * seat_end.y + right * seat_end.x);
    path.arc(kFlankRadius * pitch, false, true, clock_direction(middle + land) * tip);
  }
  return path.close();
}

Path belt_pulley_outline(int teeth, double pitch_radius, double pitch) {
  const double tip = pitch_radius + kBeltAddendum * pitch;
  const double root = std::max(pitch_radius - kBeltDepth * pitch, tip / 2);
  Path path;
  for (int gap = 0; gap < teeth; ++gap) {
    const double middle = (2 * gap + 1) * kPi / teeth;
    const auto at = [&](double radius, double offset) {
      return clock_direction(middle + offset * pitch / radius) * radius;
    };
    if (gap == 0)
      path.move(at(tip, -kBeltHalfOpening));
    else
      path.arc(tip, false, true, at(tip, -kBeltHalfOpening));
    path.line(at(root, -kBeltHalfRoot))
        .line(at(root, kBeltHalfRoot))
        .line(at(tip, kBeltHalfOpening));
  }
  return path.close();
}

}  // namespace tautmark::draw
