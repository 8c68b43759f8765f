// SPDX-License-Identifier: Apache-2.0
// The rules of machine.h as a table.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "procedure/facts.h"

namespace tautmark::procedure {

// Of the same bank as the fact that is given, where it is of banks; of every bank otherwise.
struct RuleNeed {
  Item item{};
  int value = 0;
  int or_value = -1;  // this one does as well
};
// Who gives the fact needs the others before it.
struct Rule {
  Item item{};
  int value = 0;
  std::vector<RuleNeed> needs{};
  bool may_override = true;
  bool holds_after = false;  // the step itself may not end them either
  std::string_view why{};
};
const std::vector<Rule>& rules();

// Of turning the crankshaft by hand. "marks confirmed": or recorded, with the chain as found.
std::span<const RuleNeed> turn_needs();
inline constexpr std::string_view kTurnWhy =
    "the crankshaft is turned by hand only with the chain on, the tensioner released, the "
    "camshafts free, caps and phaser bolts tightened, the phasers locked and the marks confirmed, "
    "and only as the turning answer allows";
inline constexpr std::string_view kLostWhy =
    "something is lost in the engine: nothing is turned before it is found";

}  // namespace tautmark::procedure
