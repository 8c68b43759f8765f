// SPDX-License-Identifier: Apache-2.0
// What the row of a case and its words say of its records: the same when they are written and when
// they are verified.
#pragma once

#include <string>

#include "base/tree.h"
#include "store/case_rows.h"
#include "store/search_words.h"

namespace tautmark {

// The number of "e17"; 0 for any other id.
long long entry_number(const std::string& id);

void derive_head(Node head, const std::string& body, CaseRow& row, WordSet& words);
void derive_entry(const Node& entry, const CaseRecord& record, CaseRow& row, WordSet& words);
// Any record. A text that cannot be read gives nothing.
void derive(const CaseRecord& record, CaseRow& row, WordSet& words);

}  // namespace tautmark
