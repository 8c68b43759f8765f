// SPDX-License-Identifier: Apache-2.0
// From the phases of a cam, cycle by cycle, to the one that hypotheses.h weighs, with all that is
// uncertain about it.
//
// Phase: mean over the cycles, each weighted by its own variance plus the ripple's at its speed;
// cycles further than 6 robust standard deviations (and 3 degrees) from the median are left out: a
// lost tooth count, not a cam. What interpolation cannot see between few teeth is constant while
// the ripple is, so no number of cycles helps. Source: signals.md sections 5, 6, 8.
#pragma once

#include <optional>
#include <vector>

#include "recording/cam_phase.h"
#include "recording/wheel.h"

namespace tautmark {

struct PhaseMean {
  double phase = 0, statistical = 0;  // degrees, standard uncertainty of the mean
  double systematic = 0;              // what interpolation cannot see between few teeth
  double scatter = 0;                 // robust standard deviation of the cycles
  std::size_t cycles = 0;             // that counted
  double disagreement = 0;            // as place_disagreement
};
// `teeth` of the crank's wheel. Empty: no cycles.
std::optional<PhaseMean> phase_mean(const CamPhase& phase, int teeth);

// The angles by which the wheel's equal zeros leave all phases uncertain together.
std::vector<double> common_angles(const Wheel& wheel);

}  // namespace tautmark
