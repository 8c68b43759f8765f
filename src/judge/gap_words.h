// SPDX-License-Identifier: Apache-2.0
// Gaps of valves in words, the same in a table, in JSON and on a drawing.
#pragma once

#include <string>
#include <string_view>

#include "clearance/gap_table.h"

namespace tautmark {

// "3 teeth early", "right", "1 tooth late".
std::string teeth_words(int teeth);
// "5.02 mm, no contact expected", "contact by 0.64 mm at the floor of the pocket".
std::string gap_words(const clearance::TableCell& cell);
std::string_view nearest_text(clearance::Nearest nearest);

}  // namespace tautmark
