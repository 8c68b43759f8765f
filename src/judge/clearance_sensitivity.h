// SPDX-License-Identifier: Apache-2.0
// How every pressure of a circuit answers to every clearance of it, at the middle of what the
// gauges told: linear (oil/sensitivity.h), by one micrometer of diametral clearance, of a slot its
// height. A clearance that grows by a third or more needs a new solution (solved_with of
// oil_told.h).
#pragma once

#include <string>
#include <vector>

#include "judge/oil_told.h"

namespace tautmark {

struct ClearanceSensitivity {
  std::string clearance;           // place of a journal, else name of a way
  std::vector<Pressure> for_um{};  // by node of the circuit; below 0: it loses
};
// In the order of the ways. Empty where the network explains nothing.
std::vector<ClearanceSensitivity> clearance_sensitivities(const OilTold& told);

}  // namespace tautmark
