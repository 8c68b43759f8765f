// SPDX-License-Identifier: Apache-2.0
// Where a degree wheel reads when the piston really is at top dead center, from a positive stop.
//
// The stop ends the travel at the same drop on either side; top dead center is the middle of the
// two readings. What is wrong with the middle:
//   offset pin     middle - TDC = asin(d/(l+r)) - asin(d/R), R = r cos A + sqrt(l² - r² sin²A),
//                  A half the angle between the stops (about -d h/(l+r)² at a drop h)
//   reading        u = sigma/√2 of two readings, less by √n of n pairs
//   the stop       u = sigma_h (dtheta/dh)/√2: how well the piston comes back to the same drop
// Play of rod and pin bearings drops out only where both stops are pressed upwards. A stop finds A
// top dead center, never which of the two of a cycle. Wheel angles grow in running direction; a
// reading before zero is negative. Valid for stops 5 to 90 crank deg from the top; best 20 to 50.
// Source: geometry.md 5.2.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "clearance/piston.h"

namespace tautmark::clearance {

// As read on the wheel: degrees before its zero, and degrees after it.
struct StopPair {
  CrankAngle before{};
  CrankAngle after{};
};

struct StopInputs {
  std::vector<StopPair> pairs{};
  std::optional<Slider> slider{};  // without: no correction, nothing for the stop itself
  CrankAngle reading_u{};          // of a single reading of the wheel, standard
  Length stop_u{};                 // repeatability of the drop at the stop, standard
};

struct TopFound {
  CrankAngle wheel_reads{};  // at true top dead center; positive: after its zero
  CrankAngle u{};            // standard
  CrankAngle half_angle{};   // from the top to either stop; both read it once the wheel is set
  CrankAngle offset_correction{};  // middle - TDC, already taken off
  std::optional<Length> drop{};    // of the piston at the stop
  std::string words{};             // what to do with the wheel
  std::vector<std::string> cautions{};
};

// Refuses no pairs, values that are not finite, stops closer than 5 or further than 90 crank deg.
Result<TopFound> top_from_stop(const StopInputs& in);

// What a reading of the wheel means, if the wheel is left as it is.
CrankAngle true_angle(const TopFound& top, CrankAngle wheel_reading);

// Half the crank angle over which the piston stays within `within` of the top: how blunt a gauge
// on the piston crown is. Empty where the piston does not go that far.
std::optional<CrankAngle> dwell_half_angle(const Slider& slider, Length within);

}  // namespace tautmark::clearance
