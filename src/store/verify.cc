// SPDX-License-Identifier: Apache-2.0
#include "store/verify.h"

#include <fmt/format.h>
#include <soci/soci.h>

#include <map>
#include <set>

#include "base/hash.h"
#include "store/case_text.h"

namespace tautmark {
namespace {

using Sentences = std::vector<std::string>;

std::string span_text(std::int64_t first, std::int64_t last) {
  return first == last ? fmt::format("record {} is missing", first)
                       : fmt::format("records {} to {} are missing", first, last);
}

// What the chain says against what is derived from it.
class CaseVerifier {
 public:
  CaseVerifier(const CaseRow& row, const std::optional<std::string>& head_hash)
      : row_(row), head_hash_(head_hash), head_found_(!head_hash) {
    last_.hash = std::string(64, '0');
  }

  void take(CaseRecord record) {
    if (record.seq > last_.seq + 1)
      say(span_text(last_.seq + 1, record.seq - 1));
    else if (record_hash(last_.hash, row_.summary.uid, record) != record.hash)
      say(fmt::format("record {} was changed after it was stored", record.seq));
    if (head_hash_ && record.hash == *head_hash_) head_found_ = true;
    if (record.kind == RecordKind::entry) ids_.insert(record.entry_id);
    if (record.kind == RecordKind::file) {
      if (const auto file = file_of_record(record.body)) files_[file->name] = *file;
    }
    ++count_;
    last_ = std::move(record);
  }

  Sentences finish(const std::vector<StoredFile>& files, const std::set<std::string>& ids) {
    const CaseSummary& summary = row_.summary;
    if (last_.seq < summary.head_seq)
      say(fmt::format("the end is missing: the case knows of {} records, {} are there",
                      summary.head_seq, count_));
    else if (last_.seq > summary.head_seq)
      say(fmt::format("the case knows of {} records, but {} are there", summary.head_seq, count_));
    else if (last_.hash != summary.head_hash)
      say("the case's note of its last record is another one than that record");
    if (!head_found_)
      say(
          fmt::format("no record has the hash {} that was given out for it: the end was cut off or "
                      "written anew",
                      *head_hash_));
    if (static_cast<std::int64_t>(ids_.size()) != summary.entries)
      say(fmt::format("the case knows of {} entries, {} are there", summary.entries, ids_.size()));
    if (ids != ids_) say("the list of entry ids is not that of the records");
    for (const StoredFile& file : files) {
      const auto record = files_.find(file.name);
      if (record == files_.end())
        say(fmt::format("the file \"{}\" has no record", file.name));
      else if (record->second.sha256 != file.sha256 || record->second.bytes != file.bytes)
        say(fmt::format("the file \"{}\" is listed with another SHA-256 than its record says",
                        file.name));
      files_.erase(file.name);
    }
    for (const auto& [name, file] : files_)
      say(fmt::format("the file \"{}\" has a record but is not listed", name));
    return std::move(found_);
  }

 private:
  void say(std::string sentence) { found_.push_back(std::move(sentence)); }

