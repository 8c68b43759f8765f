// SPDX-License-Identifier: Apache-2.0
// A phaser that does not keep still on a constant command: which of three motions it is.
//
//   saw-tooth of dead band and drift: it leaks across the band, the controller pumps it back
//     height = band + (drift + correction) T_d        period = height / drift + height / correction
//
// band: whole dead band of valve overlap and friction; drift (phaser_hold.h) and correction are cam
// angles in a second, the correction what is left over the drift; T_d dead time of the loop
// (phaser_step.h), in which each runs on past its edge. Mechanism and all bands below are common
// practice, no source (oil.md 5.5): a prior for what to look at, no proof.
#pragma once

#include <string_view>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::oil {

inline constexpr std::string_view kHuntingBasis = "common practice, no source";

struct SawToothInputs {
  CamAngle band{};
  CamAngle drift{};       // in a second; its sign does not matter
  CamAngle correction{};  // in a second, above 0
  Time dead{};
};
struct SawTooth {
  CamAngle height{};  // from lowest to highest
  Time period{};
};
// Refuses a band or a correction not above 0, no drift (nothing to correct), a dead time below 0.
Result<SawTooth> saw_tooth(const SawToothInputs& in);

// Frequency and height: find_hunting of recording (phase_statistics.h).
struct HoldMotion {
  Frequency at{};       // of the motion seen
  CamAngle height{};    // from lowest to highest
  double growth = 1;    // height of one cycle to that of the cycle before
  Frequency events{};   // valve events at the speed of the recording
  Frequency samples{};  // readings of the angle in a second
};
enum class HoldMotionKind {
  unclear,
  fast_swing,        // with the valve events: little stiffness against leak, or air
  slow_saw_tooth,    // drift and dead band
  growing_sinusoid,  // too much gain for the dead time
};
struct HoldMotionAnswer {
  HoldMotionKind kind = HoldMotionKind::unclear;
  // False where the angle is read too seldom for the valve events: they then look like a slow
  // motion, so a slow one is `unclear`.
  bool events_seen = false;
};
// Refuses frequencies, height or growth not above 0.
Result<HoldMotionAnswer> hold_motion(const HoldMotion& seen);
std::string_view meaning(HoldMotionKind kind);

}  // namespace tautmark::oil
