// SPDX-License-Identifier: Apache-2.0
// The figure of a drive at one crank angle: to scale where the file gives coordinates, else a
// schematic with made-up places, and so labelled.
#pragma once

#include <map>
#include <string>

#include "draw/figure.h"
#include "drive/drive.h"
#include "judge/drive_paths.h"

namespace tautmark {

struct FigureState {
  CrankAngle crank{};  // turned on from the position in which the marks stand right
  // Wheels that stand wrong, by place: teeth of their own sprocket, positive early, halves allowed.
  std::map<std::string, double> teeth_early{};
  std::map<std::string, ChainWear> wear{};  // by the name of the chain
};

// Refuses where the coordinates contradict the chain (geometry/path.h says how), and where nothing
// is known that could be drawn: no chain with its links and the teeth under it.
Result<Figure> figure_of(const Drive& drive, const FigureState& state = {});

}  // namespace tautmark
