// SPDX-License-Identifier: Apache-2.0
// What must hold between the entries of a case, and between a case and its drives.
#pragma once

#include <optional>
#include <string>

#include "casework/load.h"

namespace tautmark {

// Adds every mistake. Entries that could not be read are passed over.
void check_case(const LoadedCase& loaded, Diagnostics& diagnostics);

// What is wrong with a file name that must lie inside the case folder; nothing when it may.
std::optional<std::string> path_problem(const std::string& file);

}  // namespace tautmark
