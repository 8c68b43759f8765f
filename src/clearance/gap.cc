// SPDX-License-Identifier: Apache-2.0
#include "clearance/gap.h"

#include <algorithm>
#include <cmath>

namespace tautmark::clearance {
namespace {

bool has_no_wall(const ValveSite& site) {
  return site.flat_crown || (site.wall_height && site.wall_height->si() <= 0);
}

}  // namespace

bool wall_is_computed(const ValveSite& site) {
  return has_no_wall(site) || (site.wall_height && site.sides);
}

double GapNumbers::radial(double drop) const {
  return room - std::hypot(offset_x - drop * sideways, offset_y);
}

GapNumbers gap_numbers(const ValveSite& site) {
  const double cosine = std::cos(site.inclination.si());
  GapNumbers n{.at_top = site.gap_shut.si() / (site.flat_crown ? cosine : 1),
               .per_drop = site.flat_crown ? 1 / cosine : cosine,
               .sideways = std::sin(site.inclination.si())};
  if (site.sides) {
    n.room = site.sides->pocket_radius.si() - site.sides->head_radius.si();
    n.offset_x = site.sides->offset_x.si();
    n.offset_y = site.sides->offset_y.si();
  }
  n.has_wall = !has_no_wall(site) && wall_is_computed(site);
  if (n.has_wall) n.wall_height = site.wall_height->si();
  return n;
}

Gap gap(const ValveSite& site, Length drop, Length lift) {
  const GapNumbers n = gap_numbers(site);
  Gap found{.axial = Length::from_si(n.axial(drop.si(), lift.si())),
            .nearest = site.flat_crown ? Nearest::crown : Nearest::floor};
  found.least = found.axial;
  if (site.sides && !site.flat_crown) found.radial = Length::from_si(n.radial(drop.si()));
  if (!n.has_wall) return found;
  found.wall = std::max(*found.radial, found.axial - *site.wall_height);
  if (*found.wall < found.least) {
    found.least = *found.wall;
    found.nearest = Nearest::wall;
  }
  return found;
}

}  // namespace tautmark::clearance
