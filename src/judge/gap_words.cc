// SPDX-License-Identifier: Apache-2.0
#include "judge/gap_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "judge/valve_gaps.h"

namespace tautmark {

using clearance::Contact;
using clearance::Nearest;
using clearance::TableCell;

std::string teeth_words(int teeth) {
  if (teeth == 0) return "right";
  const int count = std::abs(teeth);
  return fmt::format("{} {} {}", count, count == 1 ? "tooth" : "teeth",
                     teeth > 0 ? "early" : "late");
}

std::string_view nearest_text(Nearest nearest) {
  switch (nearest) {
    case Nearest::floor:
      return "floor of the pocket";
    case Nearest::crown:
      return "crown of the piston";
    case Nearest::wall:
      return "wall of the pocket";
    case Nearest::other_valve:
      break;
  }
  return "other valve";
}

// The part that decides is named where it is not the floor and something is wanting.
std::string gap_words(const TableCell& cell) {
  if (!cell.axial) return "not known";
  const double gap = in_mm(*cell.axial);
  const bool other = cell.nearest == Nearest::wall || cell.nearest == Nearest::other_valve;
  if (cell.contact == Contact::expected && !other)
    return fmt::format("contact by {:.2f} mm", std::abs(gap));
  if (cell.contact == Contact::none_expected || !other)
    return fmt::format("{:.2f} mm, {}", std::max(gap, 0.0), contact_text(cell.contact));
  return fmt::format("{} at the {}", contact_text(cell.contact), nearest_text(cell.nearest));
}

}  // namespace tautmark
