// SPDX-License-Identifier: Apache-2.0
// The files that entries name, against the sums that entries carry.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "base/tree.h"
#include "casework/case.h"
#include "casework/pack.h"

namespace tautmark {

// The case file by itself: whether its drives are found is not asked.
Parsed<Case> read_case_alone(const TextFileRef& file);

// `sum_of` gives the SHA-256 of a file of the case, nothing where there is none. Corrected entries
// count too: what they name was evidence.
CaseChecked check_sums(const Case& value,
                       const std::function<std::optional<std::string>(const std::string&)>& sum_of);

}  // namespace tautmark
