// SPDX-License-Identifier: Apache-2.0
// What a cam angle did while it was told to stand still: the motion with the valve events and the
// strongest slow one, with height and growth, for phaser_hunt.h to name.
//
// The angle is taken less its straight drift; a sine at each frequency in turn is fitted by least
// squares (uneven samples are fine), the strongest is the motion. Its height is the median of what
// each cycle covers, so noise makes it larger; its growth the slope of the logarithm of that.
#pragma once

#include <span>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "oil/phaser_hunt.h"
#include "oil/phaser_step.h"

namespace tautmark::oil {

// At most two, fast first; empty where nothing stands out of the scatter `angle_u` of one reading
// (standard). Valid at constant speed and command. Refuses samples out of order, fewer than
// kLeastCycles of the slowest motion to tell, too few or too many samples.
Result<std::vector<HoldMotion>> hold_motions(std::span<const PhaseSample> samples, Frequency events,
                                             CamAngle angle_u);
inline constexpr int kLeastCycles = 3;
inline constexpr Frequency kSlowestMotion = Frequency::from_si(0.3);
inline constexpr Frequency kFastestSlowMotion = Frequency::from_si(8);

}  // namespace tautmark::oil