  const CaseRow& row_;
  const std::optional<std::string>& head_hash_;
  bool head_found_;
  CaseRecord last_;
  std::int64_t count_ = 0;
  std::set<std::string> ids_;
  std::map<std::string, StoredFile> files_;
  Sentences found_;
};

std::set<std::string> entry_ids(soci::session& session, long long case_id) {
  std::set<std::string> ids;
  std::string id;
  soci::statement statement = (session.prepare << "select id from entry_id where case_id = :c",
                               soci::into(id), soci::use(case_id));
  statement.execute();
  while (statement.fetch()) ids.insert(id);
  return ids;
}

Sentences verify_chain(soci::session& session, const CaseRow& row,
                       const std::optional<std::string>& head_hash) {
  CaseVerifier verifier(row, head_hash);
  each_record(session, row.id, 0, [&](CaseRecord record) { verifier.take(std::move(record)); });
  return verifier.finish(files_of(session, row.id), entry_ids(session, row.id));
}

// Empty: the bytes are what their SHA-256 says.
std::string bytes_problem(const Database& database, soci::session& session,
                          const std::string& sha256) {
  std::string key;
  long long bytes = 0, pieces = 0;
  session << "select blob_key, bytes, pieces from blob where sha256 = :s", soci::into(key),
      soci::into(bytes), soci::into(pieces), soci::use(sha256);
  if (!session.got_data()) return "has lost its bytes";
  Sha256 sum;
  long long read = 0;
  for (long long number = 0; number < pieces; ++number) {
    const std::string piece = select_piece(database, session, key, number);
    if (piece.empty()) return "has lost some of its bytes";
    read += static_cast<long long>(piece.size());
    sum.add(piece);
  }
  return read == bytes && sum.hex() == sha256 ? "" : "has other bytes than its record says";
}

// The audit's own chain, and which cases should be there: uid -> name.
Sentences verify_audit(soci::session& session, std::map<std::string, std::string>& cases) {
  Sentences found;
  std::string hash(64, '0');
  std::int64_t number = 0;
  constexpr int kPage = 5000;
  for (bool more = true; more;) {
    more = false;
    each_audit(session, number, kPage, [&](const AuditEntry& entry) {
      more = true;
      if (entry.number > number + 1)
        found.push_back("audit: " + span_text(number + 1, entry.number - 1));
      else if (audit_hash(hash, entry) != entry.hash)
        found.push_back(
            fmt::format("audit: record {} was changed after it was stored", entry.number));
      hash = entry.hash;
      number = entry.number;
      const std::string uid = entry.detail.starts_with("uid ")
                                  ? entry.detail.substr(4, entry.detail.find(',') - 4)
                                  : "";
      if (entry.what == "case made") cases[uid] = entry.subject;
      if (entry.what == "case deleted") cases.erase(uid);
    });
  }
  long long end = 0;
  std::string end_hash;
  session << "select number, hash from audit_end where id = 1", soci::into(end),
      soci::into(end_hash);
  if (end != number || end_hash != hash)
    found.push_back(fmt::format("audit: the end is missing: it knows of {} records, {} are there",
                                end, number));
  return found;
}

}  // namespace

std::vector<std::string> verify_case(const Database& database, soci::session& session,
                                     const CaseRow& row,
                                     const std::optional<std::string>& head_hash) {
  Sentences found = verify_chain(session, row, head_hash);
  for (const StoredFile& file : files_of(session, row.id)) {
    const std::string problem = bytes_problem(database, session, file.sha256);
    if (!problem.empty()) found.push_back(fmt::format("the file \"{}\" {}", file.name, problem));
  }
  return found;
}

std::vector<std::string> verify_store(const Database& database, soci::session& session) {
  std::map<std::string, std::string> expected;
  Sentences found = verify_audit(session, expected);
  std::vector<CaseRow> rows;
  each_case(database, session, "order by name", {},
            [&](const CaseRow& row) { rows.push_back(row); });
  std::map<std::string, std::string> problem_of;  // by SHA-256: files that cases share, read once
  for (const CaseRow& row : rows) {
    const auto say = [&](const std::string& sentence) {
      found.push_back(fmt::format("case \"{}\": {}", row.summary.name, sentence));
    };
    if (expected.erase(row.summary.uid) == 0) say("the audit does not know that it was made");
    for (const std::string& sentence : verify_chain(session, row, std::nullopt)) say(sentence);
    for (const StoredFile& file : files_of(session, row.id)) {
      auto [at, is_new] = problem_of.try_emplace(file.sha256);
      if (is_new) at->second = bytes_problem(database, session, file.sha256);
      if (!at->second.empty()) say(fmt::format("the file \"{}\" {}", file.name, at->second));
    }
  }
  for (const auto& [uid, name] : expected)
    found.push_back(fmt::format("case \"{}\" is gone without an act of deletion", name));
  return found;
}

Stored<std::vector<std::string>> CaseStore::verify(
    const std::string& name, const std::optional<std::string>& head_hash) const {
  return database_->read_value<std::vector<std::string>>([&](soci::session& session) {
    return verify_case(*database_, session, case_row(*database_, session, name), head_hash);
  });
}

Stored<std::vector<std::string>> CaseStore::verify_all() const {
  auto found = database_->check();
  if (!found) return found;
  auto ours = database_->read_value<std::vector<std::string>>(
      [&](soci::session& session) { return verify_store(*database_, session); });
  if (!ours) return ours;
  found->insert(found->end(), ours->begin(), ours->end());
  return found;
}

}  // namespace tautmark
