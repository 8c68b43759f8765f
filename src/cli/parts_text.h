// SPDX-License-Identifier: Apache-2.0
// Lists of parts as a person reads them, on a screen and on paper.
#pragma once

#include <string>

#include "report/parts_view.h"
#include "report/report.h"

namespace tautmark::cli {

std::string parts_text(const PartsView& view, const TextStyle& style);
std::string coverage_text(const parts::Coverage& coverage, const TextStyle& style);

}  // namespace tautmark::cli
