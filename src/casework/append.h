// SPDX-License-Identifier: Apache-2.0
// Appending to a case so that it stays readable: see append_entry in load.h for the plain form.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "casework/load.h"

namespace tautmark {

// A case file's text with one entry more, and the id of that entry: its own, or the next free one.
// A YAML text keeps every byte that it had. Refused where the entries are not the last key.
struct CaseText {
  std::string id;
  std::string text;
};
Parsed<CaseText> with_entry(const TextFileRef& file, Entry entry);

// File and sum of an entry whose file is summed when it is entered; null for others.
struct SummedFile {
  const std::string* name = nullptr;
  std::optional<std::string>* sum = nullptr;
};
SummedFile summed_file(EntryBody& body);

// What is wrong with the case as it would be: `beside` holds the new text of the case file `path`,
// in the same folder. Mistakes of new lines stand under the name of the case and "new entry".
Diagnostics mistakes_of_new(const std::filesystem::path& path, const TextFile& old_text,
                            const std::filesystem::path& beside, const DriveFolders& folders);

// As append_entry; besides, the case with the new entry must load without errors (load_case, drives
// looked up in `folders`). Otherwise nothing is written and the mistakes come back: those of the
// new entry under the name of the case and "new entry", those that were there before at their
// place.
Parsed<std::string> append_checked_entry(const std::string& case_name, Entry entry,
                                         const DriveFolders& folders);

}  // namespace tautmark
