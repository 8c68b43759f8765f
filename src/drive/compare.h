// SPDX-License-Identifier: Apache-2.0
// Two definitions field by field, and what costs an engine when one is taken for the other.
#pragma once

#include <string>
#include <vector>

#include "drive/drive.h"

namespace tautmark {

struct DriveDifference {
  std::string field;           // "chains / timing chain / links"
  std::string here, there;     // as typed; "-": not at all
  std::string where_it_bites;  // a sentence; empty in plain differences
};
struct DriveComparison {
  std::vector<DriveDifference> biting;  // chains, counts, marked links; then how each is told
  std::vector<DriveDifference> fields;  // in the order of the file
  int same = 0;                         // fields
};
// A variant is compared with what it takes over from its base. Texts are compared as typed: 1.102
// in and 27.99 mm differ. Format and name never count.
DriveComparison compare_drives(const Drive& here, const Drive& there);

// "crank: copper single link; bank 1 / camshaft: copper pair, straddling the mark"; "-" if unknown.
std::string marked_links_text(const Chain& chain);

}  // namespace tautmark
