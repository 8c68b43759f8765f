// SPDX-License-Identifier: Apache-2.0
// The parts of a section through valve and piston.
#pragma once

#include <utility>

#include "draw/clearance_section.h"
#include "draw/plot_axis.h"

namespace tautmark::draw {

struct SectionView {
  double scale = 1;  // units per mm
  XY origin{};       // of the bore's axis at the gasket face
  bool is_detail = false;

  [[nodiscard]] XY at(XY mm) const { return origin + XY{mm.x * scale, -mm.y * scale}; }
  [[nodiscard]] XY direction(XY mm) const { return {mm.x, -mm.y}; }
};

// In mm, height upward.
struct ValveFrame {
  XY face{};     // middle of the face as lifted
  XY shut{};     // and shut
  XY stem{};     // along the axis, away from the piston
  XY outward{};  // in the face, to where the pocket slides: the rim that is lower
};
ValveFrame frame_of(const SectionValve& valve);
double half_head(const SectionValve& valve);  // mm; without a diameter some width, drawn dashed
// Lowest and highest that is drawn, mm.
std::pair<double, double> height_span(const ClearanceSection& section);

void write_parts(Svg& svg, const ClearanceSection& section, const SectionView& view);
void write_names(Svg& svg, const ClearanceSection& section, const SectionView& view);
// Bore, rod and throw, small; in a box `height` high whose top middle is `top`.
void write_crank(Svg& svg, const SectionCrank& crank, const std::string& words, XY top,
                 double height);

}  // namespace tautmark::draw
