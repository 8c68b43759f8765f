// SPDX-License-Identifier: Apache-2.0
// Which of the wrenches on the list fits a tightening step.
//
// Usable: from the larger of the lowest marked value and 20 % of the maximum, to the maximum
// (ISO 6789:2003 verifies at 20, 60 and 100 %; ISO 6789-1:2017 starts at the lowest marked value;
// both read in summaries). Deviation where none is written, setting wrenches of class A: 4 % above
// 10 N·m of maximum, 6 % up to it. Preferred is 40 to 90 % of the maximum; ties go to the smaller
// wrench. Below its range the relative error of a wrench grows as 1/torque: refused, not warned.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::tighten {

struct Wrench {
  std::string name{};
  std::optional<Torque> lowest{};     // lowest marked value
  Torque highest{};                   // maximum
  std::optional<double> deviation{};  // permissible, as a ratio; empty: ISO 6789 class A
  bool out_of_calibration = false;
};

double deviation_of(const Wrench& wrench);
Torque usable_from(const Wrench& wrench);

struct WrenchFit {
  std::size_t index = 0;  // in the list given
  bool fits = false;
  double of_maximum = 0;
  Torque low{}, high{};  // what the bolt then gets, within the deviation
  std::string why{};     // a sentence: why it does not fit, or what is to be said beside it
};

// Every wrench of the list, the best first; those that do not fit come after, with the reason.
std::vector<WrenchFit> choose_wrench(Torque setting, std::span<const Wrench> wrenches);

}  // namespace tautmark::tighten
