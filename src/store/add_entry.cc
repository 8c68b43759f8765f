// SPDX-License-Identifier: Apache-2.0
#include "store/add_entry.h"

#include <fmt/format.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <chrono>
#include <fstream>
#include <map>
#include <mutex>
#include <random>
#include <thread>

#include "casework/append.h"
#include "casework/case_fields.h"
#include "casework/pack_names.h"
#include "store/case_text.h"
#include "store/folder_writer.h"

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
  const auto [name, sum] = summed_file(entry.body);
  if (name == nullptr || *sum) return;
  const auto files = store.files(case_name);
  if (!files) return;
  for (const StoredFile& file : *files)
    if (file.name == *name) *sum = file.sha256;
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

// Errors of the new state that the old one had not: by what they say, for lines move.
Diagnostics new_mistakes(Diagnostics now, const Diagnostics& before) {
  std::map<std::string, int> known;
  for (const Diagnostic& mistake : before) ++known[mistake.message];
  std::erase_if(now, [&](const Diagnostic& mistake) {
    return mistake.severity != Severity::error || known[mistake.message]-- > 0;
  });
  return now;
}

Diagnostics mistakes_in(const fs::path& folder, const DriveFolders& drives) {
  auto loaded = load_case((folder / "case.yaml").string(), drives);
  return loaded ? Diagnostics{} : std::move(loaded.error());
}

// What is wrong with the case in `folder`, which is ours alone, if its file had this text, and was
// not before. Lines that `old_text` did not have stand under "new entry".
tl::expected<void, CaseRefused> check_text(const fs::path& folder, const TextFile& old_text,
                                           const std::string& text, const DriveFolders& drives) {
  const fs::path beside = folder / ".new.yaml";  // hidden: no file of a case has such a name
  std::ofstream out(beside, std::ios::binary);
  out << text;
  out.close();
  if (!out) return refused({StoreTrouble::full, "no room for working files; nothing was written"});
  Diagnostics mistakes = mistakes_of_new(old_text.name, old_text, beside, drives);
  if (!has_errors(mistakes)) return {};
  mistakes = new_mistakes(std::move(mistakes), mistakes_in(folder, drives));
  if (!mistakes.empty()) return refused(std::move(mistakes));
  return {};
}

// One state of a case, to check against and to append to.
struct CaseState {
  std::int64_t seq = 0;
  std::shared_ptr<const fs::path> folder;  // removed with the last who holds it
  TextFileRef text;
};

tl::expected<CaseState, CaseRefused> state_of(const CaseStore& store, const std::string& case_name,
                                              const fs::path& scratch) {
  static std::atomic<unsigned> counter{0};
  std::error_code code;
  fs::create_directories(scratch, code);
  const std::shared_ptr<const fs::path> folder(
      new fs::path(scratch / fmt::format("add-{}-{}", getpid(), ++counter)),
      [](const fs::path* path) {
        std::error_code code;
        fs::remove_all(*path, code);
        delete path;
      });
  const auto made = case_for_reading(store, case_name, *folder, FilesWanted::to_load);
  if (!made) return refused(made.error());
  const auto text = load_text_file(*folder / "case.yaml", case_name);
  if (!text) return refused(text.error());
  return CaseState{made->summary.head_seq, folder, *text};
}

// Checks and appends, again when another seat wrote in between. Seats of this program take turns;
// those of another one are waited for a few times, each time longer and by chance, or two programs
// of one pace would keep missing each other.
using MakeRecord = std::function<tl::expected<NewRecord, CaseRefused>(const CaseState&)>;
tl::expected<Receipt, CaseRefused> append_checked(const CaseStore& store,
                                                  const std::string& case_name,
                                                  const fs::path& scratch, const std::string& seat,
                                                  const MakeRecord& make) {
  static std::array<std::mutex, 16> turns;
  const std::lock_guard turn(turns.at(std::hash<std::string>{}(case_name) % turns.size()));
  constexpr int kMostTries = 8;
  for (int tries = 1;; ++tries) {
    const auto state = state_of(store, case_name, scratch);
    if (!state) return tl::make_unexpected(state.error());
    auto record = make(*state);
    if (!record) return tl::make_unexpected(std::move(record.error()));
    auto receipts = store.append(case_name, {std::move(*record)}, seat, state->seq);
    if (receipts) return std::move(receipts->front());
    if (receipts.error().trouble != StoreTrouble::moved_on || tries == kMostTries)
      return refused(std::move(receipts.error()));
    thread_local std::mt19937 random(std::random_device{}());
    std::this_thread::sleep_for(std::chrono::milliseconds(random() % (10U << tries)));
  }
}

}  // namespace

