// SPDX-License-Identifier: Apache-2.0
// A torque spelled out in both unit systems.
#pragma once

#include <string>

#include "base/quantity.h"
#include "base/written.h"

namespace tautmark {

// "35 N·m (newton meters), 25.8 lbf·ft (pound-force feet)": as typed first, then in the units of
// the other side; lbf·in below 20 N·m. Converted figures are cut, never rounded up: no wrench is
// set to more than was entered.
std::string spelled_torque(const Written<Torque>& torque);

}  // namespace tautmark
