// SPDX-License-Identifier: Apache-2.0
// Which program an unfinished upload belongs to.
#pragma once

#include <string>

namespace tautmark {

std::string this_owner();
// Only said of programs of this machine; of others nothing is known.
bool is_owner_gone(const std::string& owner);

}  // namespace tautmark
