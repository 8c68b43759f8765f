// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <soci/soci.h>

#include <algorithm>
#include <fstream>
#include <map>

#include "base/hash.h"
#include "casework/load.h"
#include "store/case_rows.h"
#include "store/case_text.h"
#include "store/exchange.h"
#include "store/record_file.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

struct CaseFolder {
  fs::path folder, case_file;
  std::vector<std::string> files;  // beside the case file, by name
};

CaseFolder look_at(const fs::path& case_file) {
  CaseFolder found;
  found.case_file = case_file;
  found.folder = case_file.has_parent_path() ? case_file.parent_path() : fs::path(".");
  constexpr std::size_t kMostFiles = 20'000;
  for (auto at = fs::recursive_directory_iterator(found.folder); at != fs::end(at); ++at) {
    const std::string name = at->path().lexically_relative(found.folder).generic_string();
    const auto status = at->symlink_status();
    if (fs::is_symlink(status))
      abandon(StoreTrouble::refused,
              fmt::format("\"{}\" is a symbolic link; put the file itself there", name));
    if (fs::is_directory(status)) continue;
    if (!fs::is_regular_file(status))
      abandon(StoreTrouble::refused, fmt::format("\"{}\" is no ordinary file", name));
    if (name == case_file.filename().generic_string() || name == kRecordFile) continue;
    found.files.push_back(name);
    if (found.files.size() > kMostFiles)
      abandon(StoreTrouble::refused,
              fmt::format("more than {} files lie beside the case", kMostFiles));
  }
  std::sort(found.files.begin(), found.files.end());
  return found;
}

StoredFile store_file(const CaseStore& store, const CaseFolder& folder, const std::string& name) {
  BlobWriter writer(store.shared_database());
  std::ifstream in(folder.folder / name, std::ios::binary);
  std::vector<char> buffer(kMostPieceBytes);
  const auto checked = [](auto stored) {
    if (!stored) throw Abandon{stored.error()};
    return stored;
  };
  while (in) {
    in.read(buffer.data(), static_cast<std::streamsize>(buffer.size()));
    checked(writer.add({buffer.data(), static_cast<std::size_t>(in.gcount())}));
  }
  if (!in.eof()) abandon(StoreTrouble::refused, fmt::format("\"{}\" cannot be read", name));
  StoredFile file = *checked(writer.finish());
  file.name = name;
  return file;
}

NewRecord file_record(const StoredFile& file) {
  NewRecord record;
  record.kind = RecordKind::file;
  record.body = file_record_body(file);
  return record;
}

// A drive that this shop has in its folders just so is not part of the case.
bool is_drive_of_shop(const CaseFolder& folder, const std::string& name,
                      const DriveFolders& drives) {
  if (!name.ends_with(".drive.yaml") && !name.ends_with(".drive.json")) return false;
  const auto own = load_text_file(folder.folder / name, name);
  return own && std::any_of(drives.folders.begin(), drives.folders.end(), [&](const fs::path& at) {
           std::error_code code;
           if (fs::equivalent(at, folder.folder, code)) return false;
           const auto other = load_text_file(at / name, name);
           return other && (*other)->text == (*own)->text;
         });
}

// What the folder has that its chain has not: entries and files that were added by hand.
std::vector<NewRecord> additions(const CaseStore& store, const CaseFolder& folder,
                                 const RecordFile& chain, const CutCase& cut,
                                 const ImportOptions& options) {
  std::map<std::string, std::string> entries;
  std::map<std::string, StoredFile> files;
  std::string head, tail;
  for (const CaseRecord& record : chain.records) {
    if (record.kind == RecordKind::head) head = record.body;
    if (record.kind == RecordKind::tail) tail = record.body;
    if (record.kind == RecordKind::entry) entries[record.entry_id] = record.body;
    if (record.kind == RecordKind::file)
      if (const auto file = file_of_record(record.body)) files[file->name] = *file;
  }
  std::vector<NewRecord> added;
  if (cut.records.empty()) return added;
  const auto same_text = [](std::string a, std::string b) {
    for (std::string* text : {&a, &b})
      while (text->ends_with('\n')) text->pop_back();
    return a == b;
  };
  // The line "entries:" comes and goes with the entries.
  const auto same_head = [&](const std::string& a, const std::string& b) {
    const auto without = [](std::string text) {
      while (text.ends_with('\n')) text.pop_back();
      const auto line = text.rfind('\n') + 1;
      return text.compare(line, 8, "entries:") == 0 ? text.substr(0, line) : text;
    };
    return same_text(a, b) || same_text(without(a), without(b));
  };
  std::size_t seen = 0;
  std::string new_tail;
  for (const NewRecord& record : cut.records) {
    if (record.kind == RecordKind::head && !same_head(record.body, head)) added.push_back(record);
    if (record.kind == RecordKind::tail) new_tail = record.body;
    if (record.kind != RecordKind::entry) continue;
    const auto there = entries.find(record.entry_id);
    if (there == entries.end()) {
      added.push_back(record);
    } else if (++seen; !same_text(there->second, record.body)) {
      abandon(StoreTrouble::differs,
              fmt::format("entry \"{}\" of the case file is not what its record says: it was "
                          "changed outside; without record.jsonl the folder can be taken in as a "
                          "case of its own",
                          record.entry_id));
    }
  }
  if (seen != entries.size())
    abandon(StoreTrouble::differs,
            fmt::format("the case file has {} of the {} entries of its record; without "
                        "record.jsonl the folder can be taken in as a case of its own",
                        seen, entries.size()));
  if (!same_text(new_tail, tail)) {
    NewRecord record;
    record.kind = RecordKind::tail;
    record.body = new_tail;
    added.push_back(std::move(record));
  }
  for (const std::string& name : folder.files) {
    const auto there = files.find(name);
    if (there == files.end()) {
      if (!is_drive_of_shop(folder, name, options.drives))
        added.push_back(file_record(store_file(store, folder, name)));
    } else if (store_file(store, folder, name).sha256 != there->second.sha256) {
      abandon(StoreTrouble::differs,
              fmt::format("the file \"{}\" has other bytes than its record says", name));
    }
    files.erase(name);
  }
  if (!files.empty())
    abandon(StoreTrouble::differs, fmt::format("the file \"{}\" of the record is not in the folder",
                                               files.begin()->first));
  return added;
}

