// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "base/quantity.h"
#include "drive/lint_report.h"

namespace tautmark {

// Sizes that no piston engine has, from a clock maker's model to a ship's engine: there a slip of
// the unit is likelier than the number.
void check_sizes(LintReport& report);

// Beyond these a valve is still computed with, but its figures count as not proven: a slip
// of unit or digit is likelier. Common practice, no source.
inline constexpr Length kMostProvenLift = mm(30);
inline constexpr Length kMostProvenGap = mm(20);

}  // namespace tautmark
