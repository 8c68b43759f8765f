// SPDX-License-Identifier: Apache-2.0
// What a case says of the drive, for the drawing: which wheels stand off, and what is worn.
#pragma once

#include "draw/figure_of_drive.h"
#include "judge/check.h"

namespace tautmark {

// Wheels that the link counts prove to stand off, measured elongation and grooves; the crank at its
// marks. `input.drive` must be there.
FigureState figure_state_of(const CheckInput& input);

}  // namespace tautmark
