// SPDX-License-Identifier: Apache-2.0
// Coordinates of sprockets from a photo taken square to the front of the drive.
//
// Centers are tapped in pixels (x right, y down, as screens count); lengths that are known give the
// scale: the distance of two tapped points, a pitch diameter p / sin(pi / N) tapped from rim to rim
// of the pin line, or a straight piece of chain over k pitches.
//
//   l_i  pixels between two taps     L_i  its true length
//   u    standard uncertainty of a tap, each way
//
//   s = sum L l / sum l²                                        meters per pixel
//   u(s)² = s² 2 u² / sum l² + sum (l u(L))² / (sum l²)²        times chi²/(n - 1) when above 1
//   point = R(turned) s (dx, -dy) from the first center
//   u(point)² = 2 s² u² + (distance u(s) / s)²                  each coordinate
//
// What it cannot see: a camera not square to the drive, and parts nearer to it than others. Known
// lengths that disagree show it; beyond kMostDisagreement the photo is refused. A wide lens held
// close bends the edges: take it from far, sprockets in the middle.
// Sources: geometry.md 2.1 (pitch diameter); least squares through 0 is standard (from memory).
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "geometry/path.h"

namespace tautmark {

inline constexpr double kMostDisagreement = 0.03;  // of a known length

struct Tap {
  double x = 0, y = 0;  // pixels, y down
};
struct TappedCenter {
  std::string name;
  Tap at{};
};
struct KnownLength {
  std::string name;  // for messages
  Tap from{}, to{};
  Length length{};
  Length uncertainty{};  // standard; 0 for what a pitch gives
};

struct PhotoInputs {
  std::vector<TappedCenter> centers{};  // the first is the origin
  std::vector<KnownLength> known{};
  double tap_uncertainty = 0;  // pixels, standard, each coordinate
  Angle turned{};            // counterclockwise, by which the photo must be turned to stand upright
  bool from_behind = false;  // seen from the flywheel end: left and right are exchanged
};
struct PlacedCenter {
  std::string name;
  Point at{};
  Length uncertainty{};  // standard, each coordinate, against the first center
};
struct PhotoCenters {
  std::vector<PlacedCenter> centers{};
  Length per_pixel{};
  Ratio scale_uncertainty{};   // u(s) / s, standard
  Ratio worst_disagreement{};  // of a known length with the scale
};
// Refuses: fewer than two centers, no known length, lengths or taps that are none, two taps of one
// length in the same place, an uncertainty of a tap not above 0, lengths that disagree.
Result<PhotoCenters> centers_from_photo(const PhotoInputs& in);

}  // namespace tautmark
