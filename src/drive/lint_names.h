// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "drive/lint_report.h"

namespace tautmark {

// Names that two things bear, or that cannot be part of a place; a thing that drives itself.
void check_names(LintReport& report);

}  // namespace tautmark
