// SPDX-License-Identifier: Apache-2.0
// Case folders into a store and out of it, without loss, and one store into another.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "drive/load.h"
#include "store/cases.h"

namespace tautmark {

// The text of a case file cut into records: head, entries, tail. A YAML file whose entries are its
// last key in block style is cut as it stands, every byte kept. Any other (JSON, entries in the
// middle, flow style, a byte order mark) is written anew with the same values; `rewritten` says so.
struct CutCase {
  std::vector<NewRecord> records;
  bool rewritten = false;
};
Parsed<CutCase> cut_case(const std::string& shown_name, const std::string& text);

// The case file that the records make: the last head, the entries in order, the last tail.
std::string joined_case(const std::vector<CaseRecord>& records);

struct ImportOptions {
  std::optional<std::string> name;  // in the store; default: the case's own
  std::string seat;
  DriveFolders drives;
};
// Either mistakes of what came in, at their places, or what the store says.
struct CaseRefused {
  Diagnostics mistakes;
  std::optional<StoreError> error;
};
struct Imported {
  CaseSummary summary;
  std::int64_t records_added = 0;  // 0: it was there already
  bool rewritten = false;
};
// A case folder or case file with everything beside it. A folder that came out of a store carries
// record.jsonl: then the chain itself is taken over, and a case of the same uid that is there grows
// by what is new (or, when the two have grown apart, nothing is written and the place is named).
// `load_case` must accept the case; mistakes come back as they stand.
tl::expected<Imported, CaseRefused> import_case(const CaseStore& store,
                                                const std::filesystem::path& folder,
                                                const ImportOptions& options);

// Writes case.yaml, its files and record.jsonl into a folder that does not exist yet, whole or not
// at all. Drives of the folders that the case names are written beside it, unless they lie there.
Stored<void> export_case(const CaseStore& store, const std::string& name,
                         const std::filesystem::path& folder, const DriveFolders& drives,
                         const std::string& who);

// The case as a folder to read from; `folder` must not exist yet. With `to_load` there are only
// case.yaml and what may be a drive; the other files are there by name and empty, which is all that
// load_case asks: their bytes are fetched when somebody reads them.
enum class FilesWanted { all, to_load };
struct CaseForReading {
  CaseSummary summary;  // of the state that was written
  std::vector<StoredFile> files;
};
Stored<CaseForReading> case_for_reading(const CaseStore& store, const std::string& name,
                                        const std::filesystem::path& folder, FilesWanted wanted);

// One file of the store, checked by its SHA-256, as `name` in a folder that must not exist yet.
Stored<void> write_stored_file(const Database& database, const std::string& sha256,
                               const std::filesystem::path& folder, const std::string& name);

// Everything of one store into another that is empty, in one state of the first, while it is in
// use: back-up (into a new file), restore, and the way from the embedded store to a server.
// `progress` hears the rows done. The copy is verified before it is called done.
Stored<void> copy_store(const Database& from, const Database& to,
                        const std::function<void(std::int64_t rows)>& progress = {});

struct CopyOptions {
  std::function<void(std::int64_t rows)> progress;
  std::function<Stored<void>()> note;  // after the copy, before a new file has its name; may refuse
};
// The same into a store that may not exist yet. A new file is made as "FILE.<pid>.part" and has its
// name only when it is whole; what killed copies of that name left behind goes first. Any other
// store in which a copy was cut off is refused by Database::open until it is made again.
Stored<void> copy_store(const Database& from, const StoreAddress& target,
                        const CopyOptions& options);

}  // namespace tautmark
