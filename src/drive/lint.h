// SPDX-License-Identifier: Apache-2.0
// Definitions that are impossible or contradict themselves, found and named, with both places.
#pragma once

#include "drive/load.h"

namespace tautmark {

// Errors: the definition contradicts itself; warnings: it is usable, but weaker than it looks.
Diagnostics lint(const LoadedDrive& loaded);

}  // namespace tautmark
