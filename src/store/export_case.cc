// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "base/text.h"
#include "store/case_rows.h"
#include "store/case_text.h"
#include "store/exchange.h"
#include "store/folder_writer.h"
#include "store/record_file.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

// One state of a case.
struct WholeCase {
  CaseSummary summary;
  std::vector<CaseRecord> records;
  std::vector<StoredFile> files;
};

Stored<WholeCase> whole_case(const Database& database, const std::string& name) {
  return database.read_value<WholeCase>([&](soci::session& session) {
    WholeCase whole;
    const CaseRow row = case_row(database, session, name);
    whole.summary = row.summary;
    each_record(session, row.id, 0,
                [&](CaseRecord record) { whole.records.push_back(std::move(record)); });
    whole.files = files_of(session, row.id);
    return whole;
  });
}

// Names of drives that a text (a case's, a drive's) stands on.
std::vector<std::string> drives_named(const Node& node) {
  std::vector<std::string> names;
  for (const char* key : {"drive", "based_on"})
    if (const std::string name = head_value(node, key); !name.empty()) names.push_back(name);
  if (const Node* candidates = node.find("candidates"))
    for (const Node& item : candidates->items) names.push_back(item.text);
  return names;
}

// The drives and those they are based on, each once. One that is in no folder is left out: then
// the case was stored without it.
Stored<void> write_drives(FolderWriter& folder, const Node& head, const DriveFolders& drives) {
  std::vector<std::string> wanted = drives_named(head);
  std::set<std::string> done;
  constexpr std::size_t kMost = 64;
  while (!wanted.empty() && done.size() < kMost) {
    const std::string name = wanted.back();
    wanted.pop_back();
    if (!is_drive_name(name) || !done.insert(name).second) continue;
    DriveFolders all = drives;
    all.folders.insert(all.folders.begin(), folder.path());
    for (const fs::path& from : all.folders) {
      fs::path file = from / (name + ".drive.yaml");
      std::error_code code;
      if (!fs::is_regular_file(file, code)) file = from / (name + ".drive.json");
      if (!fs::is_regular_file(file, code)) continue;
      const auto text = load_text_file(file, file.generic_string());
      if (!text) break;
      if (from != folder.path())
        if (auto written = folder.write(file.filename().generic_string(), (*text)->text); !written)
          return written;
      if (const auto node = parse_tree(*text))
        for (std::string& base : drives_named(*node)) wanted.push_back(std::move(base));
      break;
    }
  }
  return {};
}

Stored<void> write_case(FolderWriter& folder, const Database& database, const WholeCase& whole) {
  auto written = folder.write("case.yaml", joined_case(whole.records));
  for (const StoredFile& file : whole.files)
    if (written) written = folder.write_blob(database, file.sha256, file.name);
  return written;
}

}  // namespace

Stored<void> export_case(const CaseStore& store, const std::string& name, const fs::path& folder,
                         const DriveFolders& drives, const std::string& who) {
  const Database& database = store.database();
  const auto whole = whole_case(database, name);
  if (!whole) return tl::make_unexpected(whole.error());
  std::error_code code;
  if (fs::exists(fs::symlink_status(folder, code)))
    return store_error(StoreTrouble::exists,
                       fmt::format("{} is there already", folder.generic_string()));
  FolderWriter writer(folder);
  auto written = write_case(writer, database, *whole);
  if (!written) return written;
  const std::string text =
      record_file_text({whole->summary.uid, whole->summary.name, whole->records});
  written = writer.write(std::string(kRecordFile), text);
  if (!written) return written;
  std::string head;
  for (const CaseRecord& record : whole->records)
    if (record.kind == RecordKind::head) head = record.body;
  if (const auto node = head_node(head)) written = write_drives(writer, *node, drives);
  if (!written) return written;
  // First the note: what left the store is known even when the folder then is not made. A store
  // that can only be read gives its cases out all the same.
  if (!database.is_read_only()) {
    written = note_audit(database, who, "export", whole->summary.name, case_detail(whole->summary));
    if (!written) return written;
  }
  return writer.take_place();
}

namespace {

// Whether load_case may read it as a drive.
bool may_be_a_drive(const StoredFile& file, const std::vector<std::string>& named) {
  constexpr std::int64_t kMost = std::int64_t{16} << 20;
  const std::string name = folded(file.name);
  if (file.bytes > kMost) return false;
  return name.ends_with(".yaml") || name.ends_with(".yml") || name.ends_with(".json") ||
         std::find(named.begin(), named.end(), file.name) != named.end();
}

}  // namespace

Stored<CaseForReading> case_for_reading(const CaseStore& store, const std::string& name,
                                        const fs::path& folder, FilesWanted wanted) {
  const Database& database = store.database();
  auto whole = whole_case(database, name);
  if (!whole) return tl::make_unexpected(whole.error());
  std::string head;
  for (const CaseRecord& record : whole->records)
    if (record.kind == RecordKind::head) head = record.body;
  const auto node = head_node(head);
  const auto named = node ? drives_named(*node) : std::vector<std::string>();
  FolderWriter writer(folder, false);
  auto written = writer.write("case.yaml", joined_case(whole->records));
  for (const StoredFile& file : whole->files) {
    if (!written) break;
    written = wanted == FilesWanted::all || may_be_a_drive(file, named)
                  ? writer.write_blob(database, file.sha256, file.name)
                  : writer.write(file.name, "");
  }
  if (written) written = writer.take_place();
  if (!written) return tl::make_unexpected(std::move(written.error()));
  return CaseForReading{std::move(whole->summary), std::move(whole->files)};
}

Stored<void> write_stored_file(const Database& database, const std::string& sha256,
                               const fs::path& folder, const std::string& name) {
  FolderWriter writer(folder, false);
  auto written = writer.write_blob(database, sha256, name);
  return written ? writer.take_place() : written;
}

}  // namespace tautmark
