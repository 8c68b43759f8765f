// SPDX-License-Identifier: Apache-2.0
// Pieces of procedure_lint, by what they look at.
#pragma once

#include <fmt/format.h>

#include <string>
#include <string_view>

#include "drive/lint_report.h"
#include "procedure/machine.h"

namespace tautmark::procedure {

inline std::string step_key(std::size_t step) { return fmt::format("procedure[{}]", step); }
inline std::string step_key(std::size_t step, std::string_view field) {
  return fmt::format("procedure[{}].{}", step, field);
}

void lint_fasteners(LintReport& report);
void lint_parts(LintReport& report);
void lint_reaches(LintReport& report, const Plan& plan);

}  // namespace tautmark::procedure
