// SPDX-License-Identifier: Apache-2.0
// Words that people write, without regard to case.
#pragma once

#include <string>
#include <string_view>

namespace tautmark {

// Unicode's full case folding of Latin, Greek and Cyrillic letters (tables in case_fold.cc), so
// that ß is ss; marks over letters stay. Other letters and invalid bytes stay as they are.
std::string case_folded(std::string_view utf8);

}  // namespace tautmark
