// SPDX-License-Identifier: Apache-2.0
#include "store/verify.h"

#include <fmt/format.h>
#include <soci/soci.h>

#include <algorithm>
#include <cstdlib>
#include <map>
#include <set>

#include "base/diagnostic.h"
#include "base/hash.h"
#include "store/case_text.h"
#include "store/derived.h"

namespace tautmark {
namespace {

using Sentences = std::vector<std::string>;

// What the chain says against what is derived from it.
class CaseVerifier {
 public:
  CaseVerifier(const CaseRow& row, const std::optional<std::string>& head_hash)
      : row_(row), head_hash_(head_hash), head_found_(!head_hash) {
    last_.hash = std::string(64, '0');
    derived_.summary.changed = row.summary.created;
    add_text_words(row.summary.name, words_);
  }

  void take(CaseRecord record) {
    if (record.seq > last_.seq + 1)
      say_of_chain(missing_text(last_.seq + 1, record.seq - 1));
    else if (record_hash(last_.hash, row_.summary.uid, record) != record.hash)
      say_of_chain(fmt::format("record {} was changed after it was stored", record.seq));
    derive(record, derived_, words_);
    if (head_hash_ && record.hash == *head_hash_) head_found_ = true;
    if (record.kind == RecordKind::entry) ids_.insert(record.entry_id);
    if (record.kind == RecordKind::file) {
      if (const auto file = file_of_record(record.body)) files_[file->name] = *file;
    }
    ++count_;
    last_ = std::move(record);
  }

  void take_unknown(const CaseRecord& record, const std::string& kind) {
    say_of_chain(
        fmt::format("record {} is of a kind \"{}\" that is none", record.seq, clipped(kind)));
    ++count_;
    last_ = record;
  }

  Sentences finish(const std::vector<StoredFile>& files, const std::set<std::string>& ids,
                   const WordSet& words) {
    finish_chain();
    finish_lists(files, ids);
    // What follows from records that are not as they were stored says nothing.
    if (chain_holds_) finish_derived(words);
    return std::move(found_);
  }

  void compare(const CaseStory& story) {
    const CaseSummary& summary = row_.summary;
    if (story.name != summary.name) say(fmt::format("the audit knows it as \"{}\"", story.name));
    const std::string until = keep_until_text(summary.keep_until);
    if (story.keep_until != until && story.keep_until != until.substr(0, 10))
      say(fmt::format("keep until: {}, but the audit says: {}", until, story.keep_until));
    constexpr std::int64_t kHour = std::int64_t{3600} * 1'000'000;
    if (std::abs(summary.created - story.made) > kHour)
      say("the time at which it was made is not that of the audit");
  }

 private:
  void finish_chain() {
    const CaseSummary& summary = row_.summary;
    if (last_.seq < summary.head_seq)
      say_of_chain(fmt::format("the end is missing: the case knows of {} records, {} are there",
                               summary.head_seq, count_));
    else if (last_.seq > summary.head_seq)
      say_of_chain(
          fmt::format("the case knows of {} records, but {} are there", summary.head_seq, count_));
    else if (last_.hash != summary.head_hash)
      say("the case's note of its last record is another one than that record");
    if (!head_found_)
      say(
          fmt::format("no record has the hash {} that was given out for it: the end was cut off or "
                      "written anew",
                      *head_hash_));
  }

  void finish_lists(const std::vector<StoredFile>& files, const std::set<std::string>& ids) {
    const CaseSummary& summary = row_.summary;
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
  }

  void finish_derived(const WordSet& words) {
    const CaseSummary &summary = row_.summary, &derived = derived_.summary;
    const auto compare = [&](std::string_view what, const auto& is, const auto& should) {
      if (is != should)
        say(fmt::format("{}: \"{}\", but its records say \"{}\"", what, is, should));
    };
    compare("title", summary.title, derived.title);
    compare("drive", summary.drive, derived.drive);
    compare("invented", summary.invented, derived.invented);
    compare("last change", time_text(summary.changed), time_text(derived.changed));
    compare("next entry", row_.next_entry, derived_.next_entry);
    compare("indent", row_.indent, derived_.indent);
    if (words != words_) say("the words by which it is found are not those of its records");
  }

  void say(std::string sentence) { found_.push_back(std::move(sentence)); }
  void say_of_chain(std::string sentence) {
    chain_holds_ = false;
    say(std::move(sentence));
  }

