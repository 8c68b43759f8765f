// SPDX-License-Identifier: Apache-2.0
// Phase of a cam per engine cycle, with its uncertainty. Crank degrees, advance positive, retard
// negative: ψ = -(edge - reference), weighted over the edges of the cycle.
//
// Variance of one edge: sampling (6 n u_t) + the two teeth beside it (√(1 - 2f + 2f²) of theirs) +
// interpolation + scatter of the sensor, learned per place from successive differences. A wheel
// with fewer than 6 teeth adds `systematic`, which is constant while the ripple is (angle.h).
// Source: signals.md section 6. Interpolation: 0.15 (h/30)³ degrees at 250 1/min for teeth h apart,
// fitted to the table of section 5 (monotone cubic, ripple 0.25), falling as 1/n².
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "recording/decode.h"

namespace tautmark {

struct PlaceSummary {
  double angle = 0;  // mean, degrees in [0, cycle)
  double sd = 0;     // 0 for one edge
  int count = 0;
  double jitter = 0;  // scatter without slow motion
  double psi = 0;     // of its mean, against the reference
};

struct CyclePhase {
  std::int64_t cycle = 0;
  double time = 0;   // s, mean of its edges
  double psi = 0;    // degrees, advance positive
  double sigma = 0;  // standard uncertainty, without what is systematic
  int edges = 0;
  double chi_squared = 0;  // disagreement of the places, edges - 1 degrees of freedom
  double per_minute = 0;
};

struct CamPhase {
  int channel = 0, polarity = 0;
  std::vector<PlaceSummary> places;
  std::vector<CyclePhase> cycles;
  double systematic = 0;  // degrees, standard, common to all cycles at one speed
  std::int64_t wrong_edges = 0;
  // A real phase change moves all places together; a bent target moves one: the mean of
  // chi_squared over its degrees of freedom, near 1 when they agree; 0: one place only.
  double place_disagreement = 0;
};

// A known-good recording of the engine, decoded with the same crank polarity.
struct CamReference {
  int channel = 0, polarity = 0;
  std::vector<double> angles;  // of every place, in order
  double systematic = 0;       // as in CamPhase
};
std::vector<CamReference> references_of(const Decoded& good);

// What this recording's zero is in the reference's: a multiple of 360 degrees, or of 360 over the
// equal zeros of the wheel, that brings all cams together nearest to their references. The zeros
// were chosen by a cam, and a cam that moved may have chosen another. So a move that is common to
// all cams is known within that multiple only: Decoded::notes says so.
double zero_in_reference(const Decoded& decoded, std::span<const CamReference> references);

// Against `reference`, the angle of every place in order, less `zero`; empty: against the
// recording's own means. Refused: a reference with another number of places.
Result<CamPhase> cam_phase(const Decoded& decoded, const DecodedCam& cam,
                           std::span<const double> reference = {}, double zero = 0);

// Change of angle with speed when no phaser moves: φ = φ0 + 6 n Δτ, Δτ the delay of the cam's
// channel less the crank's. Refused: speed spread under 2 to 1, fewer than 8 cycles.
struct SensorDelay {
  double seconds = 0;         // Δτ
  double standard_error = 0;  // s
};
Result<SensorDelay> sensor_delay(const CamPhase& phase);

}  // namespace tautmark
