// SPDX-License-Identifier: Apache-2.0
// Appending to a case so that it stays readable: see append_entry in load.h for the plain form.
#pragma once

#include <string>

#include "casework/load.h"

namespace tautmark {

// As append_entry; besides, the case with the new entry must load without errors (load_case, drives
// looked up in `folders`). Otherwise nothing is written and the mistakes come back: those of the
// new entry under the name of the case and "new entry", those that were there before at their
// place.
Parsed<std::string> append_checked_entry(const std::string& case_name, Entry entry,
                                         const DriveFolders& folders);

}  // namespace tautmark
