// SPDX-License-Identifier: Apache-2.0
// ./test --long repeats what is random more often.
#pragma once

#include <cstdlib>

namespace tautmark::test {

inline bool are_long() { return std::getenv("TAUTMARK_LONG") != nullptr; }

}  // namespace tautmark::test
