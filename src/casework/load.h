// SPDX-License-Identifier: Apache-2.0
// From a case file or folder to a case, with everything that is wrong in it, and appending to it.
#pragma once

#include <filesystem>
#include <functional>
#include <string>

#include "base/fields.h"
#include "casework/case.h"
#include "drive/load.h"

namespace tautmark {

struct LoadedCase {
  Case value;
  Places places;
  std::string sha256;               // of the case file
  std::filesystem::path file;       // as opened
  std::string shown_name;           // as the user named it
  std::vector<LoadedDrive> drives;  // one per candidate; empty: no drive
};

// The case file that CASE means: itself, or case.yaml or case.json in a folder.
Parsed<std::filesystem::path> case_file_of(const std::string& case_name);

// CASE is a case file or its folder (then case.yaml or case.json in it). Drives are looked up by
// name: beside the case, then in `folders`. Attachments must lie inside the case folder and exist.
// `more` adds what a later module knows of the case's mistakes, so that all are said in one go.
using MoreCaseChecks = std::function<Diagnostics(const LoadedCase&)>;
Parsed<LoadedCase> load_case(const std::string& case_name, const DriveFolders& folders,
                             const MoreCaseChecks& more = {});

// Appends one entry to a YAML case file. The text that is there is not touched. The entry gets the
// next free id; the new text is written beside the file and takes its place in one step.
Parsed<std::string> append_entry(const std::string& case_name, Entry entry);

}  // namespace tautmark
