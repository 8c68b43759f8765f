// SPDX-License-Identifier: Apache-2.0
// What can be refused before a path is laid: counts, radii, the arm and its pivot.
#pragma once

#include <optional>

#include "geometry/path.h"
#include "geometry/path_contact.h"

namespace tautmark {

std::optional<Refusal> check_path(const PathInputs& in);

// +1 when the arm pushes the chain by turning counterclockwise, -1 clockwise, 0 without an arm.
// Expects inputs that check_path passes; refuses an arm that cannot push.
Result<int> arm_sense(const PathInputs& in);

}  // namespace tautmark
