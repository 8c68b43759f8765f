// SPDX-License-Identifier: Apache-2.0
// Tones of gaps: told apart by lightness and by filling, so that print, sunlight and every kind of
// color sight do.
#pragma once

#include <array>
#include <string>

#include "draw/drive_svg.h"

namespace tautmark::draw {

// Upper ends of the steps of clear gaps, mm; the last step has none.
inline constexpr std::array<double, 4> kGapSteps{2, 3, 5, 10};

// plot_style with the classes contact, short (nearer than wanted), unknown, and clear0 (nearest) to
// clear4.
std::string clearance_style(Paper paper);

}  // namespace tautmark::draw
