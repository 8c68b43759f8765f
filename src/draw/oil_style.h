// SPDX-License-Identifier: Apache-2.0
// Tones of oil: pressure in steps of one hue, flow in another, what is below its limit in a third
// and marked by its shape too. In print there are no tones: numbers and shapes say the same.
#pragma once

#include <string>

#include "draw/drive_svg.h"

namespace tautmark::draw {

inline constexpr int kPressureTones = 5;
// From 0, the palest, by the share of the highest pressure.
int pressure_tone(double pressure, double highest);

// plot_style with the classes tone0 to tone4 (fill) and on0 to on4 (texts on them), flow (stroke)
// and flow-fill, low (stroke), low-fill, on-low (text), warn (text), panel, symbol, and the zones
// zone0 (what must not be) to zone3 (comfortable).
std::string oil_style(Paper paper);

}  // namespace tautmark::draw
