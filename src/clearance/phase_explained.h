// SPDX-License-Identifier: Apache-2.0
// Which whole number of teeth, and how much of wear, explain a measured phase.
//
//   eps = k T + remainder     T = 720/N crank deg, one tooth of a camshaft sprocket of N teeth
//   k explains it where  wear.least - wheel - U <= remainder <= wear.most + wheel + U
//
//   eps    positive early      U  of eps, expanded (95 %)
//   wear   range of the shift expected of wear, negative late: from the other camshaft of the chain
//          by the lengths of their tight strands, or 0 to 5 crank deg late where nothing is known
//   wheel  what the zero of the reading may be off by, either way (trigger wheel, pointer, edges)
//
// The remainder must be explained, not rounded away: 21.4 late is one tooth of 18.95 and 2.4 of
// wear, 11 late is no tooth at all, and where two numbers of teeth fit nobody can choose. Also
// tried: whether the number was cam degrees. Source: geometry.md 9, trade.md 7, questions 3 to 6.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::clearance {

inline constexpr CrankAngle kUsualWear = crank_deg(-5);  // geometry.md 9: "0 to -5 crank deg"

struct MeasuredPhase {
  CrankAngle early{};
  CrankAngle U{};
  int cam_teeth = 0;
  CrankAngle wear_least = kUsualWear;  // the latest
  CrankAngle wear_most{};              // the earliest
  CrankAngle wheel_error{};
};

enum class PhaseCause { no_tooth, jumped, unexplained, cannot_choose };

struct TeethAndRest {
  int teeth_early = 0;  // negative: late
  CrankAngle rest{};    // early - teeth
};

struct PhaseExplanation {
  PhaseCause cause = PhaseCause::unexplained;
  CrankAngle tooth{};
  TeethAndRest nearest{};               // with the smallest remainder, whether it explains or not
  std::vector<TeethAndRest> fitting{};  // by number of teeth
  bool fits_as_cam_degrees = false;     // unexplained as it is, but explained if it was cam degrees
  std::string words{};
};

// Refuses fewer than 6 teeth, values that are not finite, ranges the wrong way round, negative U.
Result<PhaseExplanation> explain_phase(const MeasuredPhase& phase);

}  // namespace tautmark::clearance
