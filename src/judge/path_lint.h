// SPDX-License-Identifier: Apache-2.0
// Do the coordinates of a definition fit its chain, its tensioner and its marks? Found by solving
// every path as new and at its wear limits.
#pragma once

#include "base/diagnostic.h"
#include "drive/load.h"

namespace tautmark {

// Errors: a chain that does not fit its path, sprockets that overlap, a plunger outside its stroke
// as new, a mark that the link counts put elsewhere. Warnings: the plunger runs out before the
// chain's limit, contact beyond the end of a face, a face that cuts into a sprocket, an odd number
// of links. Nothing for chains without a path.
Diagnostics path_lint(const LoadedDrive& loaded);

}  // namespace tautmark
