// SPDX-License-Identifier: Apache-2.0
// The entries of a case as lines of text.
#pragma once

#include <string>

#include "casework/load.h"
#include "report/report.h"

namespace tautmark::cli {

// Title, drives, then one entry after the other: id, time, who, kind, what it says. An entry that a
// later one replaces says so.
std::string case_text(const LoadedCase& loaded, const TextStyle& style);

}  // namespace tautmark::cli
