// SPDX-License-Identifier: Apache-2.0
// What is wrong with the signals themselves: wiring, sensor, sensor wheel. Every finding in words
// with its numbers; `bad` means that angles from that channel must not be judged before it is
// mended or explained.
//
// Teeth count from 1 at the wheel zero, edges of a cam from 1 at the smallest angle. Crank degrees.
// A tooth or an edge is named as the one at fault when so many of the faults fall on it that chance
// gives it less than 1 in 1000, over all teeth (binomial).
// Not seen from edges: amplitude, offset, noise below the threshold. Source: signals.md sections 3,
// 6, 8.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "recording/cam_phase.h"
#include "recording/decode.h"
#include "recording/trains.h"

namespace tautmark {

enum class HealthKind {
  dropped_teeth,  // of the crank
  extra_edges,    // of the crank
  missing_tooth,  // in every turn, against the wheel expected
  other_wheel,
  gap_asymmetry,
  dropped_edges,  // of a cam
  wrong_edges,
  glitches,
  unknown_samples,
  coarse_sampling,
  place_disagreement,
  polarity_swap,
  silent,
  not_used,
  no_amplitude
};
enum class HealthSeverity { note, bad };

struct HealthFinding {
  HealthKind kind{};
  HealthSeverity severity = HealthSeverity::note;
  int channel = 0;     // 0: all
  int number = 0;      // tooth or edge at fault, from 1; 0: none by itself
  double value = 0;    // the number that decides
  std::string unit{};  // "of the turns", "°", "s", ...
  std::optional<double> chance{};
  std::string words{};
};

struct HealthOptions {
  std::optional<Wheel> wheel{};                // of the engine, when known
  std::span<const CamReference> references{};  // known good, decoded with the same crank polarity
  int reference_crank_polarity = 0;            // 0: not known
};
// `trains` are those that were decoded. What is bad comes first.
std::vector<HealthFinding> signal_health(const SignalTrains& trains, const Decoded& decoded,
                                         const HealthOptions& options = {});

// Faults of the crank's teeth, one number per tooth of the wheel.
struct ToothFaults {
  std::vector<int> passes, missed, extra;  // extra: an edge after this tooth, before the next
};
ToothFaults tooth_faults(const SignalTrains& trains, const DecodedCrank& crank);

// P(X >= k) of a binomial distribution: n tries of chance p.
double binomial_at_least(int k, int n, double p);

}  // namespace tautmark
