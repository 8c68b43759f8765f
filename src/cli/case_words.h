// SPDX-License-Identifier: Apache-2.0
// A case entry said on the command line: "key=value" texts, read by the field descriptions.
#pragma once

#include <string>
#include <vector>

#include "casework/case.h"

namespace tautmark::cli {

// A date, a date with time, or "now" (local time, to the minute).
FromText<Date> date_said(const std::string& text);

// kind: as in a case file; - and _ stand for blanks too. A list is written a;b. A key inside a
// group is written group.key. Mistakes point into the words, under the name "new entry".
Parsed<Entry> entry_said(const std::string& kind, const std::vector<std::string>& given,
                         const TextRules& rules);

// One line per kind; and all keys of one kind with help and example. Empty: no such kind.
std::string entry_kinds_help();
std::string entry_kind_help(const std::string& kind);

}  // namespace tautmark::cli
