// SPDX-License-Identifier: Apache-2.0
// One entry more in a stored case, checked as a case file would be.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

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

// The case as it is now is read in `scratch` (case_for_reading) and must load without errors that
// it did not have before, with the entry in it; otherwise nothing is written. When another seat
// wrote in between it is checked again, a few times, then `moved_on`. Who, when, and the sum of a
// recording's file are filled in where they are not said.
tl::expected<EntryAdded, CaseRefused> add_checked_entry(const CaseStore& store,
                                                        const std::string& case_name,
                                                        const std::filesystem::path& scratch,
                                                        EntryToAdd wanted,
                                                        const DriveFolders& drives);

// A new head, by the same rules; `head_of` makes its text from the records that are there.
using HeadOf = std::function<std::string(const std::vector<CaseRecord>&)>;
tl::expected<Receipt, CaseRefused> change_checked_head(
    const CaseStore& store, const std::string& case_name, const std::filesystem::path& scratch,
    const HeadOf& head_of, const std::string& seat, const DriveFolders& drives);

// A file whose bytes are stored, by the same rules: a drive file must be readable, and the case
// must load with it. Names: file_name_problem, and none that stands in the way of one that is
// there.
tl::expected<Receipt, CaseRefused> attach_checked(const CaseStore& store,
                                                  const std::string& case_name,
                                                  const std::filesystem::path& scratch,
                                                  const StoredFile& file, const std::string& seat,
                                                  const DriveFolders& drives);

// Why a file of this name cannot be added, before its bytes are sent.
std::optional<std::string> new_file_problem(const std::string& name,
                                            const std::vector<StoredFile>& there);

}  // namespace tautmark
