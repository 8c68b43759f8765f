// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "drive/lint_report.h"

namespace tautmark {

// Sizes that no piston engine has, from a clock maker's model to a ship's engine: there a slip of
// the unit is likelier than the number.
void check_sizes(LintReport& report);

}  // namespace tautmark
