// SPDX-License-Identifier: Apache-2.0
// What holds and what does not, inside a transaction of the caller's.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "store/case_rows.h"

namespace tautmark {

// SHA-256 of the lines below, each ended by one line feed:
//   tautmark-audit/1, hash of the note before (64 zeros for the first), number, at, who, what,
//   subject, SHA-256 of detail
std::string audit_hash(std::string_view previous, const AuditEntry& entry);
void each_audit(soci::session& session, std::int64_t after_number, int limit,
                const std::function<void(const AuditEntry&)>& take);

std::string missing_text(std::int64_t first, std::int64_t last);  // "records 2 to 4 are missing"

// What the audit says of a case that should be there.
struct Brought {
  std::int64_t first = 0, last = 0;  // records that came in with their chain
  std::string who;
  std::int64_t at = 0;
};
struct CaseStory {
  std::string name;
  std::int64_t made = 0;               // microseconds UTC
  std::string keep_until = "no date";  // keep_until_text
  std::vector<Brought> brought;
};
// Of an account.
struct AccountStory {
  std::string name, may;  // "may write"
  bool disabled = false, had_pin = false;
};
struct AuditStory {
  std::map<std::string, CaseStory> cases;        // by uid
  std::map<std::string, AccountStory> accounts;  // by name_key
  void take(const AuditEntry& entry);
};

// The audit's own chain; `head_hash` must be the hash of one of its notes. What it tells goes into
// `story`.
std::vector<std::string> verify_audit(soci::session& session, AuditStory& story,
                                      const std::optional<std::string>& head_hash);
// The notes about one case, whether or not the chain of the audit holds.
std::optional<CaseStory> story_of_case(soci::session& session, const std::string& uid);

std::vector<std::string> verify_accounts(soci::session& session, const AuditStory& story);
// Rows that belong to nothing; tables, indexes and triggers that no step of ours made.
std::vector<std::string> verify_tables(const Database& database, soci::session& session);

// Sentences about one case; `head_hash` must be the hash of one of its records.
std::vector<std::string> verify_case(const Database& database, soci::session& session,
                                     const CaseRow& row,
                                     const std::optional<std::string>& head_hash);
// Sentences about all cases and the audit, each with the name of its case; every file is read once.
std::vector<std::string> verify_store(const Database& database, soci::session& session,
                                      const std::optional<std::string>& audit_head = std::nullopt);

}  // namespace tautmark
