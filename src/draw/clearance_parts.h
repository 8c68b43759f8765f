// SPDX-License-Identifier: Apache-2.0
// What the parts of a clearance map share.
#pragma once

#include <utility>
#include <vector>

#include "draw/clearance_map.h"
#include "draw/contours.h"
#include "draw/plot_axis.h"

namespace tautmark::draw {

inline constexpr double kMapLeft = 150, kMapRight = 562;
inline constexpr double kLeastLeft = 592;

struct MapSheet {
  const ClearanceMapPlot& plot;
  Scale x{}, y{};  // y.at_from is the bottom
  Field gap{}, spare{};
  Svg svg{};
  Svg over{};   // the way, over lines
  Svg words{};  // over everything
  Labels labels{XY{}, XY{}};

  [[nodiscard]] double top() const { return y.at_to; }
  [[nodiscard]] double bottom() const { return y.at_from; }
  [[nodiscard]] double width() const { return x.at_to - x.at_from; }
  [[nodiscard]] double height() const { return y.at_from - y.at_to; }
  [[nodiscard]] XY at(XY values) const { return {x.at(values.x), y.at(values.y)}; }
};

// A map that goes round both ways, a whole turn from each of its lower ends on.
struct Round {
  XY from{}, to{};
  [[nodiscard]] XY inside(XY values) const;  // the same place on the map
};
Round round_of(const MapSheet& sheet);
// A straight way on it: cut where it leaves and comes in at the other side, in order.
std::vector<std::pair<XY, XY>> round_pieces(XY from, XY to, const Round& round);

// clearance_way.cc
void write_way(MapSheet& sheet, const MapWay& way);
// clearance_least.cc: beside the map
void write_least(MapSheet& sheet);

}  // namespace tautmark::draw
