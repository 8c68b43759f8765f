// SPDX-License-Identifier: Apache-2.0
#include "store/add_entry.h"

#include <fmt/format.h>
#include <unistd.h>

#include <atomic>
#include <fstream>

#include "casework/append.h"
#include "casework/case_fields.h"
#include "store/case_text.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

tl::unexpected<CaseRefused> refused(Diagnostics mistakes) {
  return tl::make_unexpected(CaseRefused{std::move(mistakes), std::nullopt});
}
tl::unexpected<CaseRefused> refused(StoreError error) {
  return tl::make_unexpected(CaseRefused{{}, std::move(error)});
}

// What nobody should have to type.
void fill_in(const CaseStore& store, const std::string& case_name, EntryToAdd& wanted) {
  Entry& entry = wanted.entry;
  if (!entry.by) entry.by = wanted.seat;
  if (!entry.at) entry.at = Date{time_text(now_microseconds()).substr(0, 19) + "Z"};
  auto* recording = std::get_if<SensorRecording>(&entry.body);
  if (recording == nullptr || !recording->file || recording->sha256) return;
  const auto files = store.files(case_name);
  if (!files) return;
  for (const StoredFile& file : *files)
    if (file.name == *recording->file) recording->sha256 = file.sha256;
}

// What was filled in when the same was sent before.
void fill_in_as(const std::string& body, Entry& entry) {
  const auto node = entry_node(body);
  if (!node) return;
  const auto text = [&](const char* key) {
    const Node* value = node->find(key);
    return value == nullptr ? std::nullopt : std::optional<std::string>(value->text);
  };
  if (!entry.by) entry.by = text("by");
  if (const auto at = text("at"); at && !entry.at) entry.at = Date{*at};
  auto* recording = std::get_if<SensorRecording>(&entry.body);
  if (recording != nullptr && !recording->sha256) recording->sha256 = text("sha256");
}

NewRecord record_of(const EntryToAdd& wanted) {
  const auto body = [entry = wanted.entry](const std::string& id) {
    Entry named = entry;
    named.id = id;
    return yaml_list_item_text(write_record(named));
  };
  NewRecord record;
  record.kind = RecordKind::entry;
  record.client_key = wanted.client_key;
  record.entry_id = wanted.entry.id;
  record.wants_id = wanted.entry.id.empty();
  if (record.wants_id)
    record.body_with_id = body;
  else
    record.body = body(wanted.entry.id);
  return record;
}

// Gone again at the end, whatever happens.
class TextFileBeside {
 public:
  TextFileBeside(const fs::path& folder, const std::string& text) {
    static std::atomic<unsigned> counter{0};
    path_ = folder / fmt::format("{}-{}.new", getpid(), ++counter);
    std::ofstream out(path_, std::ios::binary);
    out << text;
    out.close();
    written_ = !out.fail();
  }
  TextFileBeside(const TextFileBeside&) = delete;
  TextFileBeside& operator=(const TextFileBeside&) = delete;
  ~TextFileBeside() {
    std::error_code code;
    fs::remove(path_, code);
  }
  [[nodiscard]] const fs::path& path() const { return path_; }
  [[nodiscard]] bool is_written() const { return written_; }

 private:
  fs::path path_;
  bool written_ = false;
};

tl::expected<void, CaseRefused> check_entry(const std::string& case_name, const fs::path& folder,
                                            const Entry& entry, const DriveFolders& drives) {
  const auto old_text = load_text_file(folder / "case.yaml", case_name);
  if (!old_text) return refused(old_text.error());
  const auto with = with_entry(*old_text, entry);
  if (!with) return refused(with.error());
  return check_text(folder, **old_text, with->text, drives);
}

}  // namespace

tl::expected<void, CaseRefused> check_text(const fs::path& folder, const TextFile& old_text,
                                           const std::string& text, const DriveFolders& drives) {
  const TextFileBeside beside(folder, text);
  if (!beside.is_written())
    return refused({StoreTrouble::full, "no room for working files; nothing was written"});
  Diagnostics mistakes = mistakes_of_new(old_text.name, old_text, beside.path(), drives);
  if (has_errors(mistakes)) return refused(std::move(mistakes));
  return {};
}

tl::expected<EntryAdded, CaseRefused> add_checked_entry(const CaseStore& store,
                                                        const std::string& case_name,
                                                        const fs::path& folder, EntryToAdd wanted,
                                                        const DriveFolders& drives) {
  bool was_there = false;
  if (!wanted.client_key.empty()) {
    const auto before = store.record_of_key(case_name, wanted.client_key);
    if (!before) return refused(before.error());
    was_there = before->has_value();
    if (was_there) fill_in_as((*before)->body, wanted.entry);
  }
  if (!was_there) {
    fill_in(store, case_name, wanted);
    if (auto checked = check_entry(case_name, folder, wanted.entry, drives); !checked)
      return tl::make_unexpected(std::move(checked.error()));
  }
  auto receipts = store.append(case_name, {record_of(wanted)}, wanted.seat);
  if (!receipts) return refused(std::move(receipts.error()));
  EntryAdded added{std::move(receipts->front()), std::move(wanted.entry)};
  added.entry.id = added.receipt.entry_id;
  return added;
}

}  // namespace tautmark
