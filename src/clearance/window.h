// SPDX-License-Identifier: Apache-2.0
// Where the crankshaft may stand so that every camshaft can turn through a full turn, and where a
// camshaft may stand so that the crankshaft can.
//
// A valve at its highest lift h keeps the margin m from floor or crown once the piston has dropped
//   s_f = (h - c0 + m) / cos γ   (flat crown: (h + m) cos γ - g0),
// and from the pocket wall, where the pocket can slide past the head (c_rad < m at a drop s1, and
// c_ax(s1, h) < P + m there), once it has dropped s2 = (h - c0 + P + m) / cos γ. The sliver between
// s_f and s1 is not used. Closed forms, edges by angles_at_drop. Without the sides of the pocket s2
// holds for a stated P; without P nothing is known. Source: geometry.md 7.3.
#pragma once

#include <vector>

#include "base/diagnostic.h"
#include "clearance/map.h"

namespace tautmark::clearance {

// Drop a valve needs; below 0 it never touches. Infinite: no drop is enough.
Result<Length> needed_drop(const EngineValve& valve, Length margin);

// Crank deg, 0 <= from < 360, from < to <= from + 360; a whole turn is 0 to 360.
struct CrankWindow {
  CrankAngle from{};
  CrankAngle to{};
  CrankAngle park{};  // where the least clearance of any valve at full lift is largest
  Length at_park{};   // that clearance, to floor or crown, after what is taken off
};

// Sorted. Empty: no such place, which is a normal answer. Refused: a valve whose pocket wall is not
// known, by name.
Result<std::vector<CrankWindow>> crank_windows(const std::vector<EngineValve>& valves,
                                               Length margin);

// Cam deg, 0 <= from < 360, from < to < from + 360; a whole turn is 0 to 360. Edges to 1e-6 deg.
struct CamRange {
  CamAngle from{};
  CamAngle to{};
};
Result<std::vector<CamRange>> cam_ranges(const Camshaft& camshaft, Length margin);

}  // namespace tautmark::clearance
