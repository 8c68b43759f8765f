// SPDX-License-Identifier: Apache-2.0
// Drawings of a drive as SVG, from a figure.
#pragma once

#include <string>
#include <vector>

#include "draw/figure.h"

namespace tautmark {

enum class Paper { screen, dark, print };  // ink on paper, paper on ink, black and white

struct DrawOptions {
  Paper paper = Paper::screen;
  bool mirrored = false;      // as seen from the flywheel end, and so written on it
  bool link_numbers = false;  // every tenth link and the marked ones carry their number
  int width_px = 800;
};

// The drive seen from the front, to scale or as a schematic.
std::string drive_svg(const Figure& figure, const DrawOptions& options = {});

// Every chain laid out straight, strand by strand, with link numbers and marks: what to count.
std::string strands_svg(const Figure& figure, const DrawOptions& options = {});

}  // namespace tautmark
