// SPDX-License-Identifier: Apache-2.0
// Definitions that are impossible or contradict themselves, found and named, with both places.
#pragma once

#include "drive/load.h"

namespace tautmark {

// Errors: the definition contradicts itself; warnings: it is usable, but weaker than it looks.
Diagnostics lint(const LoadedDrive& loaded);

// More of something than any engine has: nothing further is computed from such a file.
Diagnostics check_amounts(const LoadedDrive& loaded);

}  // namespace tautmark
