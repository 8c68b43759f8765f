// SPDX-License-Identifier: Apache-2.0
// How a variant changes single steps of the procedure that it takes over:
//
//   - {name: X, gate: photo}       the base's step X, its gate changed
//   - {name: X, remove: true}      the base's step X goes
//   - {name: N, after: X, what: …} a new step behind X; "after" on a taken-over step moves it
//   - {name: N, what: …}           a new step behind all others
//
// Names are compared without regard to case and blanks. "after" may name a step that the variant
// adds or removes; of several with the same one the order is that of the variant.
#pragma once

#include "drive/load.h"

namespace tautmark {

// Of a variant already merged with its base: steps in their places, the keys "after" and "remove"
// that were followed taken out. One that names no step stays, for check_placed_steps to report.
Node with_placed_steps(Node merged, const Node& base, const Node& variant);

// Adds an error for each "after" or "remove" that no step of a base answers to, and for each step
// without words.
void check_placed_steps(const LoadedDrive& loaded, Diagnostics& out);

}  // namespace tautmark
