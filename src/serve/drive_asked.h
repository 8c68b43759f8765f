// SPDX-License-Identifier: Apache-2.0
// A definition that a request is about. Not for use outside src/serve.
#pragma once

#include <string>
#include <vector>

#include "drive/load.h"
#include "serve/answer.h"
#include "serve/shop.h"

namespace tautmark {

// By name only: a path would reach any file of the machine.
Answered<LoadedDrive> drive_asked(Shop& shop, const std::string& name);
// Files by their names, without our folders.
std::vector<Mistake> drive_mistakes(const Diagnostics& found);
DriveCheck check_of(const LoadedDrive& drive);

}  // namespace tautmark
