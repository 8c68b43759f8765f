// SPDX-License-Identifier: Apache-2.0
// A stretch of a wave as the API gives it: docs/formats/wave.md.
#pragma once

#include <string>

#include "recording/pyramid.h"

namespace tautmark {

std::string wave_bytes(const Wave& wave);

}  // namespace tautmark
