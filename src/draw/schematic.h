// SPDX-License-Identifier: Apache-2.0
// Made-up places for the wheels of a drive without coordinates, so that it can be drawn: teeth,
// links and their counts are true, distances and directions are not.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "drive/drive.h"

namespace tautmark {

struct Schematic {
  Drive drive;                       // every chain with a path
  std::vector<std::string> assumed;  // what had to be made up besides places: pitch, teeth, links
};

// A chain that has a path keeps it when all chains have one; mixed, all are laid anew. Refuses
// where a chain has too few links for its wheels, or where the crankshaft's teeth are not known.
Result<Schematic> schematic_of(const Drive& drive);

}  // namespace tautmark
