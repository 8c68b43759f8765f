// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "drive/lint_report.h"

namespace tautmark {

// Names of wheels in strands, marks, paths and gears that the drive does not know.
void check_wheels(LintReport& report);

}  // namespace tautmark
