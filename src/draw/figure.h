// SPDX-License-Identifier: Apache-2.0
// Everything that a drawing of a drive shows, as plain geometry: what stands where, at one crank
// angle. Made from a drive by figure_of (figure_of_drive.h); drawn by drive_svg and strands_svg.
//
// Frame: seen from the front, millimetres as Length, x to the right, y up, crankshaft at (0, 0).
// Clock angles are degrees clockwise from straight up, seen from the front; a mirrored drawing is
// the drawer's work, the figure stays as seen from the front.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/quantity.h"
#include "geometry/track.h"

namespace tautmark {

enum class WheelKind { crank, camshaft, idler, other, pulley };

struct FigureMark {
  double tooth = 0;    // index of the marked tooth; a half: the gap after it
  std::string sign{};  // "dot", "line", "R"; empty: a plain dot
};

struct FigureWheel {
  std::string name{};   // "bank 2 / camshaft"
  std::string label{};  // "camshaft"
  WheelKind kind{};
  std::optional<int> bank{};
  Point center{};
  int teeth = 0;          // 0: smooth pulley
  Length pitch_radius{};  // of the chain's pins; smooth pulley: of its face
  Angle tooth_zero{};     // clock angle of the middle of tooth 0; tooth indices grow clockwise
  bool clockwise = true;  // its running direction
  std::optional<FigureMark> mark{};
  std::optional<Angle> casting_mark{};  // clock angle of the pointer on the casting
  double turns = 0;                     // per crank turn, never negative; 0: not known
  double teeth_early = 0;               // of its own, against its driver
  bool phaser = false;
  std::optional<std::string>
      error{};  // "1 tooth late: 9.5° cam, 18.9° crank", drawn as a dimension
  std::optional<Angle> mark_should_be{};  // clock angle of the mark when it stood right
};

struct FigureArc {  // guide or arm shoe, the face that the chain runs on
  std::string name{};
  Point center{};
  Length radius{};       // of the pin line
  Angle from{}, to{};    // clock angles, clockwise from `from`
  bool outside = false;  // the chain's back runs on it: the center lies outside of the loop
  bool touched = true;
  std::optional<Point> pivot{};  // an arm
  std::optional<Length> worn{};  // depth of its groove
};

struct FigureTensioner {
  std::string name{};
  Point base{};
  Angle points{};  // clock angle of its travel
  std::optional<Length> extension{};
  std::optional<Length> stroke{};
  std::optional<Point> pad{};
  std::optional<Length> pad_radius{};
};

struct FigureStrand {
  std::string name{};  // "tight strand", "slack strand", "top strand"
  // The free strand, of the row of pins in travel direction: from the last pin on one sprocket to
  // the first on the next.
  std::size_t first_pin = 0, last_pin = 0;
  std::string from{}, to{};    // wheels' names
  std::optional<int> count{};  // from marked link to marked link, in pitches; of neighboring
                               // marked links the one that leads counts
};

struct FigureLinkMark {
  std::size_t link = 0;  // lies between pins[link] and pins[link + 1]
  std::string color{};
};

struct FigureChain {
  std::string name{};
  std::optional<int> bank{};
  bool belt = false;
  Length pitch{};
  std::vector<Point>
      pins{};  // closed; link i lies between pin i and pin i + 1, travel grows with i
  std::vector<FigureLinkMark> marked{};
  std::vector<FigureStrand> strands{};
  std::vector<TrackPiece> track{};  // that the pins run through
  double first_pin = 0;             // where pin 0 stands on it, in pitches
  double pitches_per_turn = 0;      // that it travels with one turn of the crankshaft
};

struct Figure {
  std::string title{};
  bool invented = false;
  bool to_scale = true;               // false: schematic, "not to scale"
  bool clockwise = true;              // running direction of the crankshaft
  CrankAngle crank{};                 // from the position in which the marks stand right
  std::vector<FigureWheel> wheels{};  // crankshaft first
  std::vector<FigureArc> arcs{};
  std::vector<FigureTensioner> tensioners{};
  std::vector<FigureChain> chains{};
  std::vector<std::string> notes{};  // printed under the drawing
  std::vector<std::pair<int, std::string>>
      banks{};  // number, words: "bank 1: right, seen from ..."
};

}  // namespace tautmark
