// SPDX-License-Identifier: Apache-2.0
// Cases in a store. A case is a chain of records that only grows; its file is their text put
// together, so that what came in as a case file goes out byte for byte.
//
//   head   everything of case.yaml before the first entry; a later head takes its place
//   entry  one entry as it stands in the file, with the comment lines above it
//   file   a file beside the case: name, SHA-256, bytes
//   tail   what follows the last entry (comments)
//
// Every record carries the hash of the one before it (record_hash), so that a later change, loss or
// exchange is found and named. A chain cannot know that its own end was cut off together with the
// case's note of it: that is found by comparing with a head hash kept elsewhere (every receipt,
// packed case and report carries one).
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "store/database.h"

namespace tautmark {

enum class RecordKind { head, entry, file, tail };
std::string_view record_kind_name(RecordKind kind);
std::optional<RecordKind> record_kind(std::string_view name);

struct CaseRecord {
  std::int64_t seq = 0;  // from 1, without gaps
  RecordKind kind{};
  std::string entry_id;    // of an entry
  std::string client_key;  // of the one who sent it, so that sending twice writes once; or empty
  std::int64_t at = 0;     // when it was stored, microseconds UTC
  std::string seat;        // who stored it: account, device
  std::string body;
  std::string hash;  // record_hash of this record
};

// SHA-256 of the lines below, each ended by one line feed; `body` counts by its own SHA-256:
//   tautmark-record/1, hash of the record before (64 zeros for the first), uid of the case, seq,
//   kind, entry id, client key, at, seat, SHA-256 of body
std::string record_hash(std::string_view previous, std::string_view uid, const CaseRecord& record);

struct CaseSummary {
  std::string uid;   // never changes; also in packed cases
  std::string name;  // unique in the store
  std::string title, drive;
  bool invented = false;
  std::int64_t created = 0, changed = 0;  // microseconds UTC
  std::int64_t keep_until = 0;            // 0: no date set
  std::int64_t entries = 0;
  std::int64_t head_seq = 0;
  std::string head_hash;
};

struct StoredFile {
  std::string name;
  std::string sha256;
  std::int64_t bytes = 0;
};

// What a seat gets back when its record is safe.
struct Receipt {
  std::int64_t seq = 0;
  std::string entry_id;
  std::string hash;
  std::int64_t at = 0;
  bool was_there = false;  // the client key had been stored before: nothing was written
};

// One new record. `body` of an entry is the text of the list item ("  - id: …"); `{id}` in its
// place is given by the store where `wants_id` says so, so that two seats never choose the same.
struct NewRecord {
  RecordKind kind = RecordKind::entry;
  std::string entry_id;   // of an entry that has one already
  bool wants_id = false;  // the next free "e<number>"; `body` is then made by `body_with_id`
  std::function<std::string(const std::string& id)> body_with_id;
  std::string body;
  std::string client_key;
  // Whether the record stored under the same key says the same, where the text alone does not tell:
  // what was filled in on the way (the time) differs each time that it is sent.
  std::function<bool(const std::string& stored_body)> is_same;
};

struct SearchPage {
  std::vector<CaseSummary> cases;  // last changed first
  std::int64_t found = 0;          // at most kMostCounted + 1, then "more than"
};
inline constexpr std::int64_t kMostCounted = 1000;

class CaseStore {
 public:
  explicit CaseStore(std::shared_ptr<Database> database) : database_(std::move(database)) {}
  [[nodiscard]] const Database& database() const { return *database_; }
  [[nodiscard]] const std::shared_ptr<Database>& shared_database() const { return database_; }

  // A new case with these records (a head first). Refused when the name is taken; it has 1 to 120
  // characters (200 bytes), no slash, no control character, no dot in front, and is not "import".
  [[nodiscard]] Stored<CaseSummary> create(const std::string& name, std::vector<NewRecord> records,
                                           const std::string& seat) const;
  // Appends all of them or none, in this order, with no record of another seat between them.
  // `only_after_seq`: the last record of the state in which they were checked; `moved_on` when
  // another seat wrote since, and nothing is written. (What was stored before under the same key
  // is found all the same.)
  [[nodiscard]] Stored<std::vector<Receipt>> append(
      const std::string& name, std::vector<NewRecord> records, const std::string& seat,
      std::optional<std::int64_t> only_after_seq = std::nullopt) const;

