// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "casework/case_check_report.h"

namespace tautmark {

// Marks whose chain or sprocket is none of the drives', counts that do not say what was counted,
// a strand given twice, words that leave it open how a mark stands.
void check_marks(const CaseCheck& check, const MarksSeen& marks, std::size_t index);

}  // namespace tautmark
