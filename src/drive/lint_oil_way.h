// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "drive/lint_report.h"

namespace tautmark {

// One way of the oil by itself: what its kind is nothing without, what its kind does not use, sizes
// and ends that cannot be meant. `path` is its key in the file.
void check_oil_way(LintReport& report, const OilElement& way, const std::string& path);

}  // namespace tautmark
