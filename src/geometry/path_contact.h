// SPDX-License-Identifier: Apache-2.0
// Which elements the taut chain touches.
//
// Begin with what it must touch; put in whatever a free strand cuts, the deepest first; leave out a
// guide, pulley or arm with a wrap of more than pi; look again at everything left out. The contacts
// of the last time are the start of the next, so that an arm moved a little costs one pass.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/loop.h"
#include "geometry/path.h"
#include "geometry/path_model.h"

namespace tautmark {

struct PathFault {
  enum class Kind { no_tangent, wrong_turn, unsettled } kind = Kind::no_tangent;
  std::size_t element = 0, other = 0;
  double apart = 0, needed = 0;  // m
  int turns = 0;                 // of the chain around the loop, counted in its own sense
};
std::string fault_text(const PathInputs& in, const PathFault& fault);

// The loop at one angle of the arm, with derivatives by that angle.
struct LaidPath {
  std::vector<Circle<Dual>> circles{};  // one per element
  std::vector<std::size_t> order{};     // elements touched
  std::vector<LoopPart<Dual>> parts{};  // one per entry of `order`
  std::optional<std::size_t> arm{};     // element
  Dual pitches{};                       // X
  bool arm_touched = false;
};
LaidPath path_to_lay(const PathInputs& in);
// `turned`: the arm, counterclockwise, with its slope.
std::optional<PathFault> lay_path(const PathInputs& in, const Dual& turned, LaidPath& laid);

}  // namespace tautmark
