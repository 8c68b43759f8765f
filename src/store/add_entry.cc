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

void leave_out(Node& node, std::string_view key) {
  std::erase_if(node.members, [&](const Member& member) { return member.key.text == key; });
}

// The stored text says what was sent: what was filled in then is not compared.
bool is_same_entry(const Entry& sent, const std::string& stored_body) {
  auto stored = entry_node(stored_body);
  if (!stored) return false;
  Node wanted = write_record(sent);
  if (sent.id.empty()) leave_out(wanted, "id");
  for (const std::string_view filled_in : {"id", "by", "at", "sha256"})
    if (wanted.find(filled_in) == nullptr) leave_out(*stored, filled_in);
  return same_value(*stored, wanted);
}

NewRecord record_of(const EntryToAdd& wanted, const Entry& sent) {
  const auto body = [entry = wanted.entry](const std::string& id) {
    Entry named = entry;
    named.id = id;
    return yaml_list_item_text(write_record(named));
  };
  NewRecord record;
  record.kind = RecordKind::entry;
  record.client_key = wanted.client_key;
  record.is_same = [sent](const std::string& stored) { return is_same_entry(sent, stored); };
  record.entry_id = wanted.entry.id;
  record.wants_id = wanted.entry.id.empty();
  if (record.wants_id)
    record.body_with_id = body;
  else
    record.body = body(wanted.entry.id);
  return record;
}

tl::expected<EntryAdded, CaseRefused> sent_before(const CaseRecord& there, const Entry& sent) {
  if (there.kind != RecordKind::entry || !is_same_entry(sent, there.body))
    return refused({StoreTrouble::differs,
                    fmt::format("record {} was stored under the same key with another text; "
                                "nothing was written",
                                there.seq)});
  EntryAdded added{{there.seq, there.entry_id, there.hash, there.at, true}, sent};
  added.entry.id = there.entry_id;
  return added;
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
  const Entry sent = wanted.entry;
  if (!wanted.client_key.empty()) {
    const auto there = store.record_of_key(case_name, wanted.client_key);
    if (!there) return refused(there.error());
    if (*there) return sent_before(**there, sent);
  }
  fill_in(store, case_name, wanted);
  const auto old_text = load_text_file(folder / "case.yaml", case_name);
  if (!old_text) return refused(old_text.error());
  const auto with = with_entry(*old_text, wanted.entry);
  if (!with) return refused(with.error());
  if (auto checked = check_text(folder, **old_text, with->text, drives); !checked)
    return tl::make_unexpected(std::move(checked.error()));
  auto receipts = store.append(case_name, {record_of(wanted, sent)}, wanted.seat);
  if (!receipts) return refused(std::move(receipts.error()));
  EntryAdded added{std::move(receipts->front()), std::move(wanted.entry)};
  added.entry.id = added.receipt.entry_id;
  return added;
}

}  // namespace tautmark
