// SPDX-License-Identifier: Apache-2.0
// A stored case as far as it can be read: one mistake must not take everything else away.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "casework/case.h"
#include "store/cases.h"

namespace tautmark {

// The last head as far as it reads and every entry that reads by itself, in their order. Whether
// they fit together is load_case's to say. `name` where the head gives none.
Case readable_case(const std::string& name, const std::vector<CaseRecord>& records);

// Mistakes in the lines of joined_case(records) that say in which entry they are.
Diagnostics with_entries_named(const std::vector<CaseRecord>& records, Diagnostics mistakes);

}  // namespace tautmark
