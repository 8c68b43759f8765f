// SPDX-License-Identifier: Apache-2.0
// How fast a recorded phaser followed steps of its command, each way, against the least that the
// program calls not slow (kLeastSlew). The statistic is the line through the 20 and 80 % crossings
// of one step; of several steps one way the middle one counts. Its uncertainty is one engine cycle
// in the time between the crossings: the phase is a mean of a cycle.
#pragma once

#include <optional>
#include <span>

#include "base/diagnostic.h"
#include "drive/drive.h"
#include "judge/port_reads.h"
#include "oil/phaser_slew.h"
#include "oil/phaser_step.h"
#include "recording/phaser_behaviour.h"

namespace tautmark {

// `per_minute`: of the engine. Absent: no step that way of 3° (cam) or more that tells.
std::optional<oil::StepComparison> slew_seen(std::span<const CommandResponse> responses,
                                             oil::Travel travel, double per_minute);

// The most that the pressure at the head could make of two equal edges like this way of the oil,
// "bank 2 / camshaft / advance" its end, with nothing else before them. Refuses a way that is no
// hole, data that the definition lacks, a pressure that does not hold the torque.
Result<oil::Slew> advance_at_most(const Phaser& phaser, const OilElement& edge,
                                  const oil::Estimated<Pressure>& head, Density oil);

}  // namespace tautmark
