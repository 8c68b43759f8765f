// SPDX-License-Identifier: Apache-2.0
#include "cli/drive_or_case.h"

#include <filesystem>

#include "cli/commands.h"
#include "judge/judge.h"

namespace tautmark::cli {

bool names_a_case(const std::string& name) {
  if (name_in_store(name)) return true;
  std::error_code code;
  const std::filesystem::path path = name;
  return std::filesystem::exists(path, code) &&
         path.filename().string().find(".drive.") == std::string::npos;
}

Parsed<DriveOrCase> read_drive_or_case(const std::string& name,
                                       const std::vector<std::string>& drives) {
  if (names_a_case(name)) {
    auto source = read_case(name, drives);
    if (!source) return tl::make_unexpected(source.error());
    DriveOrCase result{.work = std::move(*source)};
    for (const LoadedDrive* drive : drives_in_use(result.work->value))
      result.drives.push_back(*drive);
    return result;
  }
  auto loaded = load_drive(name, drive_folders(drives, name));
  if (!loaded) return tl::make_unexpected(loaded.error());
  DriveOrCase result;
  result.drives.push_back(std::move(*loaded));
  return result;
}

}  // namespace tautmark::cli
