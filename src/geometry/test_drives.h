// SPDX-License-Identifier: Apache-2.0
// Drives for the tests of this module.
#pragma once

#include <cmath>
#include <string>
#include <utility>

#include "geometry/path.h"

namespace tautmark {

inline Point point_mm(double x, double y) { return {mm(x), mm(y)}; }

inline PathElement sprocket(std::string name, double x, double y, int teeth) {
  return {.name = std::move(name), .center = point_mm(x, y), .teeth = teeth};
}
inline PathElement guide(std::string name, double x, double y, double radius_mm,
                         bool outside = true) {
  return {.name = std::move(name),
          .kind = ElementKind::guide,
          .center = point_mm(x, y),
          .outside = outside,
          .radius = mm(radius_mm)};
}

inline Point turned(Point p, double degrees) {
  const double c = std::cos(degrees * kRadiansPerDegree);
  const double s = std::sin(degrees * kRadiansPerDegree);
  return {p.x * c - p.y * s, p.x * s + p.y * c};
}

// The worked bank of geometry.md 3.4, turned by `tilt` degrees (bank frame: 0, engine: -30).
inline PathInputs worked_bank(double tilt = 0) {
  PathInputs in;
  in.pitch = mm(8);
  in.links = 106;
  PathElement arm = guide("arm", -160, 112, 140);
  arm.kind = ElementKind::arm;
  in.elements = {sprocket("crank", 0, 0, 20), arm, sprocket("cam", 0, 302, 40),
                 guide("guide", 286, 151, 250)};
  in.pivot = point_mm(-50, 40);
  in.plunger = Plunger{point_mm(-56, 150), deg(tilt), point_mm(-44, 150), mm(6)};
  for (PathElement& element : in.elements) element.center = turned(element.center, tilt);
  in.pivot = turned(*in.pivot, tilt);
  in.plunger->base = turned(in.plunger->base, tilt);
  in.plunger->pad = turned(in.plunger->pad, tilt);
  return in;
}

// Check 3.3b of geometry.md: two cams on one loop, no guides.
inline PathInputs two_cams() {
  PathInputs in;
  in.pitch = mm(8);
  in.links = 140;
  in.elements = {sprocket("crank", 0, 0, 20), sprocket("intake", -65, 300, 40),
                 sprocket("exhaust", 65, 300, 40)};
  return in;
}

}  // namespace tautmark
