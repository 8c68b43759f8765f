// SPDX-License-Identifier: Apache-2.0
// One entry more in a stored case, checked as a case file would be.
#pragma once

#include <filesystem>
#include <string>

#include "base/diagnostic.h"
#include "casework/load.h"
#include "store/exchange.h"

namespace tautmark {

struct EntryToAdd {
  Entry entry;             // without an id it gets the next one
  std::string client_key;  // see CaseRecord; or empty
  std::string seat;
};
struct EntryAdded {
  Receipt receipt;
  Entry entry;  // as it was stored
};

// `folder` comes from case_for_reading. The case must load without errors with the entry in it;
// otherwise nothing is written. Who, when, and the sum of a recording's file are filled in where
// they are not said.
tl::expected<EntryAdded, CaseRefused> add_checked_entry(const CaseStore& store,
                                                        const std::string& case_name,
                                                        const std::filesystem::path& folder,
                                                        EntryToAdd wanted,
                                                        const DriveFolders& drives);

// What is wrong with the case in `folder` if its file had this text. Lines that `old_text` did not
// have stand under "new entry".
tl::expected<void, CaseRefused> check_text(const std::filesystem::path& folder,
                                           const TextFile& old_text, const std::string& text,
                                           const DriveFolders& drives);

}  // namespace tautmark
