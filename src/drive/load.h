// SPDX-License-Identifier: Apache-2.0
// From a file name to a drive: reading, laying a variant over its base, and what is remembered for
// later messages.
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "base/fields.h"
#include "drive/drive.h"

namespace tautmark {

// Where drives are looked for by name: <folder>/<name>.drive.yaml or .drive.json.
struct DriveFolders {
  std::vector<std::filesystem::path> folders;
};

struct LoadedDrive {
  Drive drive;
  Places places;         // of every key, in the file that it came from
  Diagnostics warnings;  // lint, see lint.h; errors too where the definition contradicts itself
  std::string sha256;    // of the file; of a variant: of its own sum and its base's, in hexadecimal
  // Of a case: it lies beside the case, and the shop's folders hold another one of this name.
  bool differs_from_shop = false;
  // What a variant took over from its base without confirming it: topic -> path.
  std::map<std::string, std::string> unconfirmed;
};

// A name (looked up in the folders) or a path to a drive file. Not readable: every mistake.
// Contradictions of a readable definition are in `warnings`.
Parsed<LoadedDrive> load_drive(const std::string& name_or_path, const DriveFolders& folders);
Parsed<LoadedDrive> load_drive_text(const TextFileRef& file, const DriveFolders& folders);

// The files that a drive stands on: its own, then its base's, and so on, as they are found.
Parsed<std::vector<std::filesystem::path>> drive_files(const std::string& name_or_path,
                                                       const DriveFolders& folders);

bool is_drive_name(const std::string& text);  // letters, digits, - and _: no path
std::vector<std::string> drives_in(const DriveFolders& folders);

// A variant laid over its base: groups of keys merge, lists merge by the name (or place) of their
// items, a key without value removes the inherited one. Steps of the procedure are put in their
// place (variant_steps.h). Name, revision, checks and recognition marks are never inherited; the
// base's source goes with the base's numbers.
Node laid_over(const Node& base, const Node& variant);

}  // namespace tautmark
