// SPDX-License-Identifier: Apache-2.0
// What a definition can answer, level by level, what it cannot, and the few numbers that would
// unlock the next answer, with how to get them on the engine in the bay.
#pragma once

#include <string>
#include <vector>

#include "drive/load.h"

namespace tautmark {

struct Missing {
  std::string what;  // as a key of the drive file would hold it
  std::string how;   // how to get it
};

struct Capability {
  std::string level;             // "1 counts and marks"
  std::string question;          // "Do the link counts add up?"
  std::vector<Missing> missing;  // empty: the definition can answer it
  std::string detail;            // the answer itself where it follows from the definition alone
};

std::vector<Capability> capabilities(const LoadedDrive& drive);

}  // namespace tautmark
