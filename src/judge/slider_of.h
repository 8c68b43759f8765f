// SPDX-License-Identifier: Apache-2.0
// Crank, rod and piston pin of a definition; a pin offset that is not written is none.
#pragma once

#include "clearance/piston.h"
#include "drive/drive.h"

namespace tautmark {

// Refused: "cylinders: stroke and rod", or what is wrong with them.
Result<clearance::Slider> slider_of(const Drive& drive);

}  // namespace tautmark
