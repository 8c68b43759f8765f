// SPDX-License-Identifier: Apache-2.0
// A stored case as far as it can be read: one mistake must not take everything else away.
#pragma once

#include <string>
#include <vector>

#include "casework/case.h"
#include "store/cases.h"

namespace tautmark {

// The last head as far as it reads and every entry that reads by itself, in their order. Whether
// they fit together is load_case's to say. `name` where the head gives none.
Case readable_case(const std::string& name, const std::vector<CaseRecord>& records);

// The entry in whose text a line of joined_case(records) stands; empty: in no entry's.
std::string entry_at_line(const std::vector<CaseRecord>& records, int line);

}  // namespace tautmark