  [[nodiscard]] Stored<CaseSummary> summary(const std::string& name) const;
  [[nodiscard]] Stored<std::vector<CaseRecord>> records(const std::string& name,
                                                        std::int64_t after_seq = 0) const;
  [[nodiscard]] Stored<std::vector<StoredFile>> files(const std::string& name) const;
  // What was stored under a client's key, if anything was.
  [[nodiscard]] Stored<std::optional<CaseRecord>> record_of_key(
      const std::string& name, const std::string& client_key) const;

  // All must occur in the case, whatever their order; a word without quotes may be the beginning of
  // one:
  //   rattle vessg            both words          "bank 2"            these whole words
  //   place:bank kind:codes   only in that field  27.98               numbers as they were written
  // Empty: all cases.
  [[nodiscard]] Stored<SearchPage> search(std::string_view query, int limit, int offset = 0) const;

  // Everything that does not hold, one sentence each. Empty: the chain holds. `head_hash` of a
  // receipt, pack or report, where there is one, must be in the chain.
  [[nodiscard]] Stored<std::vector<std::string>> verify(
      const std::string& name, const std::optional<std::string>& head_hash = std::nullopt) const;
  // All cases, the audit chain, accounts, tables, files without bytes, and the database's own test.
  // `audit_head`: a hash of the audit that was written down, which must be in it.
  [[nodiscard]] Stored<std::vector<std::string>> verify_all(
      const std::optional<std::string>& audit_head = std::nullopt) const;
  // What no chain can prove and a reader should know: which records came in by import and who
  // brought them, and where time runs backwards.
  [[nodiscard]] Stored<std::vector<std::string>> origins(const std::string& name) const;

  // Deleting is an act of its own: who and why stay in the audit, with uid, name, number of entries
  // and head hash. Refused before `keep_until`. Bytes that no other case holds go too.
  // With `Sweep::later` the caller sees to the bytes itself: sweep_deleted().
  enum class Sweep { now, later };
  [[nodiscard]] Stored<void> remove(const std::string& name, const std::string& who,
                                    const std::string& reason, Sweep sweep = Sweep::now) const;
  [[nodiscard]] Stored<void> set_keep_until(const std::string& name, std::int64_t keep_until,
                                            const std::string& who,
                                            const std::string& reason) const;

 private:
  std::shared_ptr<Database> database_;
};

// --- files beside a case (blobs.cc) ---------------------------------------------------------

// Takes bytes piece by piece and keeps them under their SHA-256. Never holds more than one piece
// of kMostPieceBytes. After an error it takes no more. Pieces that were not finished are swept away
// at its end, or by the next upload of anybody.
class BlobWriter {
 public:
  explicit BlobWriter(std::shared_ptr<Database> database);
  BlobWriter(const BlobWriter&) = delete;
  BlobWriter& operator=(const BlobWriter&) = delete;
  ~BlobWriter();
  [[nodiscard]] Stored<void> add(std::string_view bytes);
  [[nodiscard]] Stored<StoredFile> finish();  // without a name

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

// Calls `take` with the bytes from `from` on, at most `length` (all: -1), piece by piece, and
// checks the SHA-256 when it was read from begin to end. `take` returns false to stop.
Stored<void> read_blob(const Database& database, const std::string& sha256, std::int64_t from,
                       std::int64_t length, const std::function<bool(std::string_view)>& take);

// Adds the record of a file whose bytes are stored. A name beside the case (path_problem in
// casework); refused when the case has another file of that name.
Stored<Receipt> attach(const CaseStore& store, const std::string& case_name, const StoredFile& file,
                       const std::string& seat);

// --- audit (audit.cc) -----------------------------------------------------------------------

struct AuditEntry {
  std::int64_t number = 0;
  std::int64_t at = 0;
  std::string who, what, subject, detail, hash;
};
// Inside a transaction of the caller's, so that the act and its note are kept together.
void add_audit(const Database& database, soci::session& session, const std::string& who,
               const std::string& what, const std::string& subject, const std::string& detail);
Stored<void> note_audit(const Database& database, const std::string& who, const std::string& what,
                        const std::string& subject, const std::string& detail);
// Number and hash of the last note; the rest is empty. To be kept elsewhere (verify_all).
Stored<AuditEntry> audit_end(const Database& database);
Stored<std::vector<AuditEntry>> audit_entries(const Database& database, std::int64_t after_number,
                                              int limit);

}  // namespace tautmark
