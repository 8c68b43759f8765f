// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>

#include "judge/check.h"

namespace tautmark::checks {

// Why the bore readings at a place do not count, in words; nothing when every cap was torqued.
std::optional<std::string> cap_problem(const CheckInput& input, const EnginePlace& place);

}  // namespace tautmark::checks
