// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "drive/lint_report.h"

namespace tautmark {

// Limits against each other: kinds, new range inside the service limit, new clearance against new
// bore and journal, elongation against length over n links, sizes that no engine has.
void check_fits(LintReport& report);

}  // namespace tautmark
