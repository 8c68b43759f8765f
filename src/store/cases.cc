// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <soci/soci.h>

#include <set>

#include "store/case_rows.h"
#include "store/case_text.h"

namespace tautmark {
namespace {

std::string with_line_end(std::string body) {
  if (!body.empty() && body.back() != '\n') body += '\n';
  return body;
}

// The text as it is stored: an entry stands under the dashes of those that are there.
std::string body_of(const CaseRow& row, const NewRecord& wanted, const std::string& id) {
  std::string body = wanted.wants_id ? wanted.body_with_id(id) : wanted.body;
  if (wanted.kind == RecordKind::entry && row.indent >= 0) body = indented_entry(body, row.indent);
  return body;
}

Receipt receipt_of(const CaseRecord& record, bool was_there) {
  return {record.seq, record.entry_id, record.hash, record.at, was_there};
}

// The record of this case with a text in a column, if there is one.
std::optional<CaseRecord> stored_record(soci::session& session, const CaseRow& row,
                                        const std::string& column, const std::string& value) {
  CaseRecord record;
  std::string kind;
  long long seq = 0, at = 0;
  session << "select seq, kind, entry_id, at, body, hash from record where case_id = :c and " +
                 column + " = :v order by seq limit 1",
      soci::into(seq), soci::into(kind), soci::into(record.entry_id), soci::into(at),
      soci::into(record.body), soci::into(record.hash), soci::use(row.id), soci::use(value);
  if (!session.got_data()) return std::nullopt;
  record.seq = seq;
  record.at = at;
  record.kind = record_kind(kind).value_or(RecordKind::entry);
  return record;
}

// What a call appends, put in order.
class Batch {
 public:
  Batch(soci::session& session, CaseRow& row, std::string seat,
        std::optional<std::int64_t> only_after_seq)
      : session_(session), row_(row), seat_(std::move(seat)), only_after_seq_(only_after_seq) {}

  std::vector<Receipt> write(const std::vector<NewRecord>& wanted) {
    std::vector<Receipt> receipts(wanted.size());
    std::vector<std::size_t> place;  // of the receipt, by record
    for (std::size_t i = 0; i < wanted.size(); ++i) {
      if (const auto there = found_there(wanted[i])) {
        receipts[i] = receipt_of(*there, true);
        continue;
      }
      add(wanted[i]);
      place.push_back(i);
    }
    if (records_.empty()) return receipts;
    if (only_after_seq_ && row_.summary.head_seq != *only_after_seq_)
      abandon(StoreTrouble::moved_on,
              "others write to this case just now; nothing was written, try again");
    row_.next_entry = first_free_;
    write_records(session_, row_, records_);
    for (std::size_t i = 0; i < place.size(); ++i)
      receipts[place[i]] = receipt_of(records_[i], false);
    return receipts;
  }

 private:
  std::optional<CaseRecord> found_there(const NewRecord& wanted) {
    if (wanted.client_key.empty() && wanted.kind != RecordKind::file) return std::nullopt;
    if (row_.summary.head_seq == 0) return std::nullopt;
    const auto there = wanted.client_key.empty()
                           ? stored_record(session_, row_, "kind = 'file' and body", wanted.body)
                           : stored_record(session_, row_, "client_key", wanted.client_key);
    if (!there) return std::nullopt;
    if (there->kind != wanted.kind || (!wanted.wants_id && there->entry_id != wanted.entry_id) ||
        !says_the_same(*there, wanted))
      abandon(StoreTrouble::differs,
              fmt::format("record {} was stored under the same key with another text; nothing was "
                          "written",
                          there->seq));
    return there;
  }

  bool says_the_same(const CaseRecord& there, const NewRecord& wanted) const {
    if (wanted.is_same) return wanted.is_same(there.body);
    return with_line_end(there.body) == with_line_end(body_of(row_, wanted, there.entry_id));
  }

  void add(const NewRecord& wanted) {
    CaseRecord record;
    record.kind = wanted.kind;
    record.entry_id = wanted.entry_id;
    record.client_key = wanted.client_key;
    if (!record.client_key.empty() && !keys_.insert(record.client_key).second)
      abandon(StoreTrouble::refused, "two records of one call have the same key");
    if (wanted.kind == RecordKind::entry && wanted.wants_id)
      record.entry_id = fmt::format("e{}", next_++);
    record.body = body_of(row_, wanted, record.entry_id);
    record.at = now_;
    record.seat = seat_;
    records_.push_back(std::move(record));
  }

  soci::session& session_;
  CaseRow& row_;
  std::string seat_;
  std::optional<std::int64_t> only_after_seq_;
  std::int64_t now_ = now_microseconds();
  const long long first_free_ = row_.next_entry;
  long long next_ = row_.next_entry;
  std::set<std::string> keys_;
  std::vector<CaseRecord> records_;
};

}  // namespace

std::vector<Receipt> append_records(soci::session& session, CaseRow& row,
                                    const std::vector<NewRecord>& records, const std::string& seat,
                                    std::optional<std::int64_t> only_after_seq) {
  return Batch(session, row, seat, only_after_seq).write(records);
}

Stored<CaseSummary> CaseStore::create(const std::string& name, std::vector<NewRecord> records,
                                      const std::string& seat) const {
  return database_->write_value<CaseSummary>([&](soci::session& session) {
    CaseRow row = insert_case(session, new_uid(), name);
    if (records.empty()) abandon(StoreTrouble::refused, "the first record of a case is its head");
    append_records(session, row, records, seat);
    add_audit(*database_, session, seat, "case made", name, case_detail(row.summary));
    return row.summary;
  });
}

Stored<std::vector<Receipt>> CaseStore::append(const std::string& name,
                                               std::vector<NewRecord> records,
                                               const std::string& seat,
                                               std::optional<std::int64_t> only_after_seq) const {
  return database_->write_value<std::vector<Receipt>>([&](soci::session& session) {
    CaseRow row = case_row(*database_, session, name, Lock::yes);
    return append_records(session, row, records, seat, only_after_seq);
  });
}

Stored<CaseSummary> CaseStore::summary(const std::string& name) const {
  return database_->read_value<CaseSummary>(
      [&](soci::session& session) { return case_row(*database_, session, name).summary; });
}

Stored<std::vector<CaseRecord>> CaseStore::records(const std::string& name,
                                                   std::int64_t after_seq) const {
  return database_->read_value<std::vector<CaseRecord>>([&](soci::session& session) {
    std::vector<CaseRecord> records;
    each_record(session, case_row(*database_, session, name).id, after_seq,
                [&](CaseRecord record) { records.push_back(std::move(record)); });
    return records;
  });
}

Stored<std::vector<StoredFile>> CaseStore::files(const std::string& name) const {
  return database_->read_value<std::vector<StoredFile>>([&](soci::session& session) {
    return files_of(session, case_row(*database_, session, name).id);
  });
}

Stored<std::optional<CaseRecord>> CaseStore::record_of_key(const std::string& name,
                                                           const std::string& client_key) const {
  return database_->read_value<std::optional<CaseRecord>>([&](soci::session& session) {
    return stored_record(session, case_row(*database_, session, name), "client_key", client_key);
  });
}

Stored<Receipt> attach(const CaseStore& store, const std::string& case_name, const StoredFile& file,
                       const std::string& seat) {
  NewRecord record;
  record.kind = RecordKind::file;
  record.body = file_record_body(file);
  auto receipts = store.append(case_name, {std::move(record)}, seat);
  if (!receipts) return tl::make_unexpected(std::move(receipts.error()));
  return std::move(receipts->front());
}

}  // namespace tautmark
