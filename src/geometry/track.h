// SPDX-License-Identifier: Apache-2.0
// The path of a chain as the stretches that its pins run through, for whoever moves it. Frame,
// order and what is left out as in path.h.
#pragma once

#include <vector>

#include "geometry/path.h"

namespace tautmark {

// An arc or a straight strand. A pin at `part` (0 to 1) of the stretch has counted part * pitches
// since it came in.
struct TrackPiece {
  std::size_t element = 0;  // that it runs on, or that it leaves
  bool is_arc = true;
  Point from{}, to{};
  Point center{};  // of an arc
  Angle sweep{};   // of an arc, counterclockwise
  double pitches = 0;
};

// Arc, strand, arc, strand …, beginning where the chain arrives at the driving sprocket; the
// pitches add up to the links. Spare links (a path without an arm) are spread over the slack side,
// between the driving sprocket and the next one.
std::vector<TrackPiece> track_of(const PathInputs& in, const Path& path);

// Exactly on the stretch, whatever `part` between 0 and 1.
Point point_on(const TrackPiece& piece, double part);

}  // namespace tautmark
