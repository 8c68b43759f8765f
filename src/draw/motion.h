// SPDX-License-Identifier: Apache-2.0
// A drawn drive as whoever turns it needs it: what turns, how fast, and the way of every chain. It
// says where things stand at the reference position (crank at its marks) and holds for every other
// crank angle: a wheel turns about its center, pin i of a chain stands `first_pin + i +
// pitches_per_turn * turns` pitches along its way.
//
// Frame: seen from the front, millimetres, x to the right, y up, crankshaft at (0, 0). Clock angles
// are degrees clockwise from straight up. Turning by `turns` crank turns is positive in the running
// direction. Rigid parts; the arm stays where it is (an ideal round sprocket takes in as much chain
// as it gives out).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "draw/figure.h"
#include "drive/drive.h"

namespace tautmark {

struct MotionMark {
  double clock_deg = 0;
  std::string sign{};
};

struct MotionWheel {
  std::string name{}, label{}, kind{};
  double x_mm = 0, y_mm = 0, radius_mm = 0;
  int teeth = 0;               // 0: smooth
  double clockwise_turns = 0;  // per crank turn; negative: it runs counterclockwise
  std::string outline{};       // SVG path about its center, mm, y down, tooth 0 straight up
  double tooth_deg = 0;        // clock angle of tooth 0
  std::optional<MotionMark> mark{};
  std::optional<double> casting_deg{};    // of the pointer on the casting
  std::optional<double> should_be_deg{};  // of the mark, had the wheel been set right
  double teeth_early = 0;                 // negative: late
  std::string error{};                    // in words; empty: stands right or is not known
};

struct MotionPiece {
  double x1_mm = 0, y1_mm = 0, x2_mm = 0, y2_mm = 0;
  double radius_mm = 0;  // 0: straight
  double center_x_mm = 0, center_y_mm = 0;
  double clockwise_deg = 0;  // swept; negative: counterclockwise
  double pitches = 0;
};

struct MotionMarkedLink {
  int link = 0;
  std::string color{};
};

struct MotionStrand {
  std::string name{}, from{}, to{};
  double at = 0;  // its middle, in pitches along the way
  std::optional<int> count{};
};

struct MotionChain {
  std::string name{};
  bool belt = false;
  double pitch_mm = 0;
  int links = 0;
  double pitches_per_turn = 0;
  double first_pin = 0;
  std::vector<MotionPiece> way{};
  std::vector<MotionMarkedLink> marked{};
  std::vector<MotionStrand> strands{};
  std::optional<std::int64_t> links_return{};        // crank turns; on the driving sprocket alone
  std::optional<std::int64_t> links_marks_return{};  // together with every sprocket mark
};

struct MotionArc {
  std::string name{};
  double x_mm = 0, y_mm = 0, radius_mm = 0;
  double from_deg = 0, to_deg = 0;  // clock angles, clockwise
  bool touched = true;
  std::optional<double> pivot_x_mm{}, pivot_y_mm{};  // an arm
};

struct MotionPlunger {
  std::string name{};
  double x_mm = 0, y_mm = 0;  // base
  double points_deg = 0;      // clock angle of its travel
  double extension_mm = 0;
};

struct Motion {
  std::string title{};
  bool invented = false;
  bool to_scale = true;
  std::string view{};     // "seen from the front"
  bool clockwise = true;  // running direction of the crankshaft
  bool is_direction_known = true;
  std::string backwards{};     // what holds for turning against it
  std::string marks_return{};  // in words
  std::vector<MotionWheel> wheels{};
  std::vector<MotionChain> chains{};
  std::vector<MotionArc> arcs{};
  std::vector<MotionPlunger> plungers{};
  std::vector<std::string> notes{};
};

// Of figure_of(drive, …) with the crank at its marks.
Motion motion_of(const Drive& drive, const Figure& figure);

}  // namespace tautmark
