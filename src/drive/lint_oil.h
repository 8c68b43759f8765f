// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "drive/lint_report.h"

namespace tautmark {

// Pressure limits, and the ways of the oil: what each needs, names and places that nothing else
// knows. Whether the ways together make a network that oil can flow in is judge's
// (oil_network.h).
void check_oil(LintReport& report);

}  // namespace tautmark
