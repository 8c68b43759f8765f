// SPDX-License-Identifier: Apache-2.0
// Drawings of a drive as SVG, from a figure: one file each, without scripts or outside fonts.
//
// The sheet is 800 units wide, whatever its width in pixels; texts are 10 to 17 units high. For
// whoever turns the drawing, the root carries data-units-per-mm, data-origin-x, data-origin-y (the
// crankshaft) and data-mirrored; groups and shapes carry data-wheel, data-teeth, data-tooth,
// data-guide, data-tensioner, data-stroke (mm), data-chain, data-links, data-link (from 0). Groups
// of class "turns" turn about their wheel. The same figure gives the same bytes.
// What has no finite place is left out and named in the notes; NaN is never written.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "draw/figure.h"

namespace tautmark {

enum class Paper { screen, dark, print };  // ink on paper, paper on ink, black and white
std::optional<Paper> paper_named(std::string_view name);  // "screen", "dark", "print"

struct DrawOptions {
  Paper paper = Paper::screen;
  bool mirrored = false;      // as seen from the flywheel end, and so written on it
  bool link_numbers = false;  // every tenth link and the marked ones carry their number
  int width_px = 800;
};

// The drive seen from the front, to scale or as a schematic. Texts cover no other text; one that
// finds no place stands in the notes. Link counts stand at the strands only with the crank at the
// marks: turned on, other numbers of links lie between the sprockets' marks.
std::string drive_svg(const Figure& figure, const DrawOptions& options = {});

// Every chain laid out straight, from mark to mark, with link numbers and marks: what to count. The
// number under a marked link is the count from the mark before it; without marks, the free strands.
std::string strands_svg(const Figure& figure, const DrawOptions& options = {});

}  // namespace tautmark
