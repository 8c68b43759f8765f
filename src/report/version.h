// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

namespace tautmark {

std::string program_version();  // "tautmark 0.1.0"

}  // namespace tautmark
