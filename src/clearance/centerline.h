// SPDX-License-Identifier: Apache-2.0
// The center line of a lobe from pairs of equal lift: the valve opens through a lift at one angle
// and comes back through it at another; the middle of the two is the center line.
//
// Gauge zero and lash drop out of a middle; an error of the top dead center does not (1:1), and is
// part of `top_u`. Angles from the same top dead center, growing in running direction: an exhaust
// lobe's are negative, or counted over 720. Only for lobes symmetric at those lifts; on others the
// middle moves with the lift, and nominal and measured must be at the same lifts. Every reading
// turning forward only. Uncertainty: reading_u/√2 of one pair, the scatter of the pairs where it
// is worse. Source: geometry.md 6.3, trade.md 6.B.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::clearance {

struct EqualLiftPair {
  Length lift{};
  CrankAngle opening{};
  CrankAngle closing{};
};

struct CenterlineInputs {
  std::vector<EqualLiftPair> pairs{};
  CrankAngle reading_u{};  // of one reading of the wheel, standard
  CrankAngle top_u{};      // of the top dead center, standard
};

struct Centerline {
  CrankAngle center{};
  CrankAngle u{};                   // standard, all parts
  double nu = 1;                    // degrees of freedom of u; infinite where it was promised
  CrankAngle U{};                   // 95 %, Student's t of nu
  std::vector<CrankAngle> of_pair;  // in the order given
  std::vector<std::string> warnings{};
};

// Refuses no pairs, an opening that is not before its closing within one cycle, lifts of nothing.
Result<Centerline> centerline(const CenterlineInputs& in);

// Positive: early (the measured center line comes sooner). Folded to one cycle.
CrankAngle early_by(CrankAngle nominal_center, CrankAngle measured_center);

}  // namespace tautmark::clearance
