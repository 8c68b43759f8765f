// SPDX-License-Identifier: Apache-2.0
// From decoded phases to the evidence that hypotheses.h weighs: one phase per cam against its
// reference, with all that is uncertain about it.
//
// Phase: mean over the cycles, each weighted by its own variance plus the ripple's at its speed;
// cycles further than 6 robust standard deviations (and 3 degrees) from the median are left out: a
// lost tooth count, not a cam. Of both polarities of a channel the one that scatters less.
// Tolerance: that of the reference edge, and what interpolation cannot see between few teeth, in
// the recording and in the reference: constant while the ripple is, so no number of cycles helps.
// Source: signals.md sections 5, 6, 8.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "recording/cam_phase.h"
#include "recording/decode.h"
#include "recording/hypotheses.h"

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

// What the drive says of the cam on a channel.
struct CamInDrive {
  int channel = 0;
  std::string name;
  int teeth = 0;  // of its sprocket
  int chain = 0;
  double strand_ratio = 1;
  std::optional<double> travel_from = {}, travel_to = {};
};

struct MeasuredEvidence {
  std::vector<PhaseEvidence> cams;  // in the order of the drive's
  // Angles by which all phases may be wrong together (hypotheses.h).
  std::vector<double> zeros;
  std::vector<std::string> notes;  // cams without signal or reference, few cycles, places disagree
};
// Refused: no cam of the drive has both a signal and a reference.
Result<MeasuredEvidence> evidence_of(const Decoded& decoded,
                                     std::span<const CamReference> references,
                                     std::span<const CamInDrive> drive,
                                     double reference_tolerance = 0.5);

}  // namespace tautmark
