// SPDX-License-Identifier: Apache-2.0
// Teeth where they really are instead of where the wheel's drawing has them, when asked for
// (DecodeOptions says why not always). Source: signals.md section 5.
#pragma once

#include "recording/decode.h"

namespace tautmark {

// Moves the knots by the spacing given or learned, whose zero is the wheel's; a note says what was
// done, or why not: a wheel with equal zeros or measured angles, a refusal of learn_spacing,
// another wheel's spacing, a correction over 0.35 of a step.
void correct_spacing(Decoded& decoded, const DecodeOptions& options);

}  // namespace tautmark
