// SPDX-License-Identifier: Apache-2.0
// Commands that take DRIVE or CASE: a case is a folder, a pack or a case file that is there, or
// lies in the store; everything else is a drive.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/case_source.h"

namespace tautmark::cli {

bool names_a_case(const std::string& name);

struct DriveOrCase {
  std::optional<CaseSource> work;  // empty: a definition was named
  // The definition; of a case those it is judged by: of candidates the one identified, or each.
  std::vector<LoadedDrive> drives{};
};
Parsed<DriveOrCase> read_drive_or_case(const std::string& name,
                                       const std::vector<std::string>& drives);

}  // namespace tautmark::cli
