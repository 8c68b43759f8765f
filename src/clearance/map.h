// SPDX-License-Identifier: Apache-2.0
// Clearance over crank angle and angle of one camshaft, for all valves on that camshaft.
//
// The crank goes round in 360 crank deg (all that pistons know), the camshaft in 360 cam deg; both
// wrap. Row i stands at crank 360 i / crank_steps, column j at cam 360 j / cam_steps. With correct
// timing cam = crank / 2, half a camshaft turn further in every other turn of the crank. A cell is
// the least of floor, crown and wall (gap.h) over the valves, after what is taken off them; m.
//
// With `between_nodes` a cell holds for all of its surroundings, half a step to either side and as
// far again as the places of crank and camshaft are uncertain: the least drop and the largest lift
// there. It is tighter than one bound of slope for the whole map (geometry.md 7.4) and never above
// the truth. Floats; those that hold between nodes are 2e-5 mm low for it.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "clearance/gap.h"

namespace tautmark::clearance {

struct Camshaft {
  std::string name{};
  std::vector<EngineValve> valves{};
};

struct MapGrid {
  int crank_steps = 360;
  int cam_steps = 720;
  bool between_nodes = false;
  CrankAngle crank_within{};
  CamAngle cam_within{};
};

struct ClearanceMap {
  int crank_steps = 0;
  int cam_steps = 0;
  std::vector<float> least{};  // m, row after row

  const float* row(int crank) const {
    return least.data() + static_cast<std::size_t>(crank) * static_cast<std::size_t>(cam_steps);
  }
  float at(int crank, int cam) const { return row(crank)[cam]; }
};

// Without valves every cell is +infinity.
ClearanceMap clearance_map(const std::vector<EngineValve>& valves, const MapGrid& grid = {});

// Where each cylinder fires, cylinder 1 first. `order` names the cylinders as they fire, `at` the
// crank angle of each firing on the engine's scale of 720 crank deg. Refuses an order that does not
// name every cylinder once.
Result<std::vector<CrankAngle>> firing_tops(const std::vector<int>& order,
                                            const std::vector<CrankAngle>& at);

// A cell is blocked below `margin`.
std::size_t blocked_cells(const ClearanceMap& map, Length margin);
std::vector<int> rows_with_free_cam(const ClearanceMap& map, Length margin);
std::vector<int> columns_with_free_crank(const ClearanceMap& map, Length margin);

}  // namespace tautmark::clearance
