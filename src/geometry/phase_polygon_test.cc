// SPDX-License-Identifier: Apache-2.0
// The phase on pitch circles against real teeth: a taut strand between the corners of two tooth
// polygons, whole pitches counted on them (geometry.md 2.5 and 3.4, the same drive there).
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/phase.h"
#include "geometry/test_drives.h"

namespace tautmark {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kCenterDistance = 302;  // mm
constexpr int kBetween = 52;             // links between the marks
constexpr int kSteps = 40;               // of one tooth

// A wheel whose corner 0, its mark, stands at `mark`, clockwise from up; running clockwise.
struct Wheel {
  double y = 0, radius = 0;
  int teeth = 0;
  double mark = 0;
  [[nodiscard]] double angle(int corner) const { return mark + 2 * kPi * corner / teeth; }
  [[nodiscard]] double px(int corner) const { return radius * std::sin(angle(corner)); }
  [[nodiscard]] double py(int corner) const { return y + radius * std::cos(angle(corner)); }
};

Wheel wheel(double y, int teeth, double pitch) {
  return {y, pitch / (2 * std::sin(kPi / teeth)), teeth, 0};
}

// Links between the marks over the strand on the right, from the upper wheel down to the lower: the
// corners between which no other corner stands out.
double links_between(const Wheel& upper, const Wheel& lower, double pitch) {
  const auto near_right = [](const Wheel& w) {
    return static_cast<int>(std::lround((kPi / 2 - w.mark) * w.teeth / (2 * kPi)));
  };
  int from = near_right(upper);
  int to = near_right(lower);
  for (bool moved = true; moved;) {
    moved = false;
    const double dx = lower.px(to) - upper.px(from);
    const double dy = lower.py(to) - upper.py(from);
    const auto outside = [&](const Wheel& w, int corner) {
      return dx * (w.py(corner) - upper.py(from)) - dy * (w.px(corner) - upper.px(from)) > 1e-12;
    };
    for (const int step : {-1, 1}) {
      if (!moved && outside(upper, from + step)) from += step, moved = true;
      if (!moved && outside(lower, to + step)) to += step, moved = true;
    }
  }
  return from - to +
         std::hypot(lower.px(to) - upper.px(from), lower.py(to) - upper.py(from)) / pitch;
}

// Mark of the upper wheel for a mark of the lower one; more links stand between for an earlier
// mark.
double upper_mark(Wheel upper, const Wheel& lower, double pitch, double guess) {
  double low = guess - 0.1;
  double high = guess + 0.1;
  for (int i = 0; i < 60; ++i) {
    upper.mark = (low + high) / 2;
    (links_between(upper, lower, pitch) > kBetween ? low : high) = upper.mark;
  }
  return upper.mark;
}

struct Ripple {
  double mean = 0, peak_to_peak = 0;  // cam degrees, polygon less circle
};

Ripple ripple(double elongation) {
  PathInputs in;
  in.pitch = mm(8);
  in.links = 106;
  in.elongation = Ratio::from_si(elongation);
  in.elements = {sprocket("crank", 0, 0, 20), sprocket("cam", 0, kCenterDistance, 40)};
  const Path path = *solve_path(in);
  const double pitch = 8 * (1 + elongation);
  Wheel crank = wheel(0, 20, pitch);
  const Wheel cam = wheel(kCenterDistance, 40, pitch);
  double least = 1;
  double most = -1;
  double sum = 0;
  for (int i = 0; i < kSteps; ++i) {
    crank.mark = (164 + 18.0 * i / kSteps) * kRadiansPerDegree;
    const double circle = mark_angle(in, path, 1, Angle::from_si(crank.mark), kBetween).si();
    const double off = (upper_mark(cam, crank, pitch, circle) - circle) / kRadiansPerDegree;
    least = std::min(least, off);
    most = std::max(most, off);
    sum += off;
  }
  return {sum / kSteps, most - least};
}

// Source: geometry.md 2.5: ripple 0.0170 cam degrees peak to peak (tolerance 5e-4), mean 3.4e-5 off
// the pitch circle (tolerance 1e-4).
TEST(PhasePolygon, RippleOfTheTeethIsSmall) {
  const Ripple as_new = ripple(0);
  EXPECT_NEAR(as_new.peak_to_peak, 0.0170, 5e-4);
  EXPECT_NEAR(std::abs(as_new.mean), 3.4e-5, 1e-4);
}

// Source: geometry.md 3.4: from new to 1 % the polygons change the cam by -3.351765 degrees.
TEST(PhasePolygon, ElongationMovesTheTeethAsTheCircle) {
  PathInputs in;
  in.pitch = mm(8);
  in.links = 106;
  in.elements = {sprocket("crank", 0, 0, 20), sprocket("cam", 0, kCenterDistance, 40)};
  PathInputs worn = in;
  worn.elongation = Ratio::from_si(0.01);
  const double circle = in_deg(phase_change(in, worn)->at(1));
  EXPECT_NEAR(circle + ripple(0.01).mean - ripple(0).mean, -3.351765, 1e-5);
  EXPECT_NEAR(circle, -3.351762, 1e-5);
}

}  // namespace
}  // namespace tautmark
