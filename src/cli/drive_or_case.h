// SPDX-License-Identifier: Apache-2.0
// Commands that take a definition or a case: DRIVE is a name or a file *.drive.yaml, anything else
// that is a case file, a folder, a packed case or store:NAME is a CASE.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/case_source.h"

namespace tautmark::cli {

struct DriveOrCase {
  std::optional<CaseSource> work;  // empty: a definition was named
  // The definition; of a case with several candidates there is one for each.
  std::vector<LoadedDrive> drives{};
};
Parsed<DriveOrCase> read_drive_or_case(const std::string& name,
                                       const std::vector<std::string>& drives);

}  // namespace tautmark::cli
