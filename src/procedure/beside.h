// SPDX-License-Identifier: Apache-2.0
// Drives of one family side by side, as the person reads them who must not take one for the other:
// how each is told, marks, link counts, tensioner, bolts and torques, parts, the steps of the work.
//
// Values are as typed: 10 N·m and 89 lbf·in differ. A value that a variant took over from its base
// and that bites when wrongly taken over (drive/load.h, unconfirmed) is marked; a row with such a
// value is never counted as equal.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "drive/load.h"

namespace tautmark::procedure {

inline constexpr std::string_view kNotInDefinition = "not in the definition";
inline constexpr std::string_view kNotConfirmed = "taken over, not confirmed";

struct BesideCell {
  std::string text{};           // empty: not in the definition
  bool is_unconfirmed = false;  // taken over from the base, not confirmed for this variant
};
struct BesideRow {
  std::string group{}, what{};      // "bolts and torques", "phaser bolt: thread"
  std::vector<BesideCell> cells{};  // of each drive, in the order given
  bool is_same = false;
};
struct Beside {
  std::vector<const Drive*> drives{};
  std::vector<BesideRow> rows{};
  int same = 0;  // rows that are equal, shown or not
};
// The drives must outlive it. Rows of one group stand together.
Beside beside(std::span<const LoadedDrive* const> drives, bool with_equal = false);

}  // namespace tautmark::procedure
