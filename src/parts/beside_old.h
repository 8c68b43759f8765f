// SPDX-License-Identifier: Apache-2.0
// New laid beside old: what was found different, and what of a fitted part nobody compared. Not for
// use outside src/parts.
#pragma once

#include <vector>

#include "parts/conflicts.h"
#include "parts/said.h"

namespace tautmark::parts {

void add_beside_old(const Drive& drive, const CaseSaid& said, std::vector<Conflict>& found);

}  // namespace tautmark::parts
