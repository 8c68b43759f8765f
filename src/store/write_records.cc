// SPDX-License-Identifier: Apache-2.0
// The one place where records are written.
#include <fmt/format.h>
#include <soci/soci.h>

#include <algorithm>
#include <set>

#include "base/text.h"
#include "casework/pack_names.h"
#include "store/case_rows.h"
#include "store/case_text.h"
#include "store/derived.h"
#include "store/row_insert.h"
#include "store/search_words.h"

namespace tautmark {
namespace {

class Writer {
 public:
  Writer(soci::session& session, CaseRow& row)
      : session_(session), row_(row), is_new_(row.summary.head_seq == 0) {}

  void write(std::vector<CaseRecord>& records) {
    RowInsert rows(session_,
                   "record (case_id, seq, kind, entry_id, client_key, at, seat, body, hash)");
    RowInsert ids(session_, "entry_id (case_id, id)");
    for (CaseRecord& record : records) {
      take(record, ids);
      chain(record);
      rows.add({row_.id, static_cast<long long>(record.seq),
                std::string(record_kind_name(record.kind)), record.entry_id,
                record.client_key.empty() ? RowInsert::Value(RowInsert::Null{})
                                          : RowInsert::Value(record.client_key),
                static_cast<long long>(record.at), record.seat, record.body, record.hash});
    }
    rows.finish();
    ids.finish();
    write_words();
    write_row();
  }

 private:
  void take(CaseRecord& record, RowInsert& ids) {
    check_line("the seat", record.seat, 200);
    check_line("the key of the sender", record.client_key, 80);
    if (record.body.find('\0') != std::string::npos || first_invalid_utf8(record.body))
      abandon(StoreTrouble::refused, "the text of a record is not readable text (UTF-8)");
    switch (record.kind) {
      case RecordKind::head:
        take_head(record);
        break;
      case RecordKind::entry:
        take_entry(record, ids);
        break;
      case RecordKind::file:
        take_file(record);
        break;
      case RecordKind::tail:
        if (!is_tail_text(record.body))
          abandon(StoreTrouble::refused, "behind the last entry only comments can stand");
        add_comment_words(record.body, words_);
        break;
    }
    if (is_new_ && row_.summary.head_seq == 0 && record.kind != RecordKind::head)
      abandon(StoreTrouble::refused, "the first record of a case is its head");
  }

  void take_head(const CaseRecord& record) {
    auto head = head_node(record.body);
    if (!head)
      abandon(StoreTrouble::refused, "the head of the case cannot be stored: " + head.error());
    derive_head(std::move(*head), record.body, row_, words_);
  }

  void take_entry(CaseRecord& record, RowInsert& ids) {
    check_line("the id of an entry", record.entry_id, 100);
    const auto node = entry_node(record.body);
    if (!node) abandon(StoreTrouble::refused, "the entry cannot be stored: " + node.error());
    if (record.entry_id.empty() || head_value(*node, "id") != record.entry_id)
      abandon(StoreTrouble::refused,
              fmt::format("the text of the entry has not the id \"{}\"", clipped(record.entry_id)));
    if (!taken_.insert(record.entry_id).second || (!is_new_ && is_taken(record.entry_id)))
      abandon(StoreTrouble::exists,
              fmt::format("the case has an entry \"{}\" already", clipped(record.entry_id)));
    ids.add({row_.id, record.entry_id});
    derive_entry(*node, record, row_, words_);
  }

  bool is_taken(const std::string& id) {
    // A number that was never reached is free without asking.
    if (entry_number(id) >= row_.next_entry) return false;
    long long count = 0;
    session_ << "select count(*) from entry_id where case_id = :c and id = :i", soci::into(count),
        soci::use(row_.id), soci::use(id);
    return count > 0;
  }

  void take_file(const CaseRecord& record) {
    const auto file = file_of_record(record.body);
    if (!file) abandon(StoreTrouble::refused, "a file's record holds name, SHA-256 and bytes");
    take_name(file->name);
    long long bytes = -1;
    session_ << "select bytes from blob where sha256 = :s", soci::into(bytes),
        soci::use(file->sha256);
    if (!session_.got_data() || bytes != file->bytes)
      abandon(StoreTrouble::not_found,
              fmt::format("the bytes of the file \"{}\" are not in the store; send them first",
                          file->name));
    session_ << "insert into case_file (case_id, name, sha256, bytes) values (:c, :n, :s, :b)",
        soci::use(row_.id), soci::use(file->name), soci::use(file->sha256), soci::use(bytes);
    add_text_words(file->name, words_);
  }

  // Files that are there keep the names they have, whatever they are.
  void take_name(const std::string& name) {
    check_line("the name of a file", name, 400);
    if (const auto problem = file_name_problem(name)) abandon(StoreTrouble::refused, *problem);
    if (!is_new_ && !files_known_)
      for (const StoredFile& other : files_of(session_, row_.id)) {
        files_.insert(other.name);
        (void)names_.problem_of_next(other.name);
      }
    files_known_ = true;
    if (!files_.insert(name).second)
      abandon(StoreTrouble::exists, fmt::format("the case has another file \"{}\" already", name));
    if (const auto problem = names_.problem_of_next(name))
      abandon(StoreTrouble::exists, "a file of the case stands in the way: " + *problem);
  }

  void chain(CaseRecord& record) {
    CaseSummary& summary = row_.summary;
    record.seq = ++summary.head_seq;
    record.hash = record_hash(summary.head_hash, summary.uid, record);
    summary.head_hash = record.hash;
    summary.changed = std::max(summary.changed, record.at);
  }

  void write_words() {
    if (is_new_) add_text_words(row_.summary.name, words_);
    RowInsert rows(session_, "word (word, case_id)", "on conflict do nothing");
    for (const std::string& word : words_) rows.add({word, row_.id});
    rows.finish();
  }

  void write_row() {
    const CaseSummary& s = row_.summary;
    const long long changed = s.changed, entries = s.entries, seq = s.head_seq;
    const int invented = s.invented ? 1 : 0;
    session_ << "update cases set title = :t, drive = :d, invented = :i, changed = :c,"
                " entries = :e, next_entry = :n, indent = :b, head_seq = :s, head_hash = :h"
                " where id = :id",
        soci::use(s.title), soci::use(s.drive), soci::use(invented), soci::use(changed),
        soci::use(entries), soci::use(row_.next_entry), soci::use(row_.indent), soci::use(seq),
        soci::use(s.head_hash), soci::use(row_.id);
  }

  soci::session& session_;
  CaseRow& row_;
  bool is_new_;
  bool files_known_ = false;
  std::set<std::string> taken_, files_;
  NamesTaken names_;
  WordSet words_;
};

}  // namespace

void write_records(soci::session& session, CaseRow& row, std::vector<CaseRecord>& records) {
  Writer(session, row).write(records);
}

}  // namespace tautmark
