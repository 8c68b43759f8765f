// SPDX-License-Identifier: Apache-2.0
// What every text file must satisfy before any parser sees it.
#pragma once

#include "base/tree.h"

namespace tautmark {

enum class IndentRule { no_tabs, tabs_allowed };

// Binary junk, invalid UTF-8 and (for YAML) tabs as indentation, each with its place.
Diagnostics text_check(const TextFileRef& file, IndentRule rule);

}  // namespace tautmark
