// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <soci/soci.h>

#include <algorithm>
#include <fstream>
#include <map>

#include "base/hash.h"
#include "casework/load.h"
#include "casework/pack_names.h"
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

// Names as pack_names.h has them; a drive file must be one, whether or not the case names it.
void check_files(const CaseFolder& found, const DriveFolders& drives, Diagnostics& mistakes) {
  NamesTaken taken;
  const auto error = [&](const std::string& name, std::string message) {
    Diagnostic mistake;
    mistake.place.file = (found.folder / name).generic_string();
    mistake.message = std::move(message);
    add_diagnostic(mistakes, std::move(mistake));
  };
  DriveFolders all = drives;
  all.folders.insert(all.folders.begin(), found.folder);
  for (const std::string& name : found.files) {
    if (const auto problem = file_name_problem(name)) {
      error(name, *problem);
      continue;
    }
    if (const auto problem = taken.problem_of_next(name)) error(name, *problem);
    if (!is_drive_file_name(name) || name.find('/') != std::string::npos) continue;
    const auto drive = load_drive((found.folder / name).string(), all);
    for (const Diagnostic& mistake : drive ? drive->warnings : drive.error())
      if (mistake.severity == Severity::error) add_diagnostic(mistakes, mistake);
  }
}

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
  if (!is_drive_file_name(name)) return false;
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
                          "record {} differs; nothing was written (import it under another name, "
                          "with --as, to keep it as a case of its own)",
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
    const auto brought = static_cast<std::int64_t>(records.size());
    if (!records.empty()) write_records(session, row, records);
    if (!wanted_hash.empty() && row.summary.head_hash != wanted_hash)
      abandon(StoreTrouble::differs, "the chain of the folder does not hold in this store");
    append_records(session, row, still_missing(session, row, added), options.seat);
    imported.records_added = row.summary.head_seq - before;
    // Who wrote these records, and when, is what the folder says; who brought them in is ours.
    if (is_new || brought > 0)
      add_audit(database, session, options.seat, is_new ? "case made" : "records imported",
                row.summary.name,
                case_detail(row.summary, imported_text(before + 1, before + brought)));
    imported.summary = row.summary;
    return imported;
  });
  if (!done) throw Abandon{done.error()};
  return *done;
}

// The case of the folder has grown apart from the one of its uid in the store.
bool has_grown_apart(const CaseStore& store, const RecordFile& chain) {
  const auto apart = store.database().read_value<bool>([&](soci::session& session) {
    const auto there = case_row_of_uid(store.database(), session, chain.uid);
    bool differs = false;
    if (there)
      each_record(session, there->id, 0, [&](const CaseRecord& record) {
        const auto at = static_cast<std::size_t>(record.seq) - 1;
        if (at < chain.records.size() && chain.records[at].hash != record.hash) differs = true;
      });
    return differs;
  });
  if (!apart) throw Abandon{apart.error()};
  return *apart;
}

// Without its chain, as records of the one who brings it in; `more` goes into the audit.
Imported import_anew(const CaseStore& store, const CaseFolder& folder, const CutCase& cut,
                     const std::string& name, const ImportOptions& options,
                     const std::string& more) {
  std::vector<NewRecord> records = cut.records;
  for (const std::string& file : folder.files)
    if (!is_drive_of_shop(folder, file, options.drives))
      records.push_back(file_record(store_file(store, folder, file)));
  const Database& database = store.database();
  auto made = database.write_value<CaseSummary>([&](soci::session& session) {
    CaseRow row = insert_case(session, new_uid(), name);
    append_records(session, row, records, options.seat);
    add_audit(database, session, options.seat, "case made", name, case_detail(row.summary, more));
    return row.summary;
  });
  if (!made) throw Abandon{made.error()};
  return {*made, static_cast<std::int64_t>(records.size()), cut.rewritten};
}

// A case that a store gave out as it stands, mistakes and all: a store without it takes it as it
// is.
bool is_as_stored(const CaseStore& store, const fs::path& folder) {
  const auto file = case_file_of(folder.generic_string());
  if (!file) return false;
  const auto text = load_text_file(*file, file->generic_string());
  const auto chain = read_record_file(file->parent_path() / kRecordFile);
  if (!text || !chain || joined_case(chain->records) != (*text)->text) return false;
  const auto is_new = store.database().read_value<bool>([&](soci::session& session) {
    return !case_row_of_uid(store.database(), session, chain->uid);
  });
  return is_new && *is_new;
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
  if (!loaded && !is_as_stored(store, folder)) return refused(loaded.error());
  const auto case_file = case_file_of(folder.generic_string());
  if (!case_file) return refused(case_file.error());
  const auto text = load_text_file(*case_file, case_file->generic_string());
  if (!text) return refused(text.error());
  auto cut = cut_case(case_file->generic_string(), (*text)->text);
  if (!cut) return refused(cut.error());
  try {
    const CaseFolder found = look_at(*case_file);
    Diagnostics mistakes;
    if (loaded) check_files(found, options.drives, mistakes);
    if (!mistakes.empty()) return refused(std::move(mistakes));
    // A mark of the byte order at the beginning is not kept.
    if (fs::file_size(*case_file) != (*text)->text.size()) cut->rewritten = true;
    const fs::path record_path = found.folder / kRecordFile;
    if (!fs::exists(fs::symlink_status(record_path)))
      return import_anew(store, found, *cut, options.name.value_or(loaded->value.name), options,
                         {});
    const auto chain = read_record_file(record_path);
    if (!chain) throw Abandon{chain.error()};
    if (joined_case(chain->records) == (*text)->text) cut->rewritten = false;
    if (options.name && has_grown_apart(store, *chain))
      return import_anew(store, found, *cut, *options.name, options,
                         fmt::format("grown apart from the case with uid {}, head {}", chain->uid,
                                     chain->records.back().hash));
    const auto added = additions(store, found, *chain, *cut, options);
    return import_chain(store, *chain, added, options.name.value_or(chain->name), options);
  } catch (const Abandon& abandoned) {
    return refused(abandoned.error);
  } catch (const fs::filesystem_error&) {
    return refused({StoreTrouble::refused, "the folder of the case cannot be read"});
  }
}

}  // namespace tautmark
