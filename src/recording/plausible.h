// SPDX-License-Identifier: Apache-2.0
// Whether what was decoded can be an engine at all.
#pragma once

#include <optional>

#include "base/diagnostic.h"
#include "recording/decode.h"

namespace tautmark {

// Notes go to `decoded`: a median speed outside 20 to 20000 1/min (the unit of time may be wrong);
// a crank of under 6 teeth a turn beside cams that all have as many edges, or nearly, a cycle (the
// crank's own signal may be missing and a cam stand for it). A refusal: a median speed outside 1 to
// 100000 1/min. The limits are this program's: cranking by hand is above the lower ones, no piston
// engine reaches the upper ones.
std::optional<Refusal> doubt_engine(Decoded& decoded);

}  // namespace tautmark