  const CaseRow& row_;
  const std::optional<std::string>& head_hash_;
  bool head_found_;
  CaseRecord last_;
  std::int64_t count_ = 0;
  std::set<std::string> ids_;
  std::map<std::string, StoredFile> files_;
  CaseRow derived_;
  WordSet words_;
  bool chain_holds_ = true;
  Sentences found_;
};

std::set<std::string> texts_of_case(soci::session& session, const std::string& column_of_table,
                                    long long case_id) {
  std::set<std::string> texts;
  std::string text;
  soci::statement statement =
      (session.prepare << "select " + column_of_table + " where case_id = :c", soci::into(text),
       soci::use(case_id));
  statement.execute();
  while (statement.fetch()) texts.insert(text);
  return texts;
}

Sentences verify_rows(soci::session& session, const CaseRow& row,
                      const std::optional<std::string>& head_hash, const CaseStory* story) {
  CaseVerifier verifier(row, head_hash);
  each_record(
      session, row.id, 0, [&](CaseRecord record) { verifier.take(std::move(record)); },
      [&](const CaseRecord& record, const std::string& kind) {
        verifier.take_unknown(record, kind);
      });
  if (story != nullptr) verifier.compare(*story);
  Sentences found =
      verifier.finish(files_of(session, row.id), texts_of_case(session, "id from entry_id", row.id),
                      texts_of_case(session, "word from word", row.id));
  if (story == nullptr) found.insert(found.begin(), "the audit does not know that it was made");
  return found;
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

}  // namespace

std::string missing_text(std::int64_t first, std::int64_t last) {
  return first == last ? fmt::format("record {} is missing", first)
                       : fmt::format("records {} to {} are missing", first, last);
}

std::vector<std::string> verify_case(const Database& database, soci::session& session,
                                     const CaseRow& row,
                                     const std::optional<std::string>& head_hash) {
  const auto story = story_of_case(session, row.summary.uid);
  Sentences found = verify_rows(session, row, head_hash, story ? &*story : nullptr);
  for (const StoredFile& file : files_of(session, row.id)) {
    const std::string problem = bytes_problem(database, session, file.sha256);
    if (!problem.empty()) found.push_back(fmt::format("the file \"{}\" {}", file.name, problem));
  }
  return found;
}

std::vector<std::string> verify_store(const Database& database, soci::session& session,
                                      const std::optional<std::string>& audit_head) {
  AuditStory story;
  Sentences found = verify_audit(session, story, audit_head);
  const auto add = [&](const Sentences& more) {
    found.insert(found.end(), more.begin(), more.end());
  };
  // One that cannot be read at all does not keep the others from being looked at.
  const auto guarded = [&](const std::string& whose, const std::function<void()>& work) {
    try {
      work();
    } catch (const Abandon& abandoned) {
      found.push_back(whose + abandoned.error.message);
    }
  };
  add(verify_tables(database, session));
  guarded("accounts: ", [&] { add(verify_accounts(session, story)); });
  std::vector<CaseRow> rows;
  each_case(database, session, "order by name", {},
            [&](const CaseRow& row) { rows.push_back(row); });
  std::map<std::string, std::string> problem_of;  // by SHA-256: files that cases share, read once
  for (const CaseRow& row : rows) {
    const std::string whose = fmt::format("case \"{}\": ", row.summary.name);
    guarded(whose, [&] {
      const auto known = story.cases.find(row.summary.uid);
      for (const std::string& sentence : verify_rows(
               session, row, std::nullopt, known == story.cases.end() ? nullptr : &known->second))
        found.push_back(whose + sentence);
      for (const StoredFile& file : files_of(session, row.id)) {
        auto [at, is_new] = problem_of.try_emplace(file.sha256);
        if (is_new) at->second = bytes_problem(database, session, file.sha256);
        if (!at->second.empty())
          found.push_back(fmt::format("{}the file \"{}\" {}", whose, file.name, at->second));
      }
    });
    story.cases.erase(row.summary.uid);
  }
  for (const auto& [uid, gone] : story.cases)
    found.push_back(fmt::format("case \"{}\" is gone without an act of deletion", gone.name));
  return found;
}

Stored<std::vector<std::string>> CaseStore::verify(
    const std::string& name, const std::optional<std::string>& head_hash) const {
  return database_->read_value<std::vector<std::string>>([&](soci::session& session) {
    return verify_case(*database_, session, case_row(*database_, session, name), head_hash);
  });
}

// What a reader of a chain that holds should know all the same.
Stored<std::vector<std::string>> CaseStore::origins(const std::string& name) const {
  return database_->read_value<Sentences>([&](soci::session& session) {
    Sentences notes;
    const CaseRow row = case_row(*database_, session, name);
    const auto story = story_of_case(session, row.summary.uid);
    const auto brought = story ? story->brought : std::vector<Brought>{};
    for (const Brought& part : brought)
      notes.push_back(fmt::format("records {} to {} came in by import: {}, {}", part.first,
                                  part.last, part.who, time_text(part.at).substr(0, 19)));
    constexpr std::size_t kMost = 50;
    std::int64_t before = 0;
    each_record(
        session, row.id, 0,
        [&](const CaseRecord& record) {
          const bool came_in =
              std::any_of(brought.begin(), brought.end(), [&](const Brought& part) {
                return record.seq >= part.first && record.seq <= part.last;
              });
          if (record.at < before && notes.size() < kMost)
            notes.push_back(
                fmt::format("record {} has an earlier time ({}) than the one before it: {}",
                            record.seq, time_text(record.at).substr(0, 19),
                            came_in ? "it came in by import" : "a clock was set back"));
          before = record.at;
        },
        [](const CaseRecord&, const std::string&) {});
    return notes;
  });
}

Stored<std::vector<std::string>> CaseStore::verify_all(
    const std::optional<std::string>& audit_head) const {
  auto found = database_->check();
  if (!found) return found;
  auto ours = database_->read_value<std::vector<std::string>>(
      [&](soci::session& session) { return verify_store(*database_, session, audit_head); });
  if (!ours) return ours;
  found->insert(found->end(), ours->begin(), ours->end());
  return found;
}

}  // namespace tautmark
