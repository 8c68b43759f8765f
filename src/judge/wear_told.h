// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "judge/gauges_together.h"
#include "oil/explain.h"

namespace tautmark {

// Before all bearings are measured: which worn or blocked place explains the gauges, from the
// network with those that were, and the others as new.
struct WearTold {
  GaugesTogether gauges{};
  oil::WearExplanation wear{};
  std::vector<std::string> measured{};  // journals: no suspects
  std::vector<std::string> evidence{};
};
// None: no ways in the definition, no gauges together, or every journal of the lowest head is
// measured, which tells more.
std::optional<WearTold> wear_told(const CheckInput& input);

}  // namespace tautmark
