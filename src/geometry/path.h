// SPDX-License-Identifier: Apache-2.0
// The path of one chain or toothed belt around sprockets, pulleys, guides and one moving arm.
//
// Frame: seen from the front (timing end), x to the right, y up. Elements stand in the order in
// which the chain meets them, beginning with the driving sprocket. `turn` is the sense in which the
// loop runs: -1 clockwise in this frame, +1 counterclockwise. An element inside the loop turns with
// it, one outside (the back of the chain runs on it) turns against it.
//
//   d = c(i+1) - c(i)     q = s(i+1) r(i+1) - s(i) r(i)     s  +1 left of travel, -1 right of it
//   S = sqrt(|d|² - q²)                                     free strand
//   psi = atan2(d.y, d.x) - atan2(q, S)                     its direction
//   wrap(i) = s(i) (psi(i) - psi(i-1)), reduced to [0, 2 pi)
//   X = sum S / p_e + sum over sprockets N wrap/(2 pi) + sum over guides wrap / (2 asin(p_e / 2r))
//
//   p_e = p (1 + e)       N teeth, r = p_e / (2 sin(pi/N)) when the chain rides out with its wear
//
// A toothed belt bends along its pitch line: r = p N / (2 pi), and a smooth pulley counts r wrap/p.
// Wraps on sprockets count in teeth, never as arc over pitch (0.4 % too long at 20 teeth).
// A guide, pulley or arm that the straight strand clears is left out ("not touched"); a wrap of
// more than pi on one of them means the same.
//
// Sources: geometry.md 2.1, 2.3, 2.4, 3.1. Rigid parts, no deflection, no tooth play; the pitch
// circle instead of the tooth polygon is good to 1e-4 cam degrees (geometry.md 2.5).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark {

struct Point {
  Length x{}, y{};
  bool operator==(const Point&) const = default;
};

enum class ElementKind { sprocket, pulley, guide, arm };

struct PathElement {
  std::string name;  // for messages
  ElementKind kind = ElementKind::sprocket;
  Point center{};  // of the arm's shoe: with the arm at angle 0
  bool outside = false;
  int teeth = 0;    // sprockets; a toothed pulley of a belt is a sprocket
  Length radius{};  // others: of the pin line (sliding face plus half a link plate)
  Length wear{};    // of the face: the pin line recedes by it, center unchanged
};

struct Plunger {  // flat-faced, pushes a round pad of the arm
  Point base{};   // where the face stands at stroke 0
  Angle axis{};   // direction of travel, counterclockwise from +x
  Point pad{};    // center of the pad with the arm at angle 0
  Length pad_radius{};
};

struct PathInputs {
  std::vector<PathElement> elements{};
  int turn = -1;
  Length pitch{};
  int links = 0;
  Ratio elongation{};
  bool belt = false;
  bool rides_out = true;         // worn chain on a larger pitch circle; false: circle fixed
  std::optional<Point> pivot{};  // of the one arm, when there is one
  std::optional<Plunger> plunger{};
};

struct PathStrand {              // free strand, in direction of travel
  std::size_t from = 0, to = 0;  // elements
  Point leaves{}, arrives{};
  Length length{};
  double pitches = 0;
};

struct PathContact {
  std::size_t element = 0;
  Angle wrap{};
  double pitches = 0;  // engaged teeth on a sprocket
  Point arrives{}, leaves{};
};

// Contacts and strands alternate: contacts[k] is followed by strands[k], which ends at
// contacts[(k + 1) % size]. contacts[0] is the driving sprocket.
struct Path {
  std::vector<PathContact> contacts{};
  std::vector<PathStrand> strands{};
  std::vector<std::size_t> not_touched{};
  Length length{};     // strands and arcs
  double pitches = 0;  // X
  double spare = 0;    // links - X; 0 with an arm that closes the loop
  Angle arm{};  // positive: pushes the chain, against the strand between the wheels beside it
  Point arm_center{};
  std::optional<Length> stroke{};
  double pitches_per_arm = 0;    // dX / d(arm), pitches per rad
  double stroke_per_length = 0;  // d(stroke) / d(chain length), m per m
};

// The path with the arm held at an angle, whatever the links: X may differ from links.
Result<Path> path_at(const PathInputs& in, Angle arm);

// The path on which the loop closes with `links` links: the arm is where the chain is taut. Without
// an arm: the fixed path and its spare links (negative: too short).
// Refuses, naming the element and the amount: fewer than 2 elements, first element no sprocket,
// fewer than 3 or more than 100 000 teeth or links, radius or pitch not positive, lengths beyond
// 100 m, an elongation beyond 20 %, any number that is none, two elements that overlap so that no
// common tangent exists, a loop that turns more or less than once, two arms, an arm without a pivot
// or whose pivot lies inside a sprocket, a chain that closes at no angle of the arm within 90
// degrees to both sides (too long or too short, and by how many links). Elements of other kinds
// that overlap are not noticed here unless the chain touches both.
Result<Path> solve_path(const PathInputs& in);

// Where the pins lie: point i is the pin between link i and link i + 1 of the row of links, whose
// numbers grow in the direction of travel. With `travel` 0 pin 0 stands where the chain arrives at
// the driving sprocket; `travel` moves all pins forward, in pitches. One point per link, pins on a
// sprocket 2 pi / N apart on its pitch circle. Spare links (a path without an arm) are spread over
// the slack side, between the driving sprocket and the next one. Empty when travel is not finite.
std::vector<Point> pin_points(const PathInputs& in, const Path& path, double travel);

}  // namespace tautmark