tl::expected<EntryAdded, CaseRefused> add_checked_entry(const CaseStore& store,
                                                        const std::string& case_name,
                                                        const fs::path& scratch, EntryToAdd wanted,
                                                        const DriveFolders& drives) {
  const Entry sent = wanted.entry;
  if (!wanted.client_key.empty()) {
    const auto there = store.record_of_key(case_name, wanted.client_key);
    if (!there) return refused(there.error());
    if (*there) return sent_before(**there, sent);
  }
  fill_in(store, case_name, wanted);
  auto receipt = append_checked(
      store, case_name, scratch, wanted.seat,
      [&](const CaseState& state) -> tl::expected<NewRecord, CaseRefused> {
        const auto with = with_entry(state.text, wanted.entry);
        if (!with) return refused(with.error());
        if (auto checked = check_text(*state.folder, *state.text, with->text, drives); !checked)
          return tl::make_unexpected(std::move(checked.error()));
        return record_of(wanted, sent);
      });
  if (!receipt) return tl::make_unexpected(std::move(receipt.error()));
  EntryAdded added{std::move(*receipt), std::move(wanted.entry)};
  added.entry.id = added.receipt.entry_id;
  return added;
}

tl::expected<Receipt, CaseRefused> change_checked_head(
    const CaseStore& store, const std::string& case_name, const fs::path& scratch,
    const HeadOf& head_of, const std::string& seat, const DriveFolders& drives) {
  return append_checked(store, case_name, scratch, seat,
                        [&](const CaseState& state) -> tl::expected<NewRecord, CaseRefused> {
                          auto records = store.records(case_name);
                          if (!records) return refused(records.error());
                          NewRecord record;
                          record.kind = RecordKind::head;
                          record.body = head_of(*records);
                          CaseRecord changed;
                          changed.kind = record.kind;
                          changed.body = record.body;
                          records->push_back(std::move(changed));
                          const auto checked =
                              check_text(*state.folder, *state.text, joined_case(*records), drives);
                          if (!checked) return tl::make_unexpected(checked.error());
                          return record;
                        });
}

std::optional<std::string> new_file_problem(const std::string& name,
                                            const std::vector<StoredFile>& there) {
  if (auto problem = file_name_problem(name)) return problem;
  NamesTaken taken;
  for (const StoredFile& file : there) (void)taken.problem_of_next(file.name);
  if (auto problem = taken.problem_of_next(name))
    return "a file of the case stands in the way: " + *problem;
  if (!is_drive_file_name(name)) return std::nullopt;
  const std::string stem = name.substr(0, name.rfind('.'));
  for (const StoredFile& file : there)
    if (is_drive_file_name(file.name) && file.name.substr(0, file.name.rfind('.')) == stem)
      return fmt::format("the case has this drive already, as \"{}\"", file.name);
  return std::nullopt;
}

namespace {

// A drive file is read as one before it is one: alone, and by the case.
tl::expected<void, CaseRefused> check_drive_file(const CaseStore& store, const CaseState& state,
                                                 const StoredFile& file, const fs::path& scratch,
                                                 const DriveFolders& drives) {
  if (file.bytes > static_cast<std::int64_t>(kMaxTextBytes))
    return refused(
        {StoreTrouble::refused, fmt::format("\"{}\" is too long for a drive file", file.name)});
  // Hidden beside the states of cases; gone again at the end.
  static std::atomic<unsigned> counter{0};
  FolderWriter folder(scratch / fmt::format(".{}-{}-drive", getpid(), ++counter));
  if (auto written = folder.write_blob(store.database(), file.sha256, file.name); !written)
    return refused(written.error());
  DriveFolders with = drives;
  with.folders.insert(with.folders.begin(), {folder.path(), *state.folder});
  const auto drive = load_drive((folder.path() / file.name).string(), with);
  Diagnostics mistakes = drive ? drive->warnings : drive.error();
  if (has_errors(mistakes)) {
    for (Diagnostic& mistake : mistakes)
      if (mistake.place.file.starts_with(folder.path().generic_string()))
        mistake.place.file = file.name;
    std::erase_if(mistakes, [](const Diagnostic& m) { return m.severity != Severity::error; });
    return refused(std::move(mistakes));
  }
  DriveFolders first = drives;
  first.folders.insert(first.folders.begin(), folder.path());
  mistakes = new_mistakes(mistakes_in(*state.folder, first), mistakes_in(*state.folder, drives));
  if (!mistakes.empty()) return refused(std::move(mistakes));
  return {};
}

}  // namespace

tl::expected<Receipt, CaseRefused> attach_checked(const CaseStore& store,
                                                  const std::string& case_name,
                                                  const fs::path& scratch, const StoredFile& file,
                                                  const std::string& seat,
                                                  const DriveFolders& drives) {
  if (!is_drive_file_name(file.name) || file.name.find('/') != std::string::npos) {
    auto receipt = attach(store, case_name, file, seat);
    if (!receipt) return refused(std::move(receipt.error()));
    return std::move(*receipt);
  }
  return append_checked(store, case_name, scratch, seat,
                        [&](const CaseState& state) -> tl::expected<NewRecord, CaseRefused> {
                          auto checked = check_drive_file(store, state, file, scratch, drives);
                          if (!checked) return tl::make_unexpected(std::move(checked.error()));
                          NewRecord record;
                          record.kind = RecordKind::file;
                          record.body = file_record_body(file);
                          return record;
                        });
}

}  // namespace tautmark