// What was added by hand and taken in before is not taken in again.
std::vector<NewRecord> still_missing(soci::session& session, const CaseRow& row,
                                     std::vector<NewRecord> added) {
  each_record(session, row.id, 0, [&](const CaseRecord& record) {
    std::erase_if(added, [&](const NewRecord& wanted) {
      return wanted.kind == record.kind && wanted.entry_id == record.entry_id &&
             (wanted.body == record.body || wanted.body + "\n" == record.body);
    });
  });
  return added;
}

// The records of the chain that the store has not; the two must be one up to there.
std::vector<CaseRecord> missing_records(soci::session& session, const CaseRow& row,
                                        const RecordFile& chain) {
  std::size_t common = 0;
  each_record(session, row.id, 0, [&](const CaseRecord& record) {
    if (common >= chain.records.size()) return;
    if (chain.records[common].hash != record.hash)
      abandon(StoreTrouble::differs,
              fmt::format("the case in the store and the one in the folder have grown apart: their "
                          "record {} differs; nothing was written",
                          record.seq));
    ++common;
  });
  return {chain.records.begin() + static_cast<std::ptrdiff_t>(common), chain.records.end()};
}

Imported import_chain(const CaseStore& store, const RecordFile& chain,
                      const std::vector<NewRecord>& added, const std::string& name,
                      const ImportOptions& options) {
  const Database& database = store.database();
  auto done = database.write_value<Imported>([&](soci::session& session) {
    Imported imported;
    auto there = case_row_of_uid(database, session, chain.uid, Lock::yes);
    const bool is_new = !there;
    CaseRow row = there ? *there : insert_case(session, chain.uid, name);
    const std::int64_t before = row.summary.head_seq;
    auto records = missing_records(session, row, chain);
    const std::string wanted_hash = records.empty() ? "" : records.back().hash;
    if (!records.empty()) write_records(database, session, row, records);
    if (!wanted_hash.empty() && row.summary.head_hash != wanted_hash)
      abandon(StoreTrouble::differs, "the chain of the folder does not hold in this store");
    append_records(database, session, row, still_missing(session, row, added), options.seat);
    imported.records_added = row.summary.head_seq - before;
    if (is_new)
      add_audit(database, session, options.seat, "case made", name,
                case_detail(row.summary, "from a folder, with its record"));
    imported.summary = row.summary;
    return imported;
  });
  if (!done) throw Abandon{done.error()};
  return *done;
}

tl::unexpected<CaseRefused> refused(Diagnostics mistakes) {
  return tl::make_unexpected(CaseRefused{std::move(mistakes), std::nullopt});
}
tl::unexpected<CaseRefused> refused(StoreError error) {
  return tl::make_unexpected(CaseRefused{{}, std::move(error)});
}

}  // namespace

tl::expected<Imported, CaseRefused> import_case(const CaseStore& store, const fs::path& folder,
                                                const ImportOptions& options) {
  const auto loaded = load_case(folder.generic_string(), options.drives);
  if (!loaded) return refused(loaded.error());
  const auto text = load_text_file(loaded->file, loaded->file.generic_string());
  if (!text) return refused(text.error());
  auto cut = cut_case(loaded->file.generic_string(), (*text)->text);
  if (!cut) return refused(cut.error());
  try {
    const CaseFolder found = look_at(loaded->file);
    // A mark of the byte order at the beginning is not kept.
    const bool was_marked = fs::file_size(loaded->file) != (*text)->text.size();
    const fs::path record_path = found.folder / kRecordFile;
    if (fs::exists(fs::symlink_status(record_path))) {
      const auto chain = read_record_file(record_path);
      if (!chain) throw Abandon{chain.error()};
      if (joined_case(chain->records) == (*text)->text) cut->rewritten = false;
      const auto added = additions(store, found, *chain, *cut, options);
      return import_chain(store, *chain, added, options.name.value_or(chain->name), options);
    }
    std::vector<NewRecord> records = std::move(cut->records);
    for (const std::string& name : found.files)
      if (!is_drive_of_shop(found, name, options.drives))
        records.push_back(file_record(store_file(store, found, name)));
    const auto count = static_cast<std::int64_t>(records.size());
    auto made =
        store.create(options.name.value_or(loaded->value.name), std::move(records), options.seat);
    if (!made) throw Abandon{made.error()};
    return Imported{*made, count, cut->rewritten || was_marked};
  } catch (const Abandon& abandoned) {
    return refused(abandoned.error);
  } catch (const fs::filesystem_error&) {
    return refused({StoreTrouble::refused, "the folder of the case cannot be read"});
  }
}

}  // namespace tautmark
