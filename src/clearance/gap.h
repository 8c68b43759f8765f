// SPDX-License-Identifier: Apache-2.0
// How far one valve is from its piston, for a drop s of the piston and a lift L of the valve.
//
//   pocket floor  c_ax  = c0 + s cos γ - L                       along the valve axis
//   flat crown    c_ax  = (g0 + s) / cos γ - L                   its lowest rim point, along the
//   axis pocket wall   c_rad = R_p - R_v - hypot(e_x - s sin γ, e_y)  sideways, all around
//
// γ inclination of the valve to the bore; c0 and g0 the gap with the valve shut and the piston at
// top dead center, c0 along the valve axis, g0 along the bore; R_v, R_p radii of head and pocket;
// e_x, e_y how far the head stands off the middle of the pocket then, e_x in the plane of the
// inclination, positive on the side the pocket moves to; P height of the pocket wall along the
// axis, taken as uniform (the highest counts). Contact where c_ax < 0, or c_rad < 0 and c_ax < P.
// The gap to the wall is max(c_rad, c_ax - P): no more than the true distance, without steps, and
// below 0 exactly where head and wall are in one another. Rigid parts, in the plane of the valve.
// Sources: geometry.md 7.1, 7.3, 11.6.
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "base/quantity.h"
#include "clearance/lift.h"
#include "clearance/piston.h"

namespace tautmark::clearance {

struct PocketSides {
  Length head_radius{};
  Length pocket_radius{};
  Length offset_x{};
  Length offset_y{};
};

struct ValveSite {
  Angle inclination{};  // true angle to the bore, 0 to below 90 deg
  bool flat_crown = false;
  Length gap_shut{};  // c0 of a pocket, g0 of a flat crown
  std::optional<Length> wall_height{};
  std::optional<PocketSides> sides{};
};

enum class Nearest { floor, crown, wall, other_valve };

struct Gap {
  Length axial{};
  std::optional<Length> radial{};  // empty: not known, or no pocket
  std::optional<Length> wall{};    // max(c_rad, c_ax - P); empty: not computed, or no wall
  Length least{};                  // of axial and wall
  Nearest nearest = Nearest::floor;
};

// A flat crown and a pocket of no height have no wall; otherwise its height and sides are needed.
bool wall_is_computed(const ValveSite& site);
Gap gap(const ValveSite& site, Length drop, Length lift);

// The same as plain numbers (m), for loops. Without computed wall only the floor is in it.
struct GapNumbers {
  double at_top = 0;
  double per_drop = 1;
  bool has_wall = false;
  double wall_height = 0;
  double room = 0;  // R_p - R_v
  double offset_x = 0;
  double offset_y = 0;
  double sideways = 0;  // sin γ

  double axial(double drop, double lift) const { return at_top + per_drop * drop - lift; }
  double radial(double drop) const;
};
GapNumbers gap_numbers(const ValveSite& site);

// A valve of the whole engine. `top` is where its cylinder fires, on the crank scale of the engine
// (0 to 720 crank deg); a camshaft at `phi` (cam deg, turning with the engine) stands at the angle
// 2 phi - top of this cylinder's cycle. What is `taken_off` is subtracted from the gap before it is
// used: uncertainty, or what this valve must have more than others.
struct EngineValve {
  std::string name{};
  ValveSite site{};
  Slider slider{};
  CrankAngle top{};
  std::shared_ptr<const LiftCurve> lift{};
  Length taken_off{};       // of the axial gap
  Length taken_off_wall{};  // of the gap to the wall
};

}  // namespace tautmark::clearance
