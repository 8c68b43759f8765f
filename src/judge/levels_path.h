// SPDX-License-Identifier: Apache-2.0
// The level of a definition that rests on where things lie.
#pragma once

#include <string_view>
#include <vector>

#include "judge/levels.h"

namespace tautmark {

inline constexpr std::string_view kGeometryLevel = "2  marks and geometry";

std::vector<Capability> path_capabilities(const Drive& drive);

}  // namespace tautmark
